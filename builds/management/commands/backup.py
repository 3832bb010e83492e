from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.utils.translation import gettext_lazy

from builds.management.backups import back_up
from builds.management.base import RecordsCommand
from calcs.messages import _


class Command(RecordsCommand):
    help = gettext_lazy(
        "Write the database and the photos into one zip, while the server may be running. `restore` puts it back."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "folder", nargs="?", type=Path, metavar="FOLDER", help=_("where to (default: data/backups)")
        )

    def handle(self, *args: Any, folder: Path | None, **options: Any) -> None:
        self.say(_("Wrote {file}", file=back_up(folder or Path(settings.DATA_DIR) / "backups")))
