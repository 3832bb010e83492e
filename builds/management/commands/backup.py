from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.utils.translation import gettext_lazy

from builds.management.base import RecordsCommand
from builds.models.choices import EventType
from builds.services.changes import note
from builds.transfer.backup.kept import back_up_everywhere
from builds.transfer.backup.write import back_up
from calcs.messages import _


class Command(RecordsCommand):
    help = gettext_lazy(
        "Write everything into one zip, while the server may be running: the database, the photos, and tables that are "
        "read without this program. `restore` puts it back."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "folder",
            nargs="?",
            type=Path,
            metavar="FOLDER",
            help=_("where to (default: where the daily ones are)"),
        )

    def handle(self, *args: Any, folder: Path | None, **options: Any) -> None:
        made = back_up(folder) if folder else back_up_everywhere()
        note(by=None, type=EventType.BACK_UP, name=made.name)
        self.say(_("Wrote {file}", file=made))
