from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone
from django.utils.translation import gettext_lazy

from builds.forms.book import SIZES
from builds.management.base import RecordsCommand, add_slug_argument, build_called, check_target
from calcs.messages import _


class Command(RecordsCommand):
    help = gettext_lazy(
        "Write the book of a build, for handing it over: a PDF of all that the record says, with photos."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        add_slug_argument(parser)
        parser.add_argument("file", metavar="FILE", type=Path, help=_("where to write it"))
        parser.add_argument("--paper", choices=dict(SIZES), default="a4", help=_("a4, or letter"))
        parser.add_argument("--force", action="store_true", help=_("write over a file that is there already"))

    def handle(self, *args: Any, build: str, file: Path, paper: str, force: bool, **options: Any) -> None:
        # Not at the top: it loads what draws and prints.
        from builds.book.make import make_book

        found = build_called(build)
        check_target(file, force)
        try:
            for _step in make_book(found, timezone.localdate(), paper, file):
                pass
        except OSError as error:
            raise CommandError(_("{file} cannot be written: {why}.", file=file, why=error.strerror)) from error
        self.say(_("{file}: wrote the book of {name}.", file=file, name=found.name))
