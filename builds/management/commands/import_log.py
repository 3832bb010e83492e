from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from builds.management.base import RecordsCommand, add_slug_argument, build_called
from builds.models import Builder
from builds.transfer.complaints import LogError
from builds.transfer.tables.log_file import ReadAs
from builds.transfer.tables.log_in import LogReport, import_log
from calcs.messages import _, ngettext
from calcs.typed.durations import format_logged

# What a person may say of a log (`ReadAs`).
ASKED = ("sheet", "dates", "times", "first_reading", "backwards")
# Odd rows that are told one by one.
ODD_SHOWN = 20


class Command(RecordsCommand):
    help = (
        "Take a log kept in a spreadsheet (CSV or XLSX) into a build. Columns: date; hours or minutes; part (or "
        "section) or activity; and where there are any operation, builder, good, reworked, scrap, reason, note, since. "
        "Rows that are in the log already are known again. If one row is wrong, none is taken."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        add_slug_argument(parser)
        parser.add_argument("file", metavar="FILE.csv", type=Path, help="the log, with headers in its first row")
        parser.add_argument("--check", action="store_true", help="say what would come of it, and write nothing")
        parser.add_argument("--builder", metavar="NAME", help="whose hours they are, where a row does not say")
        parser.add_argument("--sheet", metavar="TAB", default="", help="which tab of a workbook")
        parser.add_argument("--dates", choices=("day", "month"), default="", help="what comes first in 03/04/2026")
        times = "what the times are: of each row, all since the row before, a running total, or of whole months"
        parser.add_argument("--times", choices=("each", "since", "meter", "month"), default="", help=times)
        first = "whether the first reading of a running total only sets it, or counts from nothing"
        parser.add_argument("--first-reading", choices=("sets", "counts"), default="sets", help=first)
        backwards = "what becomes of a running total that goes backwards (else it is refused)"
        parser.add_argument("--backwards", choices=("left out", "anew"), default="", help=backwards)

    def handle(self, *args: Any, build: str, file: Path, check: bool, builder: str | None, **options: Any) -> None:
        by = None
        if builder is not None:
            by = Builder.objects.filter(name__iexact=builder.strip()).first()
            if by is None:
                raise CommandError(_('There is no builder "{name}" yet.', name=builder))
        try:
            read_as = ReadAs(**{name: options[name] for name in ASKED})
            today = timezone.localdate()
            report = import_log(build_called(build), file, check=check, by=by, today=today, read_as=read_as)
        except LogError as error:
            raise CommandError(f"{error}\n" + _("Nothing was taken in.")) from error
        for line in _lines(report, file.name):
            self.say(line)


def _lines(report: LogReport, name: str) -> list[str]:
    rows = ngettext("{n} row", "{n} rows", report.rows)
    taken = {"name": name, "rows": rows, "added": report.added, "time": format_logged(report.minutes)}
    if report.written:
        lines = [_("{name}: {rows}; {added:,} taken in, {time} at the bench.", **taken)]
    else:
        lines = [_("{name}: {rows}; {added:,} would be taken in, {time} at the bench.", **taken)]
    if report.first_on and report.last_on:
        first, last = report.first_on.isoformat(), report.last_on.isoformat()
        lines.append(_("They run from {first} to {last}.", first=first, last=last))
    if report.unknown_times:
        lines.append(_("The time of {number:,} of them is not known.", number=report.unknown_times))
    if report.removed:
        figures = {"number": report.again, "removed": report.removed}
        lines.append(
            _("{number:,} were in the log already ({removed:,} of them removed since, and left so).", **figures)
        )
    elif report.again:
        lines.append(_("{number:,} were in the log already.", number=report.again))
    if report.changed:
        lines.append(_("{number:,} that the log had already were changed by their row.", number=report.changed))
    if report.new_parts:
        lines.append(_("New parts, without a figure yet: {names}.", names=", ".join(report.new_parts)))
    if report.new_builders:
        lines.append(_("New builders: {names}.", names=", ".join(report.new_builders)))
    if report.aside:
        lines.append(_("Columns left aside: {names}.", names=", ".join(report.aside)))
    lines.extend(_("Row {row}: {words}", row=row, words=words) for row, words in report.remarks[:ODD_SHOWN])
    lines.extend(_("Odd in row {row}: {words}", row=row, words=odd.words) for row, odd in report.odd[:ODD_SHOWN])
    if len(report.odd) > ODD_SHOWN:
        lines.append(_("… and {more} more of the kind.", more=len(report.odd) - ODD_SHOWN))
    if not report.written:
        lines.append(_("Nothing was written."))
    return lines
