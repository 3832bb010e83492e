"""The database as it is opened, by every command and by the serving process alike: never one of a newer version."""

from pathlib import Path
from pkgutil import iter_modules
from typing import Any

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.db import DatabaseError, connection
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.signals import connection_created

from builds import migrations
from builds.private import keep_private
from calcs.messages import _


class NewerDatabase(ImproperlyConfigured):
    """The database has a shape that this program does not know. The message is a sentence for whoever started it."""


def unusable(error: object) -> str:
    """The sentence for a database that does not answer: the setting it comes from, and what it said, on one line."""
    setting = "DATABASE_URL" if connection.vendor == "postgresql" else "DATA_DIR"
    what = " ".join(str(error).split())
    return _("The database that {setting} names cannot be used: {error}", setting=setting, error=what)


def watch() -> None:
    """Look at every database when it is opened, and keep it to ourselves."""
    connection_created.connect(_keep_private, dispatch_uid="keep_private")
    connection_created.connect(_refuse_newer, dispatch_uid="refuse_newer")


def unknown_migrations(connection: BaseDatabaseWrapper) -> set[str]:
    """What a newer program did to the database: migrations of ours that are applied there and not to be found here."""
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT name FROM django_migrations WHERE app = 'builds'")
            applied = {name for (name,) in cursor.fetchall()}
    except DatabaseError:
        # No table yet: a database that is about to be made.
        return set()
    return applied - {module.name for module in iter_modules(migrations.__path__)}


def _keep_private(connection: BaseDatabaseWrapper, **kwargs: Any) -> None:
    # SQLite makes its file when it is first opened, and what stands beside it with the file's own mode.
    if connection.vendor == "sqlite":
        keep_private(Path(settings.DATA_DIR))


def _refuse_newer(connection: BaseDatabaseWrapper, **kwargs: Any) -> None:
    if unknown := unknown_migrations(connection):
        # Otherwise it would stand open, and the next question would be answered.
        connection.close()
        raise NewerDatabase(
            _(
                "The database was made by a newer version of this program (it has {name}, which is not known here), "
                "so it is left alone. Bring the program up to date.",
                name=max(unknown),
            )
        )
