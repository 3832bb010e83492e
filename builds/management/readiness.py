"""Making the data folder ready: the database in its present shape, and the static files in their place."""

import hashlib
import os
import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.contrib.staticfiles.storage import ManifestFilesMixin, staticfiles_storage
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor

from builds.database import unusable
from builds.services.disk import why_not_stored
from calcs.messages import _

KEPT_BACKUPS = 10


def migrate() -> Path | None:
    """Bring the database into its present shape, and return the backup made before where there was work to do."""
    try:
        kept = backup_database() if _has_records() and work_to_do() else None
        call_command("migrate", interactive=False, verbosity=0)
        # Where results are kept in the database (KEPT_IN); otherwise this does nothing.
        call_command("createcachetable", verbosity=0)
    except DatabaseError as error:
        raise CommandError(why_not_stored(error) or unusable(error)) from error
    return kept


def work_to_do() -> bool:
    """Whether the database is not in its present shape."""
    executor = MigrationExecutor(connection)
    return bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))


def _has_records() -> bool:
    return bool(connection.introspection.table_names())


def backup_database() -> Path | None:
    """Copy the SQLite file while it may be in use, and keep the last ten copies. None where there is no such file.

    The file is never copied as a file: what stands in its write-ahead log would be missing from the copy.
    """
    database = connection.settings_dict["NAME"]
    if connection.vendor != "sqlite" or not Path(str(database)).is_file():
        return None
    folder = Path(settings.DATA_DIR) / "backups"
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    kept = folder / f"swarfbook-{datetime.now().astimezone():%Y%m%d-%H%M%S-%f}.sqlite3"
    copy_sqlite(Path(str(database)), kept)
    for old in sorted(folder.glob("swarfbook-*.sqlite3"))[:-KEPT_BACKUPS]:
        old.unlink(missing_ok=True)
    return kept


def copy_sqlite(source: Path, target: Path) -> None:
    """Copy a SQLite database whole, as it stands at one moment. The target appears only when it is complete."""
    half = target.with_suffix(".part")
    try:
        with closing(sqlite3.connect(source, timeout=20)) as live, closing(sqlite3.connect(half)) as copy:
            live.backup(copy)
        os.chmod(half, 0o600)
        os.replace(half, target)
    except (OSError, sqlite3.Error) as error:
        half.unlink(missing_ok=True)
        raise CommandError(
            _("The backup {file} could not be written ({error}), so nothing was changed.", file=target, error=error)
        ) from error


def collect_static() -> None:
    """Put the static files where they are served from, where what is there was made of other files than these.

    By content and not by age: a program that is newer may well be made of files that are older.
    """
    if not isinstance(staticfiles_storage, ManifestFilesMixin):
        return
    made_of, now = Path(settings.STATIC_ROOT) / "made-of", _digest_of_static()
    if made_of.is_file() and made_of.read_text() == now:
        return
    call_command("collectstatic", interactive=False, clear=True, verbosity=0)
    made_of.write_text(now)
    # The manifest was read before there was one.
    staticfiles_storage.hashed_files = staticfiles_storage.load_manifest()[0]


def _digest_of_static() -> str:
    digest = hashlib.sha256()
    for finder in get_finders():
        for path, storage in finder.list(["CVS", ".*", "*~"]):
            with storage.open(path) as source:
                digest.update(path.encode() + b"\0" + hashlib.sha256(source.read()).digest())
    return digest.hexdigest()
