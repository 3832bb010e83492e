"""The sign beside the glass case: what a visitor reads in a minute, and no more than fits."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from builds.queries.visitors.facts import Facts
from builds.queries.visitors.in_words import ended, finish_in_words
from calcs.forecast.words import day_in_words
from calcs.messages import _

# A label of more words is not read to its end (practice.md: at most 75 to 100), and of more signs it has small letters.
MOST_WORDS = 100
MOST_SIGNS = 700
MOST_MATERIALS = 4
# Of the words, so many stand below the code.
BELOW_THE_CODE = 8
# Sizes of the text in mm, the class of the style sheet that has each being its place here, and what is larger by it.
LETTERS = (14.0, 12.8, 11.6, 10.6, 9.7, 8.8, 8.0, 7.3, 6.6, 6.0, 5.5, 5.0, 4.5, 4.1, 3.7)
TITLE, LEAD = 2.4, 1.3


@dataclass(frozen=True)
class Placard:
    """`title` is read in passing, `lead` in ten seconds, `more` in a minute. `left_out` did not fit."""

    title: str
    lead: tuple[str, ...]
    more: tuple[str, ...]
    foot: str
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True)
class Paper:
    """What of a sheet is printed on, in mm; `code` is the width of the code with the space beside it."""

    width: float
    height: float
    code: float


def letters_for(sign: Placard, paper: Paper, *, code: bool) -> int:
    """The place in `LETTERS` of the largest text that fits on the paper; of the smallest where none does."""
    return next(
        (place for place, size in enumerate(LETTERS) if _height(sign, paper, size, code=code) <= paper.height),
        len(LETTERS) - 1,
    )


def _height(sign: Placard, paper: Paper, size: float, *, code: bool) -> float:
    """About how high the sign is in mm, a little too high rather than too low; the style sheet has the same ratios."""
    beside = paper.width - (paper.code if code else 0)
    title = _lines(sign.title, paper.width, 0.92 * TITLE * size) * TITLE * size * 1.1
    lead = sum(_lines(text, beside, LEAD * size) for text in sign.lead) * LEAD * size * 1.2
    more = sum(_lines(text, beside, size) for text in sign.more) * size * 1.28
    gaps = (len(sign.lead) + len(sign.more) + 2) * 0.4 * size
    return title + max(lead + more + gaps, 1.3 * paper.code if code else 0) + 10


def _lines(text: str, width: float, size: float) -> int:
    """Lines that a text takes at a size, both in mm: word by word, and one that is longer than a line is broken."""
    lines, at = 1, 0.0
    for word in text.split():
        wide = sum(map(_em, word)) * size
        if at and at + wide > width:
            lines, at = lines + 1, 0.0
        full, at = divmod(at + wide, width)
        lines, at = lines + int(full), at + _em(" ") * size
    return lines


def _em(sign: str) -> float:
    """About how wide a sign is, of the size of its letters: that of a plain sans serif, rounded up (measured)."""
    if sign in "mwMW@%…—":
        return 0.95
    if sign.isupper():
        return 0.75
    return 0.33 if sign in " fijlrtI.,:;'’!|()[]/-" else 0.58


def sentences_of(text: str) -> tuple[str, ...]:
    """What somebody typed, taken apart where a sentence ends and a capital follows."""
    return tuple(filter(None, re.split(r"(?<=[.!?])\s+(?=[^\W\d_a-zß-ÿ])|\n+", text.strip())))


def fitted(title: str, lead: Iterable[str], more: Iterable[str], foot: str) -> Placard:
    """A sign of what fits into a label, in the order given: a text that is too long ends after a whole sentence."""
    room = _Room(title, foot)
    first, then = (tuple(text for text in texts if text and room.take(text)) for texts in (lead, more))
    return Placard(title, first, then, foot, tuple(room.left_out))


class _Room:
    """What is left of a label's words and signs."""

    def __init__(self, *taken: str) -> None:
        self.words = MOST_WORDS - BELOW_THE_CODE - sum(len(text.split()) for text in taken)
        self.signs = MOST_SIGNS - sum(map(len, taken))
        self.left_out: list[str] = []

    def take(self, text: str) -> bool:
        """Whether a sentence fits; then its room is gone."""
        words, signs = len(text.split()), len(text)
        if words > self.words or signs > self.signs:
            self.left_out.append(text)
            return False
        self.words, self.signs = self.words - words, self.signs - signs
        return True


def placard_of(facts: Facts) -> Placard:
    """The sign of a build. No query."""
    build = facts.build
    title = f"{build.name}, {build.scale}" if build.scale else build.name
    return fitted(title, _lead(facts), _more(facts), _("Figures of {day}", day=day_in_words(facts.as_of)))


def _lead(facts: Facts) -> Iterable[str]:
    """What it is, and how far it is: each in a line."""
    made = facts.counts.words if facts.counts and facts.counts.parts.details.of else ""
    took = _("{hours} so far", hours=facts.hours.words) if facts.hours else ""
    if facts.finished:
        took = facts.finished.took
    return (ended(facts.build.subject), " · ".join(filter(None, (took, made))))


def _more(facts: Facts) -> Iterable[str]:
    """What a minute is for, what says most first: room may end before it does."""
    yield from sentences_of(facts.build.for_visitors)
    if materials := _materials(facts):
        yield _("Made of {materials}.", materials=materials)
    yield " ".join(facts.sizes.sentences)
    yield from sentences_of(facts.what_it_did)
    if facts.standing:
        yield ended(facts.standing)
    if facts.hours:
        yield facts.hours.meaning
    if facts.way:
        yield finish_in_words(facts.way)
    if facts.people:
        yield _("Made by {names}.", names=facts.people_words)


def _materials(facts: Facts) -> str:
    """The heaviest first where masses are known, else the commonest."""
    weighed = tuple(share.name for share in facts.masses.shares if share.name) if facts.masses else facts.materials
    return replace(facts, materials=weighed[:MOST_MATERIALS]).materials_words
