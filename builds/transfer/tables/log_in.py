"""A log file in: every row an entry, or nothing at all and a sentence for each row that is wrong."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from django.utils.formats import date_format

from builds.models import Build, Builder
from builds.models.choices import Activity
from builds.models.oddity import Oddity
from builds.transfer.complaints import Complaint, LogError, known, plain_name
from builds.transfer.tables.log_file import FileRow, LogFile, ReadAs
from builds.transfer.tables.log_plan import Intake, plan_rows, save
from builds.transfer.tables.log_rows import SHOP_TIME, read_log, understood
from builds.transfer.tables.raw import RawTable
from builds.transfer.tables.seen_rows import SeenRow, SeenTable, State, refused_rows
from builds.transfer.tables.table import find_columns, what_is_missing
from calcs.messages import _
from calcs.typed.durations import format_logged


@dataclass(frozen=True)
class LogReport:
    """What came of taking a log in, or would come of it.

    again: rows that the build's log has already; `removed` of them were removed from it since, and stay so.
    odd: what is odd about the rows that are taken in, each with the row's number as a spreadsheet counts it.
    """

    rows: int
    added: int
    again: int
    removed: int
    minutes: int
    unknown_times: int
    new_parts: tuple[str, ...]
    new_builders: tuple[str, ...]
    first_on: date | None
    last_on: date | None
    aside: tuple[str, ...]
    odd: tuple[tuple[int, Oddity], ...]
    written: bool
    changed: int = 0
    # How rows were understood, or why they were left out, where that may be asked about.
    remarks: tuple[tuple[int, str], ...] = ()


def import_log(
    build: Build,
    source: Path | str,
    *,
    check: bool = False,
    by: Builder | None = None,
    today: date,
    name: str = "",
    read_as: ReadAs | None = None,
) -> LogReport:
    """Take a log file into a build's log, which can be undone.

    check: read everything and say what would come of it, and write nothing.
    Raises LogError, and writes nothing then.
    """
    file = read_log(source, today=today, name=name, read_as=read_as, parts=_parts_of(build))
    intake = plan_rows(build, file, by=by, today=today)
    if intake.complaints:
        raise LogError(intake.complaints)
    if (intake.entries or intake.changed) and not check:
        save(build, intake, by=by, name=file.table.name)
    return _report(file, intake, written=not check)


@dataclass(frozen=True)
class LogSeen(SeenTable):
    """A log that was looked at, and what `take_in` would make of it."""

    build: Build = field(kw_only=True)
    intake: Intake = field(default_factory=Intake)

    def take_in(self, by: Builder | None) -> None:
        """Write it. Call only where it is `to_take`; raises ValidationError, and nothing is written then."""
        save(self.build, self.intake, by=by, name=self.table.name)


def look_at_log(build: Build, raw: RawTable, read_as: ReadAs, *, builder: Builder | None, today: date) -> LogSeen:
    """What would come of a log, row by row. builder: whose hours they are where a row does not say.

    Raises LogError where the table cannot be read at all.
    """
    table = find_columns(raw, "log", read_as.columns)
    whole = what_is_missing(table)
    if whole:
        return LogSeen(table, (), tuple(whole), build=build)
    file = understood(table, today=today, read_as=read_as, parts=_parts_of(build))
    intake = plan_rows(build, file, by=builder, today=today)
    complaints = [*file.complaints, *intake.complaints]
    return LogSeen(
        table,
        _seen_rows(file, intake, complaints),
        tuple(one for one in complaints if one.row is None),
        file.dates_unclear,
        tuple(_also(intake)),
        intake,
        build=build,
    )


def _seen_rows(file: LogFile, intake: Intake, complaints: list[Complaint]) -> tuple[SeenRow, ...]:
    cells = {number: " · ".join(filter(None, said.values())) for number, said in file.table.rows}
    odd: dict[int, list[str]] = {}
    for number, one in intake.odd:
        odd.setdefault(number, []).append(one.words)
    refused = refused_rows(complaints, cells)
    wrong = {row.number for row in refused}
    rows = [
        SeenRow(row.row, state, _in_short(row), (*words, *row.remarks, *odd.get(row.row, ())))
        for row, state, words in intake.states
        if row.row not in wrong
    ]
    aside = [SeenRow(number, State.ASIDE, cells.get(number, ""), (why,)) for number, why in file.aside]
    return tuple(sorted([*refused, *rows, *aside], key=lambda row: row.number))


def _in_short(row: FileRow) -> str:
    time = _("time not known") if row.time.minutes is None else format_logged(row.time.minutes)
    counts = [f"{row.good} {_('good')}" if row.good else "", f"{row.scrap} {_('scrap')}" if row.scrap else ""]
    work = row.part or str(Activity(row.activity).label)
    return " · ".join(filter(None, (date_format(row.worked_on), work, row.operation, time, *counts, row.note[:80])))


def _also(intake: Intake) -> Iterator[str]:
    if intake.new_parts:
        names = known([part.name for part in intake.new_parts])
        yield _("New parts, without a figure yet: {names}.", names=names)
    if intake.new_builders:
        yield _("New builders: {names}.", names=known([one.name for one in intake.new_builders]))


def _parts_of(build: Build) -> frozenset[str]:
    said = build.parts.values_list("number", "name")
    return SHOP_TIME.union(plain_name(text) for both in said for text in both)


def _report(file: LogFile, intake: Intake, *, written: bool) -> LogReport:
    days = [entry.worked_on for entry in intake.entries]
    return LogReport(
        rows=len(file.rows),
        added=len(intake.entries),
        again=intake.again,
        removed=intake.removed,
        minutes=sum(entry.bench_minutes or 0 for entry in intake.entries),
        unknown_times=sum(entry.bench_minutes is None for entry in intake.entries),
        new_parts=tuple(part.name for part in intake.new_parts),
        new_builders=tuple(builder.name for builder in intake.new_builders),
        first_on=min(days, default=None),
        last_on=max(days, default=None),
        aside=file.table.aside,
        odd=tuple(sorted(intake.odd, key=lambda one: one[0])),
        written=written,
        changed=len(intake.changed),
        remarks=tuple(sorted([*file.aside, *((row.row, said) for row in file.rows for said in row.remarks)])),
    )
