from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from builds.management.backups import put_back
from builds.management.readiness import migrate


class Command(BaseCommand):
    help = (
        "Put a backup in the place of all records there are now, which are backed up first. "
        "Photos that the backup does not have are left where they are."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE.zip", help="what `backup` wrote")

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        before = put_back(file)
        migrate()
        self.stdout.write(f"Put back {file}")
        if before is not None:
            self.stdout.write(f"What was there before is kept in {before}")
