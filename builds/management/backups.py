"""Putting a backup in the place of all there is."""

import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

from django.conf import settings
from django.contrib.sessions.models import Session
from django.core.cache import cache
from django.core.management.base import CommandError
from django.db import connection, connections, transaction
from django.db.models import Model
from django.utils import timezone

from builds.management.holding import in_use_by_nobody_else
from builds.management.readiness import migrate
from builds.models import Shop
from builds.models.choices import EventType
from builds.services.changes import note
from builds.transfer.backup.database import check_database
from builds.transfer.backup.layout import DATABASE, DRAWINGS, PHOTOS
from builds.transfer.backup.unpack import unpack
from builds.transfer.backup.write import back_up, database_file
from calcs.messages import _


def put_back(file: Path) -> Path | None:
    """Put a backup in the place of all there is now, in the present shape; return the backup made of that before.

    The file is checked first; nothing is changed where it is not whole, nor while anybody uses the records. Whoever is
    signed in stays so, unless the backup has another password for them. Raises BackupError or CommandError.
    """
    database = database_file()
    try:
        with in_use_by_nobody_else(), tempfile.TemporaryDirectory(dir=settings.DATA_DIR) as work:
            unpack(file, Path(work))
            check_database(file, Path(work) / DATABASE)
            before = back_up(Path(settings.DATA_DIR) / "backups") if database.is_file() else None
            used, sessions = _shops_revision(), _sessions()
            connections.close_all()
            _replace_database(Path(work) / DATABASE, database)
            media = Path(settings.MEDIA_ROOT)
            _move_files(Path(work) / PHOTOS, media)
            _move_files(Path(work) / DRAWINGS, media / DRAWINGS)
            migrate()
            _go_on_from(file, used, sessions)
    except OSError as error:
        raise CommandError(
            _("{file} cannot be put back: {error}.", file=file, error=error.strerror or error)
        ) from error
    return before


def _shops_revision() -> int:
    return max(Shop.objects.values_list("revision", flat=True), default=0) if _has_table(Shop) else 0


def _sessions() -> list[Session]:
    return list(Session.objects.filter(expire_date__gt=timezone.now())) if _has_table(Session) else []


def _has_table(model: type[Model]) -> bool:
    return model._meta.db_table in connection.introspection.table_names()


def _go_on_from(file: Path, used: int, sessions: list[Session]) -> None:
    """What goes on where a backup goes back.

    The builds' revisions went back. What was kept for them would be shown for another state of a build, here and in the
    browsers, whose pages go by the shop's revision too: it goes on from the one before. A session that ended after the
    backup was made must not come to life again, and those that began since go on.
    """
    Shop.raise_revision(used)
    note(by=None, type=EventType.RESTORE, name=file.name)
    cache.clear()
    with transaction.atomic():
        Session.objects.all().delete()
        Session.objects.bulk_create(sessions)


def _replace_database(source: Path, database: Path) -> None:
    """Through the database itself, so that whoever has it open sees either the old or the new one."""
    try:
        with closing(sqlite3.connect(source)) as kept, closing(sqlite3.connect(database, timeout=20)) as live:
            kept.backup(live)
    except sqlite3.Error as error:
        raise CommandError(
            _("The database could not be replaced ({error}). End the server first.", error=error)
        ) from error


def _move_files(folder: Path, into: Path) -> None:
    """Moving takes no room on the disk, so it cannot end half way for want of it."""
    for file in [path for path in folder.rglob("*") if path.is_file()]:
        target = into / file.relative_to(folder)
        target.parent.mkdir(parents=True, exist_ok=True)
        file.replace(target)
