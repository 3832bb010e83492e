from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.utils.translation import gettext_lazy

from builds.management.backups import put_back
from builds.management.base import TranslatedCommand
from calcs.messages import _


class Command(TranslatedCommand):
    help = gettext_lazy(
        "Put a backup in the place of all records there are now, which are backed up first. "
        "Photos that the backup does not have are left where they are."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE.zip", help=_("what `backup` wrote"))

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        before = put_back(file)
        self.say(_("Put back {file}", file=file))
        if before is not None:
            self.say(_("What was there before is kept in {file}", file=before))
