"""The whole of the data folder's records in one zip: the database as it stands at one moment, and the photos."""

import shutil
import sqlite3
import tempfile
import zipfile
import zlib
from contextlib import closing
from datetime import datetime
from pathlib import Path, PurePosixPath

from django.conf import settings
from django.core.cache import cache
from django.core.management.base import CommandError
from django.db import connection, connections
from django.db.migrations.loader import MigrationLoader

from builds.management.readiness import copy_sqlite, migrate
from builds.models import Shop
from calcs.messages import _

DATABASE = "swarfbook.sqlite3"
PHOTOS = "photos"


def database_file() -> Path:
    """The SQLite file. Raises CommandError where the records are kept in PostgreSQL."""
    if connection.vendor != "sqlite":
        raise CommandError(_("The records are kept in PostgreSQL (DATABASE_URL). Use pg_dump and pg_restore for them."))
    return Path(str(connection.settings_dict["NAME"]))


def back_up(folder: Path) -> Path:
    """Write a backup into a folder, which is made where it is missing. Raises CommandError with a sentence."""
    database = database_file()
    if not database.is_file():
        raise CommandError(_("There is nothing to back up yet."))
    target = folder / f"swarfbook-{datetime.now().astimezone():%Y%m%d-%H%M%S-%f}.zip"
    half = target.with_suffix(".part")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=folder) as work, zipfile.ZipFile(half, "w", zipfile.ZIP_DEFLATED) as out:
            copy = Path(work) / DATABASE
            copy_sqlite(database, copy)
            out.write(copy, DATABASE)
            for photo in sorted(path for path in Path(settings.MEDIA_ROOT).rglob("*") if path.is_file()):
                out.write(photo, f"{PHOTOS}/{photo.relative_to(settings.MEDIA_ROOT).as_posix()}", zipfile.ZIP_STORED)
        half.chmod(0o600)
        half.replace(target)
    except OSError as error:
        half.unlink(missing_ok=True)
        raise CommandError(
            _("{file} cannot be written: {error}.", file=target, error=error.strerror or error)
        ) from error
    return target


def put_back(file: Path) -> Path | None:
    """Put a backup in the place of all there is now, in the present shape; return the backup made of that before.

    The file is checked first; nothing is changed where it is not whole. Raises CommandError with a sentence.
    """
    database = database_file()
    try:
        with zipfile.ZipFile(file) as packed, tempfile.TemporaryDirectory(dir=settings.DATA_DIR) as work:
            _check_names(file, packed)
            packed.extractall(work)
            _check_database(file, Path(work) / DATABASE)
            before = back_up(Path(settings.DATA_DIR) / "backups") if database.is_file() else None
            used = _shops_revision()
            connections.close_all()
            _replace_database(Path(work) / DATABASE, database)
            if (Path(work) / PHOTOS).is_dir():
                shutil.copytree(Path(work) / PHOTOS, settings.MEDIA_ROOT, dirs_exist_ok=True)
    except (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError) as error:
        raise CommandError(_("{file} is not a backup, or it is damaged.", file=file)) from error
    except OSError as error:
        raise CommandError(
            _("{file} cannot be put back: {error}.", file=file, error=error.strerror or error)
        ) from error
    migrate()
    # The builds' revisions went back. What was kept for them would be shown for another state of a build, here and in
    # the browsers, whose pages go by the shop's revision too: it goes on from the one before.
    Shop.raise_revision(used)
    cache.clear()
    return before


def _shops_revision() -> int:
    if Shop._meta.db_table not in connection.introspection.table_names():
        return 0
    return max(Shop.objects.values_list("revision", flat=True), default=0)


def _check_names(file: Path, packed: zipfile.ZipFile) -> None:
    names = packed.namelist()
    strange = [n for n in names if n != DATABASE and not (n.startswith(f"{PHOTOS}/") and _stays_inside(n))]
    if DATABASE not in names or strange:
        raise CommandError(_("{file} is not a backup of this program.", file=file))


def _stays_inside(name: str) -> bool:
    return not PurePosixPath(name).is_absolute() and ".." not in PurePosixPath(name).parts and "\\" not in name


def _check_database(file: Path, database: Path) -> None:
    """The database must be whole, and no newer than this program."""
    try:
        with closing(sqlite3.connect(database)) as opened:
            whole = opened.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
            applied = set(opened.execute("SELECT app, name FROM django_migrations WHERE app = 'builds'"))
    except sqlite3.DatabaseError as error:
        raise CommandError(
            _("{file} is damaged: the database in it cannot be read ({error}).", file=file, error=error)
        ) from error
    if not whole or not applied:
        raise CommandError(_("{file} is damaged: the database in it is not whole.", file=file))
    newer = applied - set(MigrationLoader(None).disk_migrations)
    if newer:
        raise CommandError(
            _("{file} was made by a newer version of this program. Bring the program up to date first.", file=file)
        )


def _replace_database(source: Path, database: Path) -> None:
    """Through the database itself, so that a server that has it open sees either the old or the new one."""
    try:
        with closing(sqlite3.connect(source)) as kept, closing(sqlite3.connect(database, timeout=20)) as live:
            kept.backup(live)
    except sqlite3.Error as error:
        raise CommandError(
            _("The database could not be replaced ({error}). End the server first.", error=error)
        ) from error
