"""A log file as it was understood, and the questions that its cells alone do not answer.

The same line is known again by what it says, so a file may be taken in once more after rows were added to it.
"""

import hashlib
import json
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date

from builds.transfer.complaints import Complaint
from builds.transfer.tables.cells import Time
from builds.transfer.tables.table import Chosen, Table


@dataclass(frozen=True, kw_only=True)
class ReadAs:
    """What a person said of a log. Everything may be left open, and then the file itself tells or is refused.

    dates: what stands first in 03/04/2024, "day" or "month".
    times: what the times are: of each row ("each"), everything since the row before ("since"), a running total
    ("meter"), or of a whole month ("month").
    first_reading: whether a running total is begun from nothing ("counts"), or its first reading only sets it ("sets").
    backwards: a reading lower than the one before is refused, left out ("left out"), or begins a new count ("anew").
    """

    columns: Chosen = field(default_factory=dict)
    sheet: str = ""
    dates: str = ""
    times: str = ""
    first_reading: str = "sets"
    backwards: str = ""


@dataclass(frozen=True)
class FileRow:
    """One line of a log file as it was understood. `row` is its number as a spreadsheet counts it.

    lump: whether the time is everything since the line before. mark: the token of the entry that it is, where it says.
    remarks: how what it says was understood, where that may be asked about.
    """

    row: int
    worked_on: date
    since_on: date | None
    part: str
    operation: str
    activity: str
    builder: str
    time: Time
    good: int = 0
    reworked: int = 0
    scrap: int = 0
    reason: str = ""
    note: str = ""
    token: str = ""
    unattended: int = 0
    batch: str = ""
    mark: str = ""
    lump: bool = False
    remarks: tuple[str, ...] = ()


@dataclass
class LogFile:
    """A log file that was read; `aside` are rows that were left out on purpose, each with the reason."""

    table: Table
    rows: tuple[FileRow, ...] = ()
    complaints: tuple[Complaint, ...] = ()
    aside: tuple[tuple[int, str], ...] = ()
    dates_unclear: bool = False

    @property
    def minutes(self) -> int:
        return sum(row.time.minutes or 0 for row in self.rows)


def with_tokens(rows: Iterable[FileRow]) -> tuple[FileRow, ...]:
    """Each row with a token from what it says; the second of two rows that say the same is the second of its kind."""
    seen: Counter[str] = Counter()
    marked = []
    for row in rows:
        content = json.dumps(
            [
                row.worked_on.isoformat(), row.since_on and row.since_on.isoformat(), row.part.casefold(),
                row.operation.casefold(), row.activity, row.builder, row.time.minutes, row.time.bench_is,
                row.good, row.reworked, row.scrap, row.reason, row.note,
                # Files of before had none, and their rows are known again all the same.
                *([row.unattended] if row.unattended else []),
            ]
        )  # fmt: skip
        seen[content] += 1
        digest = hashlib.sha256(f"{content}#{seen[content]}".encode()).hexdigest()
        marked.append(replace(row, token=row.mark or f"file-{digest[:40]}"))
    return tuple(marked)
