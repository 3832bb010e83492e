"""A log taken in through the page: shown first, stored only when that is confirmed."""

import re
from decimal import Decimal
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from builds.models import Build, Entry, Material, Part
from builds.services.undo import undo
from builds.transfer.tables.log_out import log_table
from builds.transfer.tables.out import as_csv, as_workbook
from builds.transfer.tables.parts_out import parts_table
from tests.factories import (
    make_assembly,
    make_batch,
    make_build,
    make_entry,
    make_machine,
    make_material,
    make_operation,
    make_part,
    make_sheet,
)

LOG = "date,hours,part,note\n2026-01-03,2,Bed,cut\n2026-01-04,1.5,Bed,\n"


@pytest.fixture
def build(db: None) -> Build:
    return make_build()


def where(build: Build) -> str:
    return f"/builds/{build.slug}/log/take-in/"


def fields_of(answer: Any) -> dict[str, str]:
    form = answer.context["form"]
    return {field.html_name: field.value() or "" for field in form}


def looked_at(client: Client, build: Build, text: str | bytes, name: str = "log.csv") -> Any:
    content = text if isinstance(text, bytes) else text.encode()
    return client.post(where(build), {"file": SimpleUploadedFile(name, content)})


def confirmed(client: Client, build: Build, answer: Any, **changed: str) -> Any:
    return client.post(where(build), {**fields_of(answer), "take": "yes", **changed})


def states(answer: Any) -> list[str]:
    return [str(row.state) for row in answer.context["seen"].rows]


def test_nothing_is_stored_before_it_is_confirmed_and_one_undo_takes_it_back(signed_in: Client, build: Build) -> None:
    answer = looked_at(signed_in, build, LOG)
    assert states(answer) == ["new", "new"]
    assert "New parts" in answer.content.decode()
    assert (Entry.objects.count(), Part.objects.count(), build.events.count()) == (0, 0, 1)
    assert confirmed(signed_in, build, answer).status_code == 302
    assert build.entries.kept().count() == 2
    (event, _begun) = build.events.all()
    assert (event.by and event.by.name, str(event)) == ("ada", "took in 2 entries from log.csv, with 1 new part")
    undo(event=event, by=None)
    assert build.entries.kept().count() == 0


def test_what_was_pasted_needs_no_file(signed_in: Client, build: Build) -> None:
    answer = signed_in.post(where(build), {"pasted": LOG.replace(",", "\t")})
    assert states(answer) == ["new", "new"]
    assert confirmed(signed_in, build, answer).status_code == 302
    assert build.entries.count() == 2


def test_every_complaint_has_its_row_and_column_and_none_is_taken(signed_in: Client, build: Build) -> None:
    answer = looked_at(signed_in, build, LOG + "2026-01-05,x,Bed,\n2026-13-05,1,,\n")
    html = answer.content.decode()
    assert states(answer) == ["new", "new", "refused", "refused"]
    assert "hours: &quot;x&quot; is not a time" in html
    assert 'name="take"' not in html
    again = confirmed(signed_in, build, answer)
    assert again.status_code == 422
    assert Entry.objects.count() == 0


def test_a_heading_is_put_right_without_choosing_the_file_again(signed_in: Client, build: Build) -> None:
    answer = looked_at(signed_in, build, "date,spent,thing\n2026-01-03,2,Bed\n")
    assert answer.context["seen"].refused
    fields = fields_of(answer)
    assert fields["column-0"] == "date"
    answer = signed_in.post(where(build), {**fields, "column-1": "hours", "column-2": "part"})
    assert states(answer) == ["new"]
    assert confirmed(signed_in, build, answer).status_code == 302
    assert build.entries.get().bench_minutes == 120
    twice = signed_in.post(where(build), {**fields, "column-1": "date"})
    assert "Two headings are taken for Date" in twice.content.decode()


def test_the_order_of_a_date_is_asked_for_where_nothing_tells(signed_in: Client, build: Build) -> None:
    answer = looked_at(signed_in, build, "date,hours,part\n03/04/2026,2,Bed\n")
    assert "whether the day or the month comes first" in answer.content.decode()
    answer = signed_in.post(where(build), {**fields_of(answer), "dates": "month"})
    confirmed(signed_in, build, answer)
    assert build.entries.get().worked_on.isoformat() == "2026-03-04"


def test_what_was_not_shown_is_not_taken_in(signed_in: Client, build: Build) -> None:
    answer = looked_at(signed_in, build, "date,hours,part\n03/04/2026,2,Bed\n13/04/2026,1,Bed\n")
    make_part(build)
    assert confirmed(signed_in, build, answer).status_code == 422
    assert build.entries.count() == 0
    answer = looked_at(signed_in, build, "date,hours,part\n2026-01-03,2,Bed\n2026-01-04,3,Bed\n")
    assert confirmed(signed_in, build, answer, times="meter").status_code == 422
    assert build.entries.count() == 0


@pytest.fixture
def full(build: Build) -> Build:
    part = make_part(build, operations=[{"kind": "turning"}, {"kind": "milling", "title": "-flat"}], quantity=9)
    batch, turning = make_batch(part), part.operations.first()
    make_entry(build, part=part, operation=turning, batch=batch, good=3, scrap=1, scrap_reason="=chatter", note="-1 mm")
    make_entry(build, part=part, minutes=None)
    make_entry(build, activity="tidying", bench_is="rough", unattended_minutes=20)
    make_operation(make_part(build, number="007", name="A, b and c"))
    return build


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_the_log_goes_out_and_in_again_as_the_same(signed_in: Client, full: Build, ending: str) -> None:
    table = log_table(full.entries.kept())
    content = as_csv(table).encode() if ending == "csv" else as_workbook(table)
    answer = looked_at(signed_in, full, content, f"log.{ending}")
    assert states(answer) == ["same"] * 3
    assert "Nothing of it is new" in answer.content.decode()


def test_a_row_of_our_own_that_was_put_right_changes_its_entry(signed_in: Client, full: Build) -> None:
    entry = full.entries.get(scrap=1)
    text = as_csv(log_table(full.entries.kept())).replace(",60,exact,0,3,0,1,", ",75,exact,0,4,0,1,")
    answer = looked_at(signed_in, full, text)
    assert sorted(states(answer)) == ["changed", "same", "same"]
    assert "minutes: 60 → 75" in answer.content.decode()
    assert confirmed(signed_in, full, answer).status_code == 302
    entry.refresh_from_db()
    assert (entry.bench_minutes, entry.good, full.entries.count()) == (75, 4, 3)
    undo(event=full.events.first(), by=None)
    entry.refresh_from_db()
    assert (entry.bench_minutes, entry.good) == (60, 3)


@pytest.mark.parametrize(
    "sent",
    [{}, {"pasted": " "}, {"kept": "nonsense"}, {"kept": ""}, {"kept": "eJw=", "column-0": "x"}, {"pasted": "\0"}],
)
def test_anything_that_is_sent_is_answered(signed_in: Client, build: Build, sent: dict[str, str]) -> None:
    answer = signed_in.post(where(build), sent)
    assert answer.status_code == 422
    assert answer.context["form"].errors


def test_what_was_pasted_is_still_there_where_it_is_refused(signed_in: Client, build: Build) -> None:
    answer = signed_in.post(where(build), {"pasted": "date,date\n1,2\n"})
    assert answer.status_code == 422
    assert re.search(r"<textarea[^>]*>\s*date,date", answer.content.decode())


# ---- parts lists ----------------------------------------------------------------------------------------------------
def parts_at(build: Build) -> str:
    return f"/builds/{build.slug}/parts/take-in/"


def list_looked_at(client: Client, build: Build, content: bytes, name: str = "parts.csv") -> Any:
    return client.post(parts_at(build), {"file": SimpleUploadedFile(name, content)})


def list_confirmed(client: Client, build: Build, answer: Any) -> Any:
    return client.post(parts_at(build), {**fields_of(answer), "take": "yes"})


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_a_parts_list_goes_out_and_in_again_as_the_same(signed_in: Client, full: Build, ending: str) -> None:
    part = full.parts.get(number="14")
    part.assembly, part.sheet = make_assembly(full), make_sheet(full, "=3")
    part.material, part.blank_cost, part.finished_mass_grams = make_material(), Decimal("1.20"), 12.5
    part.note = "+0.02 mm\nat the skirt"
    part.save()
    make_operation(part, "boring", machine=make_machine("-Lathe"), minutes_per_unit=1 / 3, unattended_share=0.25)
    table = parts_table(full)
    content = as_csv(table).encode() if ending == "csv" else as_workbook(table)
    answer = list_looked_at(signed_in, full, content, f"parts.{ending}")
    assert states(answer) == ["same"] * 5
    assert not answer.context["seen"].to_take


def test_a_parts_list_brings_parts_with_their_routes_and_one_undo_takes_them_back(
    signed_in: Client, build: Build
) -> None:
    text = (
        "Item;Name;Qty;Material;Assembly;Op;Kind;Time for one\n"
        "1;Bed;1;Cast iron;Frame;10;milling;1 h 30\n1;;;;;20;drilling;2,5\n2;Post;4;;Frame;;;\n"
    )
    answer = list_looked_at(signed_in, build, text.encode())
    assert states(answer) == ["new"] * 3
    assert (build.parts.count(), Material.objects.count()) == (0, 0)
    assert list_confirmed(signed_in, build, answer).status_code == 302
    bed, post = build.parts.all()
    assert [(one.number, one.kind, one.minutes_per_unit) for one in bed.operations.all()] == [
        (10, "milling", 90.0),
        (20, "drilling", 2.5),
    ]
    assert [(one.kind, one.minutes_per_unit) for one in post.operations.all()] == [("making", None)]
    assert (post.quantity, bed.material.name, post.assembly.name) == (4, "Cast iron", "Frame")
    assert states(list_looked_at(signed_in, build, text.encode())) == ["same"] * 3
    undo(event=build.events.first(), by=None)
    assert (build.parts.count(), build.assemblies.count()) == (0, 0)


def test_a_figure_that_differs_changes_its_operation_and_nothing_else(signed_in: Client, full: Build) -> None:
    answer = list_looked_at(signed_in, full, b"item,operation,minutes\n14,20,45\n14,10,\n")
    assert states(answer) == ["changed", "same"]
    assert "minutes for one: nothing → 45" in answer.content.decode()
    list_confirmed(signed_in, full, answer)
    first, second = full.parts.get(number="14").operations.all()
    assert (first.minutes_per_unit, second.minutes_per_unit, second.title) == (None, 45, "-flat")
    undo(event=full.events.first(), by=None)
    second.refresh_from_db()
    assert second.minutes_per_unit is None


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("1,Bed,x,turning,", "quantity: &quot;x&quot; is not a number"),
        ("1,Bed,0,turning,", "needed at least once"),
        ("1,Bed,1,whittling,", "kind: &quot;whittling&quot; is not known"),
        ("1,Bed,1,turning,-3", "minutes"),
        (",,1,turning,3", "which part is it"),
        ("1,,1,turning,3", "name"),
        (f"1,{'x' * 161},1,turning,3", "name"),
        (f"{'9' * 41},Bed,1,turning,3", "item"),
    ],
)
def test_a_part_that_is_wrong_is_refused_by_row_and_column(
    signed_in: Client, build: Build, row: str, said: str
) -> None:
    answer = list_looked_at(signed_in, build, f"item,name,quantity,kind,minutes\n{row}\n".encode())
    assert states(answer) == ["refused"]
    assert said in answer.content.decode()
    assert list_confirmed(signed_in, build, answer).status_code == 422
    assert build.parts.count() == 0
