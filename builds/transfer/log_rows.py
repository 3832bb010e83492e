"""The rows of a log file as they are understood, before any build is asked.

The same row is known again by what it says, so a file may be taken in once more after rows were added to it.
"""

import hashlib
import json
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Any, TypeVar

from builds.models import Builder, Entry, Operation, Part
from builds.models.choices import Activity
from builds.transfer.complaints import NOT_SHOP_TIME, TOO_LONG, LogError, known, plain_name, quoted
from builds.transfer.log_cells import Time, day_stands_first, read_count, read_day, read_time
from builds.transfer.table import Table, read_table
from calcs.messages import _

Read = TypeVar("Read")


@dataclass(frozen=True)
class FileRow:
    """One row of a log file as it was understood. `row` is its number as a spreadsheet counts it."""

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


@dataclass
class LogFile:
    """A log file that was read without complaint."""

    table: Table
    rows: tuple[FileRow, ...] = ()

    @property
    def minutes(self) -> int:
        return sum(row.time.minutes or 0 for row in self.rows)


def read_log(source: Path | str, *, today: date, name: str = "") -> LogFile:
    """Read a log file (a path), or the text of one. Raises LogError with a line for each row that is wrong."""
    table = read_table(source, name)
    if not table.rows:
        raise LogError([_("{name}: There are headers, but no rows beneath them.", name=table.name)])
    try:
        day_first = day_stands_first(cells.get(c, "") for number, cells in table.rows for c in ("date", "since"))
    except ValueError as error:
        figures = {"name": table.name, "column": quoted(table.headers["date"]), "sentence": error}
        raise LogError([_("{name}, column {column}: {sentence}", **figures)]) from error
    reader = _RowReader(table, day_first, today)
    rows = [reader.read(number, cells) for number, cells in table.rows]
    if reader.complaints:
        raise LogError(reader.complaints)
    return LogFile(table, _with_tokens([row for row in rows if row is not None]))


@dataclass
class _RowReader:
    table: Table
    day_first: bool | None
    today: date
    complaints: list[str] = field(default_factory=list)

    def read(self, number: int, cells: dict[str, str]) -> FileRow | None:
        """One row; None where something in it is wrong, which is then among the complaints."""
        before = len(self.complaints)

        def cell(column: str, reader: Callable[[str], Read]) -> Read | None:
            try:
                return reader(cells.get(column, ""))
            except ValueError as error:
                self.complaints.append(f"{self.table.place(number, column)}: {error}")
                return None

        worked_on = cell("date", self._day)
        since_on = cell("since", lambda text: self._day(text) if text else None)
        time = self._time(number, cells)
        good, reworked, scrap = (cell(column, read_count) for column in ("good", "reworked", "scrap"))
        activity = cell("activity", _activity)
        texts = {c: cell(c, _short(column)) for c, column in _LONGEST.items()}
        if worked_on is None or time is None or len(self.complaints) > before:
            return None
        row = FileRow(
            number, worked_on, since_on, activity=activity or "", time=time,
            good=good or 0, reworked=reworked or 0, scrap=scrap or 0,
            **{column: text or "" for column, text in texts.items()},
        )  # fmt: skip
        self._check(row)
        return row if len(self.complaints) == before else None

    def _day(self, text: str) -> date:
        return read_day(text, self.day_first, self.today)

    def _time(self, number: int, cells: dict[str, str]) -> Time | None:
        both: Sequence[str] = ("hours", "minutes")
        given = [column for column in both if cells.get(column)]
        if not given:
            given = [column for column in both if column in cells][:1]
        times: list[Time] = []
        for column in given:
            comma_decimal = self.table.delimiter != ","
            try:
                text = cells[column]
                times.append(read_time(text, in_minutes=column == "minutes", comma_decimal=comma_decimal))
            except ValueError as error:
                self.complaints.append(f"{self.table.place(number, column)}: {error}")
        if len(times) == 2 and times[0] != times[1]:
            where = self.table.place(number, "minutes")
            sentence = _("The row has hours as well, and the two differ. Leave one of them empty.")
            self.complaints.append(f"{where}: {sentence}")
        return times[0] if times else None

    def _check(self, row: FileRow) -> None:
        """What two cells of a row say together."""

        def complain(column: str, sentence: str) -> None:
            self.complaints.append(f"{self.table.place(row.row, column)}: {sentence}")

        if row.since_on is not None and row.since_on > row.worked_on:
            complain("since", _("The day it began lies after the date."))
        if row.part and row.activity:
            complain("activity", _("A row is for a part or for shop time: leave one of the two empty."))
        if not row.part and not row.activity:
            where = "part" if "part" in self.table.headers else "activity"
            complain(where, _("This is empty: what was worked on?"))
        if row.reworked > row.good:
            complain("reworked", _("The pieces put right are some of the good ones, so they cannot be more."))
        if row.reason and not row.scrap:
            complain("reason", _("There is a reason for scrap, but no scrap: give the number of pieces."))


_LONGEST = {
    "part": Part.name,
    "operation": Operation.title,
    "builder": Builder.name,
    "reason": Entry.scrap_reason,
    "note": Entry.note,
}


def _short(column: Any) -> Callable[[str], str]:
    def read(text: str) -> str:
        figures = {"length": len(text), "max_length": column.field.max_length}
        if figures["length"] > figures["max_length"]:
            raise ValueError(_(TOO_LONG, **figures))
        return text

    return read


def _activity(text: str) -> str:
    plain = plain_name(text)
    if plain and plain not in Activity.values:
        raise ValueError(_(NOT_SHOP_TIME, value=quoted(text), known=known(Activity.values)))
    return plain


def _with_tokens(rows: list[FileRow]) -> tuple[FileRow, ...]:
    """Each row with a token from what it says; the second of two rows that say the same is the second of its kind."""
    seen: Counter[str] = Counter()
    marked = []
    for row in rows:
        content = json.dumps(
            [
                row.worked_on.isoformat(), row.since_on and row.since_on.isoformat(), row.part.casefold(),
                row.operation.casefold(), row.activity, row.builder, row.time.minutes, row.time.bench_is,
                row.good, row.reworked, row.scrap, row.reason, row.note,
            ]
        )  # fmt: skip
        seen[content] += 1
        digest = hashlib.sha256(f"{content}#{seen[content]}".encode()).hexdigest()
        marked.append(replace(row, token=f"file-{digest[:40]}"))
    return tuple(marked)
