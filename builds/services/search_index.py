"""The words of all records, kept by the database itself: whatever writes a record, its words are found at once.

On SQLite each table has an FTS5 table over its own rows and triggers that keep it; on PostgreSQL an index. Nothing of
it is a record: it is made after every migration where it is missing or another than it should be, and no backup has it.
"""

import hashlib
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

from django.apps import AppConfig
from django.db import connection, transaction
from django.db.models.signals import post_migrate, pre_migrate

from builds.models.searched import SEARCHED, Searched, words_in

Execute = Callable[..., Any]


def connect(app: AppConfig) -> None:
    """Make the words anew with every change of the tables. Tables that are remade would lose what keeps them."""
    pre_migrate.connect(_before, sender=app, dispatch_uid="drop the words that are searched")
    post_migrate.connect(_after, sender=app, dispatch_uid="make the words that are searched")


def make_index() -> None:
    """Make it where it is missing, or another than it should be. One query where nothing is to be done."""
    wanted = [searched for searched in SEARCHED if _has_columns(searched)] if _names() != _all_names() else []
    if not wanted:
        return
    with transaction.atomic(), connection.cursor() as cursor:
        drop_index(cursor.execute, connection.vendor)
        for searched in wanted:
            for statement in _statements(searched, connection.vendor):
                cursor.execute(statement)


def drop_index(execute: Execute, vendor: str = "sqlite") -> None:
    """Take it out of a database, by whatever executes a statement there."""
    if vendor == "postgresql":
        for name in _names():
            execute(f'DROP INDEX "{name}"')
        return
    found = (
        "SELECT type, name FROM sqlite_master WHERE name GLOB 'words_of_*' AND (type = 'trigger' OR sql LIKE '%fts5(%')"
    )
    # Triggers first.
    for kind, name in sorted(execute(found).fetchall(), reverse=True):
        execute(f'DROP {kind} "{name}"')


def _before(plan: Any = (), **_: Any) -> None:
    if plan:
        with connection.cursor() as cursor:
            drop_index(cursor.execute, connection.vendor)


def _after(**_: Any) -> None:
    make_index()


def _names() -> set[str]:
    """What is there of it."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SELECT indexname FROM pg_indexes WHERE schemaname = current_schema()")
        else:
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        return {name for (name,) in cursor.fetchall() if name.startswith("words_of_")}


@cache
def _all_names() -> set[str]:
    """What should be there: each name says what it was made by, so that another statement makes another name."""
    return {name for searched in SEARCHED for name, _ in _kept_by(searched, connection.vendor)}


def _has_columns(searched: Searched) -> bool:
    """Whether the table is there as it is today; it is not while somebody goes back to an earlier migration."""
    with connection.cursor() as cursor:
        if searched.table not in connection.introspection.table_names(cursor):
            return False
        found = connection.introspection.get_table_description(cursor, searched.table)
    return {column.name for column in found} >= set(searched.columns)


def _statements(searched: Searched, vendor: str) -> Iterator[str]:
    if vendor == "sqlite":
        yield _fts5(searched)
    for _name, statement in _kept_by(searched, vendor):
        yield statement
    if vendor == "sqlite":
        yield f"INSERT INTO {searched.index}({searched.index}) VALUES ('rebuild')"  # noqa: S608


def _fts5(searched: Searched) -> str:
    columns = ", ".join(searched.columns)
    return (
        f"CREATE VIRTUAL TABLE {searched.index} USING fts5({columns}, content='{searched.table}', content_rowid='id', "
        "tokenize='unicode61 remove_diacritics 2', prefix='1 2 3')"
    )


def _kept_by(searched: Searched, vendor: str) -> list[tuple[str, str]]:
    """What keeps the words of a table: names and statements."""
    if vendor == "postgresql":
        made = {"": f'ON "{searched.table}" USING gin (({words_in(searched, searched.columns)}))'}
        what = "INDEX"
    else:
        made, what = _triggers(searched), "TRIGGER"
    digest = hashlib.sha256(repr((_fts5(searched), made)).encode()).hexdigest()[:8]
    names = {f"{searched.index}{when}_{digest}": statement for when, statement in made.items()}
    return [(name, f"CREATE {what} {name} {statement}") for name, statement in names.items()]


def _triggers(searched: Searched) -> dict[str, str]:
    index, columns = searched.index, ", ".join(searched.columns)
    new, old = (", ".join(f"{row}.{column}" for column in searched.columns) for row in ("NEW", "OLD"))
    add = f"INSERT INTO {index}(rowid, {columns}) VALUES (NEW.id, {new});"  # noqa: S608
    # An FTS5 table over another table's rows is told what stood there.
    take = f"INSERT INTO {index}({index}, rowid, {columns}) VALUES ('delete', OLD.id, {old});"  # noqa: S608
    changed = " OR ".join(f"OLD.{column} IS NOT NEW.{column}" for column in searched.columns)
    return {
        "_added": f"AFTER INSERT ON {searched.table} BEGIN {add} END",
        "_removed": f"AFTER DELETE ON {searched.table} BEGIN {take} END",
        "_changed": f"AFTER UPDATE OF {columns} ON {searched.table} WHEN {changed} BEGIN {take} {add} END",
    }
