"""An evening as builders write it into a notebook: "2h30 rings lapping 3 good 1 scrap cracked".

Words and their order are free. What is not understood stays as the note, and nothing is ever refused here: the fields
of the evening say what they cannot take, once they are filled.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from calcs.typed.notebook_batches import read_batch
from calcs.typed.notebook_counts import read_counts, read_pieces, read_reason, settle
from calcs.typed.notebook_days import read_day, read_day_in_figures, read_since
from calcs.typed.notebook_times import read_bare_time, read_times
from calcs.typed.notebook_words import Word, words_of
from calcs.typed.notebook_work import WorkName, find_work, is_name

# What is longer is a text, and no line: the rest of it is left to the note unread.
MOST_WORDS = 80


@dataclass(frozen=True)
class NotebookLine:
    """A line as it was read. Times are as they were written, fit for `read_duration`; a count that nobody gave is None.

    work: `WorkName.value` of what it is about, "" where nothing was near enough; batch: the value of its batch, where
    one is named. words: every word of the text and what it was taken for, "" for those of the note.
    """

    work: str
    batch: str
    time: str
    unattended: str
    worked_on: date | None
    since_on: date | None
    good: int | None
    reworked: int | None
    scrap: int | None
    scrap_reason: str
    note: str
    words: tuple[tuple[str, str], ...]


def read_notebook_line(text: str, names: Sequence[WorkName], today: date) -> NotebookLine:
    """Read one line; never raises for any text. names: what it may be about, the likeliest first.

    >>> ring = WorkName("o7", "14", "Piston ring", "30", "lapping")
    >>> read = read_notebook_line("2h30 rings lapping 3 good 1 scrap cracked", [ring], date(2026, 11, 25))
    >>> read.work, read.time, read.good, read.scrap, read.scrap_reason, read.note
    ('o7', '2h30', 3, 1, 'cracked', '')
    """
    every = words_of(text)
    words, rest = every[:MOST_WORDS], every[MOST_WORDS:]
    since, day = read_since(words, today), read_day(words, today, lambda word: is_name(word, names))
    batch = read_batch(words)
    counts = read_counts(words, lambda word: is_name(word, names, operations=False))
    time, alone = read_times(words)
    read_pieces(words, counts)
    work = find_work(words, names)
    day = day or read_day_in_figures(words, today)
    read_pieces(words, counts)
    settle(words, counts)
    time = time or read_bare_time(words)
    reason = read_reason(words)
    batch.settle(work)
    return NotebookLine(
        work=work.value if work is not None else "",
        batch=batch.value,
        time=time,
        unattended=alone,
        worked_on=day,
        since_on=since,
        good=counts.get("good"),
        reworked=counts.get("reworked"),
        scrap=counts.get("scrap"),
        scrap_reason=reason,
        note=_note([*words, *rest]),
        words=tuple((word.text, word.used) for word in [*words, *rest]),
    )


def _note(words: Sequence[Word]) -> str:
    """What was not understood, as it was written, without words between that say nothing by themselves."""
    left: list[str] = []
    for used, run in groupby(words, lambda word: bool(word.used)):
        told = list(run)
        if not used and not all(word.is_filler for word in told):
            while told[-1] is not words[-1] and told[-1].is_filler and told[-1].plain != "up":
                told.pop()
            left += [word.text for word in told[1 if told[0].plain in ("", "up") else 0 :]]
    return re.sub(r"(?<=[^\W\d_])- (?=[^\W\d_])", "-", " ".join(left)).strip(" ,;")
