"""What lines mean together: a running total becomes the time of each, and a lump begins where the line before ended."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from builds.models.choices import TimeIs
from builds.transfer.complaints import Complaint
from builds.transfer.tables.cells import Time, last_of_month
from builds.transfer.tables.log_file import FileRow, ReadAs
from builds.transfer.tables.table import Table
from calcs.messages import _
from calcs.typed.durations import format_logged


@dataclass(frozen=True)
class Together:
    """Lines that were held against each other: those that stand, what is wrong, and what was left out on purpose."""

    rows: tuple[FileRow, ...]
    complaints: tuple[Complaint, ...] = ()
    aside: tuple[tuple[int, str], ...] = ()


def together(table: Table, rows: Sequence[FileRow], read_as: ReadAs, times: str, today: date) -> Together:
    """times: what the times of these lines are, see `ReadAs`."""
    if times == "month":
        rows = [_of_month(row, today) for row in rows]
    if times == "since":
        rows = [replace(row, lump=row.since_on is None) for row in rows]
    if times == "meter":
        return _meter(table, rows, read_as)
    return Together(_lumps(rows))


def _in_order(rows: Sequence[FileRow]) -> list[FileRow]:
    """The oldest first; of one day in the file's own order, from whichever end it was written."""
    newest_first = len(rows) > 1 and rows[0].worked_on > rows[-1].worked_on
    return sorted(reversed(rows) if newest_first else rows, key=lambda row: row.worked_on)


def _of_month(row: FileRow, today: date) -> FileRow:
    if row.since_on is not None:
        return row
    first = row.worked_on.replace(day=1)
    return replace(row, since_on=first, worked_on=min(last_of_month(first), max(today, first)))


def _lumps(rows: Sequence[FileRow]) -> tuple[FileRow, ...]:
    """Each lump from the day after the line before."""
    if not any(row.lump for row in rows):
        return tuple(rows)
    before: dict[int, date] = {}
    last: date | None = None
    earlier: date | None = None
    for row in _in_order(rows):
        if last is not None and row.worked_on > last:
            earlier = last
        last = row.worked_on
        if earlier is not None:
            before[id(row)] = earlier
    return tuple(
        _from(row, before[id(row)]) if row.lump and id(row) in before and row.since_on is None else row for row in rows
    )


def _from(row: FileRow, last: date) -> FileRow:
    """A line that lumps what was done after a day."""
    since = last + timedelta(days=1)
    return replace(row, since_on=since) if since < row.worked_on else row


def _meter(table: Table, rows: Sequence[FileRow], read_as: ReadAs) -> Together:
    """The time of each line from the readings before and at its end."""
    complaints: list[Complaint] = []
    aside: list[tuple[int, str]] = []
    found: list[FileRow] = []
    before: FileRow | None = None
    for row in _in_order(rows):
        reading = row.time.minutes or 0
        if before is None and read_as.first_reading != "counts":
            aside.append((row.row, _("sets the running total at {time}", time=format_logged(reading))))
        elif before is not None and reading < (before.time.minutes or 0) and read_as.backwards != "anew":
            slip = _backwards(row, before)
            if read_as.backwards == "left out":
                aside.append((row.row, slip))
                continue
            complaints.append(table.complaint(row.row, _column(table), slip))
        else:
            found.append(_difference(row, before))
        before = row
    return Together(tuple(sorted(found, key=lambda row: row.row)), tuple(complaints), tuple(aside))


def _column(table: Table) -> str:
    return next((column for column in ("meter", "hours", "minutes") if column in table.places), "meter")


def _backwards(row: FileRow, before: FileRow) -> str:
    return _(
        "The running total goes backwards here: {now} after {before} in row {row}. One of the two is a slip.",
        now=format_logged(row.time.minutes or 0),
        before=format_logged(before.time.minutes or 0),
        row=before.row,
    )


def _difference(row: FileRow, before: FileRow | None) -> FileRow:
    last = (before.time.minutes or 0) if before is not None else 0
    reading = row.time.minutes or 0
    minutes = reading - last if reading >= last else reading
    remarks = tuple(_remarks(row, before, minutes))
    row = replace(row, time=Time(minutes, TimeIs.EXACT), remarks=(*row.remarks, *remarks))
    return row if before is None or row.since_on is not None else _from(row, before.worked_on)


def _remarks(row: FileRow, before: FileRow | None, minutes: int) -> Iterator[str]:
    if before is None:
        return
    if minutes == 0:
        yield _("The running total is the same as in row {row}: no time between the two, or a slip.", row=before.row)
    elif (row.time.minutes or 0) < (before.time.minutes or 0):
        yield _("The running total begins anew here.")
