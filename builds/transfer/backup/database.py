"""The database out of a backup, held against what this program's databases look like."""

import sqlite3
from contextlib import closing
from pathlib import Path

from django.db.migrations.loader import MigrationLoader

from builds.transfer.backup.layout import BackupError
from builds.transfer.complaints import quoted
from calcs.messages import _


def check_database(file: Path, database: Path) -> None:
    """The database must be whole, shaped as its migrations shape it, and no newer than this program.

    Raises BackupError with a sentence; `file` is the backup that it names.
    """
    try:
        with closing(sqlite3.connect(database)) as opened:
            _check_foreign(file, opened)
            whole = opened.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
            applied = set(opened.execute("SELECT app, name FROM django_migrations"))
            if not whole or not any(app == "builds" for app, name in applied):
                raise BackupError(_("{file} is damaged: the database in it is not whole.", file=file))
            _check_shape(file, opened, applied)
            if opened.execute("PRAGMA foreign_key_check").fetchone():
                raise BackupError(_("{file} is damaged: records in it point at others that are missing.", file=file))
    except sqlite3.DatabaseError as error:
        raise BackupError(
            _("{file} is damaged: the database in it cannot be read ({error}).", file=file, error=error)
        ) from error


def _check_foreign(file: Path, opened: sqlite3.Connection) -> None:
    """Nothing may stand in it that would run by itself, or be something else than it is called."""
    for kind, name, made in opened.execute("SELECT type, name, sql FROM sqlite_master"):
        if kind not in {"table", "index"} or str(made).upper().startswith("CREATE VIRTUAL"):
            raise BackupError(
                _("{file} is refused: the database in it holds {name}, which is none of this program's tables.",
                  file=file, name=quoted(name))
            )  # fmt: skip


def _check_shape(file: Path, opened: sqlite3.Connection, applied: set[tuple[str, str]]) -> None:
    """Every table and column is there that the migrations in it have made."""
    loader = MigrationLoader(None)
    if {key for key in applied if key[0] == "builds"} - set(loader.disk_migrations):
        raise BackupError(
            _("{file} was made by a newer version of this program. Bring the program up to date first.", file=file)
        )
    shape = loader.project_state([key for key in applied if key in loader.graph.nodes]).apps
    for model in shape.get_models(include_auto_created=True):
        found = {row[1] for row in opened.execute("SELECT * FROM pragma_table_info(?)", [model._meta.db_table])}
        missing = {field.column for field in model._meta.local_concrete_fields} - found
        if missing and model._meta.managed and not model._meta.proxy:
            table = model._meta.db_table
            what = table if not found else f"{table}.{min(missing)}"
            raise BackupError(
                _("{file} is damaged: the database in it is without {what}.", file=file, what=quoted(what))
            )
