"""What the commands that work on records have in common: a database that is ready, builds by their slug."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError

from builds.management.readiness import work_to_do
from builds.models import Build


class RecordsCommand(BaseCommand):
    """A command that needs the database in its present shape, and says so in a sentence where it is not."""

    def execute(self, *args: Any, **options: Any) -> str | None:
        try:
            if work_to_do():
                raise CommandError("The database is not ready. Run `manage.py migrate` first; `serve` does it too.")
            return super().execute(*args, **options)
        except DatabaseError as error:
            raise CommandError(f"The database cannot be used: {error}") from error

    def say(self, text: str = "") -> None:
        self.stdout.write(text)


def add_slug_argument(parser: ArgumentParser) -> None:
    parser.add_argument("build", metavar="BUILD", help="the build as it stands in its address: beam-engine")


def build_called(slug: str) -> Build:
    """The build with this slug. Raises CommandError that names those there are."""
    found = Build.objects.filter(slug=slug).first()
    if found is None:
        slugs = ", ".join(Build.objects.order_by("slug").values_list("slug", flat=True)[:20])
        raise CommandError(
            f'There is no build "{slug}". ' + (f"There are: {slugs}." if slugs else "There is none yet.")
        )
    return found
