from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from builds.management.base import RecordsCommand
from builds.models import Builder
from builds.transfer.complaints import RecordError
from builds.transfer.record.reader import import_record, load_record
from calcs.messages import _, ngettext


class Command(RecordsCommand):
    help = "Take whole builds in from record files (JSON), as export_record writes them. A wrong file is not taken."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("files", nargs="+", metavar="FILE", type=Path, help="a record file")
        parser.add_argument("--as", dest="name", metavar="NAME", help="another name for the build, for one file")

        parser.add_argument("--check", action="store_true", help="only say what would come in, and change nothing")
        parser.add_argument(
            "--person",
            dest="people",
            action="append",
            default=[],
            metavar="NAME=HERE",
            help="what somebody in the file's log is called here; NAME= leaves the name out",
        )

    def handle(
        self, *args: Any, files: list[Path], name: str | None, people: list[str], check: bool, **options: Any
    ) -> None:
        self.asked = {"name": name, "people": _renamed(people), "only_look": check}
        if name is not None and len(files) > 1:
            raise CommandError(_("--as gives one build another name, so it goes with one file."))
        if name is not None and not 0 < len(name.strip()) <= 120:
            raise CommandError(_("--as wants a name of 1 to 120 characters."))
        refused = []
        for file in files:
            try:
                self._take_in(file)
            except RecordError as error:
                refused.append(f"{file}: {error}")
        if refused:
            raise CommandError("\n".join(refused))

    def _take_in(self, file: Path) -> None:
        taken = import_record(load_record(file), **self.asked, today=timezone.localdate())
        counted = [
            ngettext("{n} part", "{n} parts", taken.parts),
            ngettext("{n} operation", "{n} operations", taken.operations),
            ngettext("{n} entry", "{n} entries", taken.entries),
        ]
        if taken.photos:
            counted.append(ngettext("{n} photo", "{n} photos", taken.photos))
        figures = {"file": file, "name": taken.build.name, "slug": taken.build.slug, "counted": ", ".join(counted)}
        if self.asked["only_look"]:
            self.say(_("{file}: would take in {name} as {slug}: {counted}.", **figures))
            self._say_people(taken.people)
        else:
            self.say(_("{file}: took in {name} as {slug}: {counted}.", **figures))
        for note in taken.notes:
            self.say(f"  {note}")

    def _say_people(self, people: tuple[tuple[str, int], ...]) -> None:
        here = set(Builder.objects.filter(name__in=[name for name, entries in people]).values_list("name", flat=True))
        for name, number in people:
            entries = ngettext("{n} entry", "{n} entries", number)
            who = _("known here") if name in here else _("a new name, who does not sign in")
            self.say(f"  {name}: {entries} ({who})")


def _renamed(people: list[str]) -> dict[str, str | None]:
    renamed: dict[str, str | None] = {}
    for given in people:
        name, equals, here = (part.strip() for part in given.partition("="))
        if not name or not equals or len(here) > 80:
            raise CommandError(_("--person wants NAME=HERE, or NAME= to leave the name out."))
        renamed[name] = here or None
    return renamed
