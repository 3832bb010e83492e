"""Roles and the day of finishing in the record file; files from before them read as they always did."""

from typing import Any

import pytest

from builds.models import Part
from builds.transfer.complaints import RecordError
from builds.transfer.record.reader import import_record
from builds.transfer.record.writer import export_record
from tests.factories import TODAY


def record(*parts: dict[str, Any], **sections: Any) -> dict[str, Any]:
    build = {"name": "Engine", "started_on": "2026-01-01"}
    made = [{"number": str(n), "name": f"Part {n}", **part} for n, part in enumerate(parts)]
    return {"format": "swarfbook-record", "version": 1, "build": build, "parts": made, **sections}


def test_an_old_file_keeps_bought_bought_and_leaves_the_rest_unsaid(db: None) -> None:
    import_record(record({"source": "bought"}, {"source": "made"}, {}), today=TODAY)
    assert list(Part.objects.values_list("role", flat=True)) == ["bought", "", ""]


def test_roles_go_out_and_come_in_again(db: None) -> None:
    roles = ("", "detail", "bought", "jig", "work on an assembly")
    build = import_record(record(*({"role": role} if role else {} for role in roles)), today=TODAY).build
    out = export_record(build)["parts"]
    assert [(part.get("role"), part.get("source")) for part in out] == [
        (None, None), ("detail", None), (None, "bought"), ("jig", None), ("work on an assembly", None),
    ]  # fmt: skip
    build.delete()
    again = import_record(record(*out), today=TODAY).build
    assert tuple(again.parts.values_list("role", flat=True)) == roles


@pytest.mark.parametrize(
    ("data", "path"),
    [
        (record({"source": "bought", "role": "jig"}), "parts[0].role"),
        (record({"role": "tool"}), "parts[0].role"),
        (record({"role": "work on an assembly", "quantity": 2}), "parts[0].quantity"),
        (
            record(
                {"role": "work on an assembly", "operations": [{"kind": "fitting"}]},
                batches=[{"part": "0", "blanks": 1, "started_on": "2026-02-01"}],
            ),
            "batches[0].blanks",
        ),
        (
            record(
                {"role": "work on an assembly", "operations": [{"kind": "fitting"}]},
                entries=[{"date": "2026-02-01", "part": "0", "bench_minutes": 60, "scrap": 1}],
            ),
            "entries[0].good",
        ),
    ],
)
def test_what_contradicts_a_role_is_refused_with_its_path(db: None, data: dict[str, Any], path: str) -> None:
    with pytest.raises(RecordError) as refused:
        import_record(data, today=TODAY)
    assert str(refused.value).startswith(path)


def test_the_day_of_finishing_and_a_slip_that_costs_time_go_round(db: None) -> None:
    data = record({"operations": [{"kind": "boring", "slip_costs_time": True}]})
    data["build"] |= {"state": "finished", "finished_on": "2026-03-01"}
    out = export_record(import_record(data, today=TODAY).build)
    assert out["build"]["finished_on"] == "2026-03-01"
    assert out["parts"][0]["operations"][0]["slip_costs_time"] is True


def test_a_day_of_finishing_without_a_finished_build_is_refused(db: None) -> None:
    data = record()
    data["build"] |= {"finished_on": "2026-03-01"}
    with pytest.raises(RecordError, match=r"build\.finished_on"):
        import_record(data, today=TODAY)
