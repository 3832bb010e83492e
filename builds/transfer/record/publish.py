"""What the schema says of itself: as a JSON Schema for other programs, and as a table for people."""

from collections.abc import Iterator
from typing import Any, Literal, get_args, get_origin

from pydantic.fields import FieldInfo
from pydantic.json_schema import GenerateJsonSchema

from builds.transfer.record.row import Row
from builds.transfer.record.schema import Record

# A choice of more values than these has a line of its own under the table.
VALUES_IN_A_CELL = 5


def json_schema() -> dict[str, Any]:
    """The record file as a JSON Schema (draft 2020-12). Rules between several fields are no part of it."""
    return {"$schema": GenerateJsonSchema.schema_dialect, **Record.model_json_schema()}


def table() -> str:
    """The fields by where they stand, in Markdown, and the words that a field with many of them chooses from."""
    rows = list(_walk("", Record))
    lines = ["| path | fields | optional |", "|---|---|---|"]
    for path, row in rows:
        cells = {True: "", False: ""}
        for name, field in row.fields().items():
            cells[field.is_required()] += (", " if cells[field.is_required()] else "") + _cell(name, field, row)
        lines.append(f"| {path and f'`{path}`'} | {cells[True]} | {cells[False]} |".replace("  |", " |"))
    many = {
        n: values for path, row in rows for n, f in row.fields().items() if len(values := _values(f)) > VALUES_IN_A_CELL
    }
    return "\n".join([*lines, "", *(f"`{name}`: {', '.join(values)}.  " for name, values in many.items())]) + "\n"


def _walk(path: str, row: type[Row]) -> Iterator[tuple[str, type[Row]]]:
    yield path, row
    for name, kind in row.children().items():
        yield from _walk(f"{path}{'.' if path else ''}{_named(name, row.model_fields[name])}", kind)


def _cell(name: str, field: FieldInfo, row: type[Row]) -> str:
    values = [f"`{value}`" for value in _values(field)]
    notes = [", ".join(values) if len(values) <= VALUES_IN_A_CELL else "", field.description or ""]
    note = "; ".join(note for note in notes if note)
    return f"`{_named(name, field)}`" + (f" ({note})" if note else "")


def _named(name: str, field: FieldInfo) -> str:
    return f"{name}[]" if get_origin(field.annotation) is list else name


def _values(field: FieldInfo) -> tuple[str, ...]:
    return get_args(field.annotation) if get_origin(field.annotation) is Literal else ()
