"""What comes first, in the record file: optional, tied by number or name, and never in a circle."""

from typing import Any

import pytest

from builds.models import Need
from builds.transfer.complaints import RecordError
from builds.transfer.record.reader import import_record
from builds.transfer.record.writer import export_record
from tests.factories import TODAY
from tests.transfer.test_roles_in_the_record import record

SAWING, BORING = {"kind": "sawing"}, {"kind": "boring"}


def test_a_file_without_needs_says_none_and_reads_as_ever(db: None) -> None:
    build = import_record(record({"operations": [SAWING]}), today=TODAY).build
    assert not Need.objects.exists()
    assert "needs" not in str(export_record(build))


def test_needs_go_out_and_come_in_again(db: None) -> None:
    waiting = [{**BORING, "needs": [{"part": "Part 1", "operation": "boring"}]}]
    parts = [{"operations": waiting, "needs": [{"part": 1}]}, {"operations": [SAWING, BORING]}]
    build = import_record(record(*parts), today=TODAY).build
    assert [str(need) for need in Need.objects.all()] == [
        "1 Part 1 before 0 Part 0", "1 Part 1, 20 boring before 0 Part 0, 10 boring",
    ]  # fmt: skip
    out = export_record(build)["parts"]
    assert out[0]["needs"] == [{"part": "1"}]
    assert out[0]["operations"][0]["needs"] == [{"part": "1", "operation": 20}]
    build.delete()
    again = import_record(record(*out), today=TODAY).build
    assert export_record(again)["parts"] == out


CIRCLE = record(
    {"operations": [SAWING, {**BORING, "needs": [{"part": "1"}]}]}, {"needs": [{"part": "0"}], "operations": [SAWING]}
)


@pytest.mark.parametrize(
    ("data", "path", "words"),
    [
        (record({"needs": [{"part": "9"}]}), "parts[0].needs[0].part", "no part"),
        (record({"needs": [{"part": "0"}]}), "parts[0].needs[0].part", "that of its route"),
        (record({"needs": [{"part": "1"}, {"part": "1"}]}, {}), "parts[0].needs[1]", "said already"),
        (record({"needs": [{"part": "1", "operation": 30}]}, {}), "parts[0].needs[0].operation", "no operation 30"),
        (record({"needs": [{"operation": 30}]}, {}), "parts[0].needs[0].part", ""),
        (CIRCLE, "parts[1].needs[0]", "0 Part 0, 20 boring needs 1 Part 1"),
    ],
)
def test_what_leads_nowhere_or_in_a_circle_is_refused_by_its_path(
    db: None, data: dict[str, Any], path: str, words: str
) -> None:
    with pytest.raises(RecordError) as refused:
        import_record(data, today=TODAY)
    assert str(refused.value).startswith(path)
    assert words in str(refused.value)
    assert not Need.objects.exists()
