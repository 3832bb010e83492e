"""The lines of a log file as they are understood, before any build is asked."""

import re
from collections.abc import Callable, Container
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import TypeVar

from builds.models.choices import Activity, TimeIs
from builds.transfer.complaints import Complaint, LogError, plain_name, quoted
from builds.transfer.tables.cells import (
    Time,
    day_stands_first,
    is_meter,
    order_unclear,
    read_count,
    read_day,
    read_meter,
    read_month,
    read_time,
)
from builds.transfer.tables.log_cells import TEXTS, OfColumn, month_before, read_activity, share, short
from builds.transfer.tables.log_file import FileRow, LogFile, ReadAs, with_tokens
from builds.transfer.tables.log_lines import Line, lines_of
from builds.transfer.tables.log_shapes import together
from builds.transfer.tables.raw import read_raw
from builds.transfer.tables.table import Cells, Table, matched
from calcs.messages import _

Read = TypeVar("Read")
_SINCE_LAST = re.compile(r"(?:since )?(?:the )?(?:last|previous)(?: \w+){0,2}", re.IGNORECASE)
_SINCE = re.compile(r"\bsince\b (?P<when>.+)", re.IGNORECASE)
_CLOCK = re.compile(r"\d{1,2}[:.]\d{2}(?::\d{2})?(?: ?[ap]\.?m\.?)?|\d{1,2} ?[ap]\.?m\.?", re.IGNORECASE)
NOT_KNOWN = (TimeIs.UNKNOWN, "not known")
SHOP_TIME = frozenset(Activity.values)


def read_log(
    source: Path | str,
    *,
    today: date,
    name: str = "",
    read_as: ReadAs | None = None,
    parts: Container[str] = SHOP_TIME,
) -> LogFile:
    """Read a log file (a path), or the text of one. Raises LogError with a line for each row that is wrong."""
    read_as = read_as or ReadAs()
    table = matched(read_raw(source, name, read_as.sheet), "log", read_as.columns)
    file = understood(table, today=today, read_as=read_as, parts=parts)
    if file.complaints:
        raise LogError(file.complaints)
    return file


def understood(table: Table, *, today: date, read_as: ReadAs, parts: Container[str]) -> LogFile:
    """Read the lines of a table, with what is wrong among them.

    parts: names and numbers of the build's parts, and shop time, plain. Raises LogError where none can be read at all.
    """
    if not table.rows:
        raise LogError([Complaint(table.name, _("There are headers, but no rows beneath them."))])
    days = [cells.get(column, "") for _number, cells in table.rows for column in ("date", "since")]
    try:
        day_first = day_stands_first(days)
    except ValueError as error:
        raise LogError([table.complaint(None, "date", error)]) from error
    unclear = order_unclear(days)
    if unclear and read_as.dates:
        day_first = read_as.dates == "day"
    reader = _LineReader(table, day_first, today, _times(table, read_as), parts)
    rows = [row for line in lines_of(table, parts) if (row := reader.read(line)) is not None]
    reader.check_sums()
    found = together(table, rows, read_as, reader.times, today)
    complaints = (*reader.complaints, *found.complaints)
    return LogFile(table, with_tokens(found.rows), complaints, found.aside, unclear)


def _times(table: Table, read_as: ReadAs) -> str:
    """What the times of a table are, where nobody has said: a running total says so of itself, or by its heading."""
    if read_as.times:
        return read_as.times
    timed = [cells.get("hours") or "" for _number, cells in table.rows]
    said = [cell for cell in timed if cell]
    has_others = "minutes" in table.places or "start" in table.places
    if "meter" in table.places and not said and not has_others:
        return "meter"
    return "meter" if said and not has_others and all(map(is_meter, said)) else "each"


@dataclass
class _LineReader:
    table: Table
    day_first: bool | None
    today: date
    times: str
    parts: Container[str]
    complaints: list[Complaint] = field(default_factory=list)
    # Lines with times of their own, beside the time of the whole row.
    wholes: dict[int, tuple[Cells, list[int]]] = field(default_factory=dict)

    def read(self, line: Line) -> FileRow | None:
        """One line; None where something in it is wrong, which is then among the complaints."""
        before, number, cells = len(self.complaints), line.row, line.cells

        def cell(column: str, reader: Callable[[str], Read]) -> Read | None:
            try:
                return reader(cells.get(column, ""))
            except ValueError as error:
                self.complaints.append(self.table.complaint(number, column, error))
                return None

        days = self._days(number, cells)
        time = self._time(number, cells)
        counts = {c: cell(c, read_count) or 0 for c in ("good", "reworked", "scrap")}
        counts["unattended"] = cell("unattended", self._unattended) or 0
        activity = cell("activity", read_activity) or ""
        texts = {c: cell(c, short(column)) or "" for c, column in TEXTS.items()}
        if days is None or time is None or len(self.complaints) > before:
            return None
        if line.whole is not None:
            self.wholes.setdefault(number, (line.whole, []))[1].append(time.minutes or 0)
        time = share(time, line)
        remarks = tuple(filter(None, (line.remark,)))
        row = FileRow(
            number,
            *days,
            activity=activity,
            time=time,
            remarks=remarks,
            batch=cells.get("batch", ""),
            **counts,
            **texts,
        )
        row = self._since(row, cells)
        self._check(row)
        return row if len(self.complaints) == before else None

    # ---- days -------------------------------------------------------------------------------------------------------
    def _days(self, number: int, cells: Cells) -> tuple[date, date | None] | None:
        """The day of a line, and since when; of a month its last day and its first."""
        month = read_month(cells.get("date", ""), cells.get("year", ""))
        try:
            if month is not None:
                if month[0] > self.today:
                    raise ValueError(_("{cell} has not come yet.", cell=quoted(cells["date"])))
                return min(month[1], self.today), month[0]
            worked_on = self._day(cells.get("date", ""))
        except ValueError as error:
            self.complaints.append(self.table.complaint(number, "date", error))
            return None
        try:
            return worked_on, self._since_day(cells.get("since", ""))
        except ValueError as error:
            self.complaints.append(self.table.complaint(number, "since", error))
            return None

    def _since_day(self, text: str) -> date | None:
        return None if not text or _SINCE_LAST.fullmatch(text) else self._day(text)

    def _day(self, text: str) -> date:
        return read_day(text, self.day_first, self.today)

    def _since(self, row: FileRow, cells: Cells) -> FileRow:
        """What a time says of its own beginning: "40 hours since November", "60 h since last time"."""
        if _SINCE_LAST.fullmatch(cells.get("since", "") or "-"):
            return replace(row, lump=True)
        said = _SINCE.search(cells.get("hours", "") or cells.get("minutes", ""))
        if said is None or row.since_on is not None:
            return row
        when = said["when"].strip(" .")
        if _SINCE_LAST.fullmatch(when):
            return replace(row, lump=True)
        since = month_before(when, row.worked_on) or self._day_or_none(when)
        if since is not None and since <= row.worked_on:
            return replace(row, since_on=since)
        return replace(row, remarks=(*row.remarks, _("“since {when}” is left aside.", when=when[:60])))

    def _day_or_none(self, text: str) -> date | None:
        try:
            return self._day(text)
        except ValueError:
            return None

    # ---- times ------------------------------------------------------------------------------------------------------
    def _time(self, number: int, cells: Cells) -> Time | None:
        if "start" in cells and not cells.get("hours") and not cells.get("minutes") and self.times != "meter":
            return self._from_clock(number, cells)
        both = ("meter", "hours", "minutes") if self.times == "meter" else ("hours", "minutes")
        given = [column for column in both if cells.get(column)] or [column for column in both if column in cells][:1]
        given = given[:1] if self.times == "meter" else given
        if plain_name(cells.get("certainty", "")) in NOT_KNOWN and not any(cells[column] for column in given):
            return Time(None, TimeIs.UNKNOWN)
        times: list[Time] = []
        for column in given:
            try:
                times.append(self._of_cell(column, cells[column]))
            except ValueError as error:
                self.complaints.append(self.table.complaint(number, column, error))
        if len(times) == 2 and times[0] != times[1]:
            sentence = _("The row has hours as well, and the two differ. Leave one of them empty.")
            self.complaints.append(self.table.complaint(number, "minutes", sentence))
        return self._sure(number, cells, times[0]) if times else None

    def _of_cell(self, column: str, cell: str) -> Time:
        comma_decimal = self.table.raw.comma_decimal
        if self.times == "meter" and column != "minutes":
            return read_meter(cell, comma_decimal=comma_decimal)
        return read_time(cell, in_minutes=column == "minutes", comma_decimal=comma_decimal)

    def _from_clock(self, number: int, cells: Cells) -> Time | None:
        start, end = cells.get("start", ""), cells.get("end", "")
        try:
            for column, cell in (("start", start), ("end", end)):
                if not _CLOCK.fullmatch(cell):
                    sentence = _("{cell} is not a time of day. Write it like 19:30.", cell=quoted(cell))
                    raise OfColumn(column, sentence)
            return read_time(f"{start}-{end}", in_minutes=False, comma_decimal=False)
        except ValueError as error:
            self.complaints.append(self.table.complaint(number, getattr(error, "column", "end"), error))
            return None

    def _sure(self, number: int, cells: Cells, time: Time) -> Time | None:
        """A time as sure as a column of its own says."""
        said = plain_name(cells.get("certainty", ""))
        if said in ("", TimeIs.EXACT, TimeIs.ROUGH) and time.minutes is not None:
            return Time(time.minutes, said or time.bench_is)
        if said in ("", *NOT_KNOWN) and time.minutes is None:
            return time
        sentence = _("{said} does not fit the time. Write exact or rough.", said=quoted(said))
        self.complaints.append(self.table.complaint(number, "certainty", sentence))
        return None

    def _unattended(self, cell: str) -> int:
        if not cell:
            return 0
        return read_time(cell, in_minutes=True, comma_decimal=self.table.raw.comma_decimal).minutes or 0

    def check_sums(self) -> None:
        """Where a row gives a time and its parts theirs, the parts add up to it."""
        for number, (cells, minutes) in self.wholes.items():
            time = self._time(number, cells)
            if time is not None and time.minutes != sum(minutes):
                column = next(c for c in ("hours", "minutes", "start", "end") if cells.get(c))
                figures = {"sum": sum(minutes), "whole": time.minutes}
                sentence = _("The parts of this row add up to {sum} min, and the row says {whole} min.", **figures)
                self.complaints.append(self.table.complaint(number, column, sentence))

    def _check(self, row: FileRow) -> None:
        """What two cells of a row say together."""

        def complain(column: str, sentence: str) -> None:
            self.complaints.append(self.table.complaint(row.row, column, sentence))

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
