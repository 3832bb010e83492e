from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from builds.management.base import RecordsCommand
from builds.transfer.complaints import RecordError
from builds.transfer.record.reader import import_record, load_record
from calcs.messages import _, ngettext


class Command(RecordsCommand):
    help = "Take whole builds in from record files (JSON), as export_record writes them. A wrong file is not taken."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("files", nargs="+", metavar="FILE", type=Path, help="a record file")
        parser.add_argument("--as", dest="name", metavar="NAME", help="another name for the build, for one file")

    def handle(self, *args: Any, files: list[Path], name: str | None, **options: Any) -> None:
        if name is not None and len(files) > 1:
            raise CommandError(_("--as gives one build another name, so it goes with one file."))
        if name is not None and not 0 < len(name.strip()) <= 120:
            raise CommandError(_("--as wants a name of 1 to 120 characters."))
        refused = []
        for file in files:
            try:
                self._take_in(file, name)
            except RecordError as error:
                refused.append(f"{file}: {error}")
        if refused:
            raise CommandError("\n".join(refused))

    def _take_in(self, file: Path, name: str | None) -> None:
        taken = import_record(load_record(file), name=name, today=timezone.localdate())
        counted = [
            ngettext("{n} part", "{n} parts", taken.parts),
            ngettext("{n} operation", "{n} operations", taken.operations),
            ngettext("{n} entry", "{n} entries", taken.entries),
        ]
        if taken.photos:
            counted.append(ngettext("{n} photo", "{n} photos", taken.photos))
        figures = {"file": file, "name": taken.build.name, "slug": taken.build.slug, "counted": ", ".join(counted)}
        self.say(_("{file}: took in {name} as {slug}: {counted}.", **figures))
        for note in taken.notes:
            self.say(f"  {note}")
