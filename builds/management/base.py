"""What the commands that work on records have in common: a database that is ready, builds by their slug."""

from argparse import ArgumentParser
from datetime import date
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import DatabaseError
from django.utils import timezone

from builds.database import unusable
from builds.management.holding import in_use
from builds.management.readiness import work_to_do
from builds.models import Build
from builds.services.disk import NotStored, why_not_stored
from builds.transfer.backup.layout import BackupError
from calcs.messages import _


class TranslatedCommand(BaseCommand):
    """A command whose help and words are in the language spoken. What it says is out at once, whatever reads it."""

    def create_parser(self, *args: Any, **kwargs: Any) -> CommandParser:
        # The parser takes no text that waits to be translated.
        self.help = str(self.help)
        return super().create_parser(*args, **kwargs)

    def execute(self, *args: Any, **options: Any) -> str | None:
        try:
            return super().execute(*args, **options)
        except BackupError as error:
            raise CommandError(str(error)) from error
        except BrokenPipeError:
            raise
        except (DatabaseError, OSError) as error:
            raise CommandError(_unusable(error)) from error
        except NotStored as error:
            raise CommandError(why_not_stored(error.__cause__)) from error

    def say(self, text: str = "") -> None:
        self.stdout.write(text)
        self.stdout.flush()


class RecordsCommand(TranslatedCommand):
    """A command that needs the database in its present shape, and says so in a sentence where it is not."""

    def execute(self, *args: Any, **options: Any) -> str | None:
        try:
            if work_to_do():
                raise CommandError(_("The database is not ready. Run `manage.py migrate` first; `serve` does it too."))
            with in_use():
                return super().execute(*args, **options)
        except DatabaseError as error:
            raise CommandError(_unusable(error)) from error


def _unusable(error: DatabaseError | OSError) -> str:
    """What the disk or the database said, as a sentence."""
    why = why_not_stored(error)
    if why or isinstance(error, DatabaseError):
        return why or unusable(error)
    return _("{file} cannot be used: {error}.", file=error.filename or settings.DATA_DIR, error=error.strerror or error)


def add_slug_argument(parser: ArgumentParser) -> None:
    parser.add_argument("build", metavar="BUILD", help=_("the build as it stands in its address: beam-engine"))


def build_called(slug: str) -> Build:
    """The build with this slug. Raises CommandError that names those there are."""
    found = Build.objects.filter(slug=slug).first()
    if found is None:
        slugs = ", ".join(Build.objects.order_by("slug").values_list("slug", flat=True)[:20])
        if not slugs:
            raise CommandError(_('There is no build "{slug}". There is none yet.', slug=slug))
        raise CommandError(_('There is no build "{slug}". There are: {slugs}.', slug=slug, slugs=slugs))
    return found


def check_target(file: Path, force: bool) -> None:
    """Raises CommandError where a file may not be written under that name."""
    if file.is_dir():
        raise CommandError(_("{file} is a folder. Give the name of a file.", file=file))
    if file.exists() and not force:
        raise CommandError(_("{file} is there already. Give another name, or --force to write over it.", file=file))


def past_day(typed: str | None) -> date:
    """The day that `--as-of` names, today where it is left out. Raises CommandError for what is no day, or ahead."""
    today = timezone.localdate()
    day = today if typed is None else day_given("--as-of", typed)
    if day > today:
        raise CommandError(_("--as-of: {typed} has not come yet.", typed=typed))
    return day


def day_given(option: str, typed: str) -> date:
    """The day that an option names. Raises CommandError with a sentence."""
    try:
        return date.fromisoformat(typed)
    except ValueError as error:
        words = {"option": option, "typed": typed}
        raise CommandError(_('{option}: "{typed}" is not a date. Write it like 2026-03-14.', **words)) from error
