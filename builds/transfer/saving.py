"""Many records written at once, from a record file or from a log."""

from collections.abc import Iterable, Sequence
from functools import partial
from typing import Any, TypeVar

from django.db import DEFAULT_DB_ALIAS, connection, connections, models
from django.utils import timezone
from simple_history.utils import get_history_model_for_model

from builds.models import Event

Record = TypeVar("Record", bound=models.Model)


def save_all(model: type[Record], records: Iterable[Record], event: Event) -> None:
    """Save many records at once, each with the history row that a later change of it can go back to.

    Call inside `change`: its transaction holds the lock under which keys are given on SQLite.
    """
    fresh, database = list(records), connections[DEFAULT_DB_ALIAS]
    if not fresh:
        return
    for record, key in zip(fresh, _next_keys(model, len(fresh)), strict=True):
        record.pk = key
        record._state.adding, record._state.db = False, database.alias
        # What it points at may have been saved, and given its key, only after the two were tied.
        record._prepare_related_fields_for_save("save_all")  # type: ignore[attr-defined]
    columns = {field.name: _prepared(field, fresh) for field in model._meta.concrete_fields}
    _insert(model, columns)
    history = get_history_model_for_model(model)
    began = history._meta.get_field("history_date").get_db_prep_save(timezone.now(), connection)
    kept = {field.name: columns[field.name] for field in history.tracked_fields}
    marks = {"history_date": began, "history_type": "+", "event_id": event.pk}
    _insert(history, kept | {name: [mark] * len(fresh) for name, mark in marks.items()})


def _next_keys(model: type[models.Model], number: int) -> Iterable[int]:
    """Keys that no record of this table has or had: the history of a deleted one goes by its key for good."""
    table, key = model._meta.db_table, model._meta.pk.column
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT seq FROM sqlite_sequence WHERE name = %s", [table])
            last = (cursor.fetchone() or (0,))[0]
            return range(last + 1, last + 1 + number)
        new = "SELECT nextval(pg_get_serial_sequence(%s, %s)) FROM generate_series(1, %s)"
        cursor.execute(new, [f'"{table}"', key, number])
        return [row[0] for row in cursor.fetchall()]


def _prepared(field: "models.Field[Any, Any]", records: Sequence[models.Model]) -> list[Any]:
    """A column as the database takes it. Most of a log's columns hold few different values: each is prepared once."""
    values = [field.pre_save(record, True) for record in records]
    prepare = partial(field.get_db_prep_save, connection=connections[DEFAULT_DB_ALIAS])
    try:
        once = {value: prepare(value) for value in set(values)}
    except TypeError:
        return [prepare(value) for value in values]
    return [once[value] for value in values]


def _insert(model: type[models.Model], columns: dict[str, list[Any]]) -> None:
    quote = connection.ops.quote_name
    table, names = quote(model._meta.db_table), [quote(model._meta.get_field(name).column) for name in columns]
    places = ", ".join(["%s"] * len(names))
    insert = f"INSERT INTO {table} ({', '.join(names)}) VALUES ({places})"  # noqa: S608 - the names of our own tables
    with connection.cursor() as cursor:
        cursor.executemany(insert, zip(*columns.values(), strict=True))
