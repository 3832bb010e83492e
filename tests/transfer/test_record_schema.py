"""The published schema and the table in DEVELOPERS.md say what the reader takes."""

import io
import json
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from jsonschema import Draft202012Validator

from builds.management.demonstration import RECORD as DEMONSTRATION
from builds.transfer.complaints import RecordError
from builds.transfer.record.reader import import_record
from builds.transfer.record.writer import export_record
from tests.factories import TODAY
from tests.transfer.test_record_in import put, record

DEVELOPERS = Path(__file__).parent.parent.parent / "DEVELOPERS.md"


def printed(*args: str) -> str:
    out = io.StringIO()
    call_command("record_schema", *args, stdout=out)
    return out.getvalue()


@pytest.fixture(scope="module")
def published() -> Draft202012Validator:
    schema = json.loads(printed())
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


def test_the_demonstration_is_valid_by_the_published_schema(published: Draft202012Validator) -> None:
    assert published.is_valid(json.loads(DEMONSTRATION.read_text(encoding="utf-8")))


def test_what_goes_out_is_valid_by_the_published_schema(db: None, published: Draft202012Validator) -> None:
    assert published.is_valid(export_record(import_record(record(), today=TODAY).build))


def test_null_is_as_good_as_left_out_in_the_schema_too(db: None, published: Draft202012Validator) -> None:
    data = record()
    data["build"] |= {"subject": None, "state": None, "on_board": None}
    data["parts"][0] |= {"quantity": None, "sizes": None}
    assert published.is_valid(data)
    assert import_record(data, today=TODAY).build.parts.get(number="14").quantity == 1


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (["format"], "other"),
        (["version"], 2),
        (["extra"], 1),
        (["build", "colour"], "red"),
        (["build", "name"], " "),
        (["build", "name"], "x" * 121),
        (["build", "subject"], "a\0b"),
        (["build", "units"], "cm"),
        (["build", "name"], None),
        (["materials", 0, "density"], 25_000),
        (["machines", 0, "speeds", 1], 0),
        (["parts", 0, "quantity"], 0),
        (["parts", 0, "number"], 14.5),
        (["parts", 0, "operations", 0, "kind"], "welding"),
        (["closures", 0, "hours_per_week"], 169),
        (["entries", 0, "bench_minutes"], 90.5),
        (["entries", 0, "date"], None),
    ],
)
def test_the_published_schema_and_the_reader_refuse_the_same(
    db: None, published: Draft202012Validator, path: list[str | int], value: Any
) -> None:
    data = put(record(), path, value)
    assert not published.is_valid(data)
    with pytest.raises(RecordError):
        import_record(data, today=TODAY)


def test_the_table_for_developers_is_what_the_models_say() -> None:
    table = printed("--table")
    assert "| `parts[].operations[]` | `kind` |" in table
    assert table in DEVELOPERS.read_text(encoding="utf-8")
