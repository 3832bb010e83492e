from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from builds.management.base import RecordsCommand, add_slug_argument, build_called
from builds.models import Builder
from builds.transfer.complaints import LogError
from builds.transfer.log_in import LogReport, import_log
from calcs.typed.durations import format_duration


class Command(RecordsCommand):
    help = (
        "Take a log kept in a spreadsheet (saved as CSV) into a build. Columns: date; hours or minutes; part (or "
        "section) or activity; and where there are any operation, builder, good, reworked, scrap, reason, note, since. "
        "Rows that are in the log already are known again. If one row is wrong, none is taken."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        add_slug_argument(parser)
        parser.add_argument("file", metavar="FILE.csv", type=Path, help="the log, with headers in its first row")
        parser.add_argument("--check", action="store_true", help="say what would come of it, and write nothing")
        parser.add_argument("--builder", metavar="NAME", help="whose hours they are, where a row does not say")

    def handle(self, *args: Any, build: str, file: Path, check: bool, builder: str | None, **options: Any) -> None:
        by = None
        if builder is not None:
            by = Builder.objects.filter(name__iexact=builder.strip()).first()
            if by is None:
                raise CommandError(f'There is no builder "{builder}" yet.')
        try:
            report = import_log(build_called(build), file, check=check, by=by, today=timezone.localdate())
        except LogError as error:
            raise CommandError(f"{error}\nNothing was taken in.") from error
        for line in _lines(report, file.name):
            self.say(line)


def _lines(report: LogReport, name: str) -> list[str]:
    verb = "taken in" if report.written else "would be taken in"
    lines = [f"{name}: {report.rows:,} rows; {report.added:,} {verb}, {format_duration(report.minutes)} at the bench."]
    if report.first_on and report.last_on:
        lines.append(f"They run from {report.first_on.isoformat()} to {report.last_on.isoformat()}.")
    if report.unknown_times:
        lines.append(f"The time of {report.unknown_times:,} of them is not known.")
    if report.again:
        removed = f" ({report.removed:,} of them removed since, and left so)" if report.removed else ""
        lines.append(f"{report.again:,} were in the log already{removed}.")
    if report.new_parts:
        lines.append(f"New parts, without a figure yet: {', '.join(report.new_parts)}.")
    if report.new_builders:
        lines.append(f"New builders: {', '.join(report.new_builders)}.")
    if report.aside:
        lines.append(f"Columns left aside: {', '.join(report.aside)}.")
    if not report.written:
        lines.append("Nothing was written.")
    return lines
