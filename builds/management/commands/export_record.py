from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError

from builds.management.base import RecordsCommand, add_slug_argument, build_called, check_target
from builds.models.choices import EventType
from builds.services.changes import note
from builds.services.disk import write_whole
from builds.transfer.record.reader import MOST_MEGABYTES
from builds.transfer.record.writer import export_text
from calcs.messages import _


class Command(RecordsCommand):
    help = "Write a whole build, photos and scans included, as one record file (JSON) for import_record anywhere."

    def add_arguments(self, parser: ArgumentParser) -> None:
        add_slug_argument(parser)
        parser.add_argument(
            "file", nargs="?", metavar="FILE", type=Path, help="where to write it; left out, it is printed"
        )
        parser.add_argument("--without-pictures", action="store_true", help="leave photos and scans of drawings out")
        parser.add_argument("--force", action="store_true", help="write over a file that is there already")

    def handle(
        self, *args: Any, build: str, file: Path | None, without_pictures: bool, force: bool, **options: Any
    ) -> None:
        found = build_called(build)
        if file is not None:
            check_target(file, force)
        try:
            text = export_text(found, photos=not without_pictures)
        except FileNotFoundError as error:
            sentence = _("A photo of this build is missing from the data folder: {file}", file=error.filename)
            raise CommandError(sentence) from error
        _check_size(text)
        note(by=None, type=EventType.HAND_OVER, name=found.name)
        if file is None:
            self.stdout.write(text, ending="")
            return
        try:
            write_whole(file, text.encode())
        except OSError as error:
            raise CommandError(_("{file} cannot be written: {why}.", file=file, why=error.strerror)) from error
        self.say(_("{file}: wrote {name}.", file=file, name=found.name))


def _check_size(text: str) -> None:
    """What is written can be taken in again."""
    if len(text) > MOST_MEGABYTES * 2**20:
        figures = {"size": len(text) / 2**20, "most": MOST_MEGABYTES}
        raise CommandError(
            _("The record would have {size:,.0f} MB; one holds {most} MB. Write it --without-pictures.", **figures)
        )
