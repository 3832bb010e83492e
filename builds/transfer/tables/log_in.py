"""A log file in: every row an entry, or nothing at all and a sentence for each row that is wrong."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from builds.models import Build, Builder
from builds.models.oddity import Oddity
from builds.transfer.complaints import plain_name
from builds.transfer.tables.log_file import LogFile
from builds.transfer.tables.log_plan import Intake, plan_rows, save
from builds.transfer.tables.log_rows import SHOP_TIME, read_log


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
    # How rows were understood, or why they were left out, where that may be asked about.
    remarks: tuple[tuple[int, str], ...] = ()


def import_log(
    build: Build, source: Path | str, *, check: bool = False, by: Builder | None = None, today: date, name: str = ""
) -> LogReport:
    """Take a log file into a build's log, which can be undone.

    check: read everything and say what would come of it, and write nothing.
    Raises LogError, and writes nothing then.
    """
    said = build.parts.values_list("number", "name")
    parts = SHOP_TIME.union(plain_name(text) for both in said for text in both)
    file = read_log(source, today=today, name=name, parts=parts)
    intake = plan_rows(build, file, by=by, today=today)
    if intake.entries and not check:
        save(build, intake, by=by, name=file.table.name)
    return _report(file, intake, written=not check)


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
        remarks=tuple(sorted([*file.aside, *((row.row, said) for row in file.rows for said in row.remarks)])),
    )
