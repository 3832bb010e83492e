"""The plan pages: builds, a build's tree, a part and its route edited in place."""

from typing import Any

import pytest
from django.test import Client

from builds.models import Build, Machine, Operation, Part
from tests.truth.shown import read

HX = {"HX-Request": "true"}


def test_a_build_begins_with_a_name(signed_in: Client) -> None:
    response = signed_in.post("/builds/new/", {"name": "Beam engine", "units": "mm", "state": "active"})
    assert response.headers["Location"] == "/builds/beam-engine/parts/new/"
    assert str(Build.objects.get().events.get()) == "began the build Beam engine"


def test_a_build_without_a_name_is_refused_beside_the_field(signed_in: Client) -> None:
    response = signed_in.post("/builds/new/", {"name": "", "units": "mm", "state": "active"})
    assert response.status_code == 422
    assert "This is needed" in response.content.decode()


def test_a_wished_finish_before_the_start_is_refused(signed_in: Client) -> None:
    data = {"name": "X", "units": "mm", "state": "active", "started_on": "2026-05-01", "wished_finish_on": "2026-04-01"}
    assert "lies before the start" in signed_in.post("/builds/new/", data).content.decode()


def test_a_part_is_added_with_a_rough_figure_or_none(signed_in: Client, make_build: Any) -> None:
    build = make_build()
    new = f"/builds/{build.slug}/parts/new/"
    signed_in.post(new, {"number": "1", "name": "Bed", "quantity": "1", "spares": "0", "rough": "3 h"})
    signed_in.post(new, {"number": "2", "name": "Cover", "quantity": "1", "spares": "0", "rough": ""})
    figures = Operation.objects.order_by("part__number").values_list("kind", "minutes_per_unit", "origin")
    assert list(figures) == [("making", 180.0, "rough"), ("making", None, "rough")]
    text = signed_in.get(f"/builds/{build.slug}/").content.decode()
    assert "no figure yet" in text


@pytest.mark.parametrize(("rough", "sentence"), [("12", "12 of what? Write 12 min or 12 h."), ("soon", "time")])
def test_a_planned_time_that_could_mean_two_things_is_refused(
    signed_in: Client, make_build: Any, rough: str, sentence: str
) -> None:
    build = make_build()
    data = {"number": "1", "name": "Bed", "quantity": "1", "spares": "0", "rough": rough}
    response = signed_in.post(f"/builds/{build.slug}/parts/new/", data)
    assert sentence in response.content.decode()
    assert not Part.objects.exists()


def test_the_same_item_number_twice_is_refused(signed_in: Client, make_build: Any, make_part: Any) -> None:
    build = make_build()
    make_part(build, "7")
    data = {"number": "7", "name": "Bed", "quantity": "1", "spares": "0"}
    response = signed_in.post(f"/builds/{build.slug}/parts/new/", data)
    assert response.status_code == 422
    assert "item number already" in response.content.decode()


def test_an_operation_is_added_in_place_and_numbered_on(signed_in: Client, make_build: Any, make_part: Any) -> None:
    part = make_part(make_build())
    url = f"/builds/{part.build.slug}/parts/{part.pk}/operations/new/"
    form = signed_in.get(url, headers=HX).content.decode()
    assert 'id="route"' in form
    assert "<html" not in form
    data = {"kind": "drilling", "title": "Gap", "setup_minutes": "20 min", "basis": "hole", "amount": "3"}
    data |= {"minutes_per_unit": "4 min", "origin": "by hand", "unattended_share": "0"}
    answer = signed_in.post(url, data, headers=HX).content.decode()
    operation = part.operations.get(number=20)
    assert (operation.setup_minutes, operation.minutes_per_piece) == (20.0, 12.0)
    assert "Gap" in answer
    assert "12 min" in answer


def test_an_operation_is_refused_in_place(signed_in: Client, make_build: Any, make_part: Any) -> None:
    part = make_part(make_build())
    url = f"/builds/{part.build.slug}/parts/{part.pk}/operations/new/"
    data = {"kind": "drilling", "basis": "hole", "amount": "0", "origin": "by hand", "unattended_share": "2"}
    response = signed_in.post(url, data, headers=HX)
    assert response.status_code == 422
    text = response.content.decode()
    assert "more than nothing" in text
    assert "between 0 and 1" in text
    assert part.operations.count() == 1


def test_an_operation_changes_places_with_its_neighbour(signed_in: Client, make_build: Any, make_part: Any) -> None:
    part = make_part(make_build(), operations=[{"kind": "sawing"}, {"kind": "turning"}, {"kind": "milling"}])
    milling = part.operations.get(number=30)
    signed_in.post(f"/builds/{part.build.slug}/operations/{milling.pk}/move/", {"way": "earlier"}, headers=HX)
    assert list(part.operations.order_by("number").values_list("kind", flat=True)) == ["sawing", "milling", "turning"]


def test_a_logged_operation_stays_in_the_route(
    signed_in: Client, make_build: Any, make_part: Any, make_entry: Any
) -> None:
    build = make_build()
    part = make_part(build)
    operation = part.operations.get()
    make_entry(build, part=part, operation=operation)
    answer = signed_in.post(f"/builds/{build.slug}/operations/{operation.pk}/remove/", headers=HX).content.decode()
    assert "stands in the log, so it stays" in answer
    assert part.operations.count() == 1


def test_two_people_editing_one_part_do_not_undo_each_other(signed_in: Client, make_build: Any, make_part: Any) -> None:
    part = make_part(make_build())
    url = f"/builds/{part.build.slug}/parts/{part.pk}/edit/"
    data = {"number": "14", "name": "Ring", "quantity": "6", "spares": "0", "role": "detail", "seen": part.version}
    assert signed_in.post(url, data).status_code == 302
    late = signed_in.post(url, {**data, "name": "Hoop"})
    assert late.status_code == 422
    assert "Somebody else changed this" in late.content.decode()
    assert Part.objects.get(pk=part.pk).name == "Ring"


def test_a_removed_part_comes_back_by_the_events_page(signed_in: Client, make_build: Any, make_part: Any) -> None:
    build = make_build()
    part = make_part(build)
    signed_in.post(f"/builds/{build.slug}/parts/{part.pk}/remove/")
    assert not Part.objects.exists()
    event = build.events.first()
    signed_in.post(f"/builds/{build.slug}/events/{event.pk}/undo/")
    assert Part.objects.get().operations.count() == 1
    assert "undone" in signed_in.get(f"/builds/{build.slug}/events/").content.decode()


@pytest.mark.parametrize(
    ("kind", "data"),
    [
        ("assemblies", {"name": "Cylinder"}),
        ("sheets", {"number": "3", "title": "Valve gear", "revision": "B"}),
        ("closures", {"from_on": "2027-01-01", "to_on": "2027-01-14", "reason": "rewiring", "hours_per_week": "0"}),
        ("milestones", {"name": "First turn on air"}),
    ],
)
def test_small_records_are_added_edited_and_removed(
    signed_in: Client, make_build: Any, kind: str, data: dict[str, str]
) -> None:
    build = make_build()
    url = f"/builds/{build.slug}/{kind}/"
    assert signed_in.post(url, data).status_code == 302
    revision = Build.objects.get().revision
    records = {"assemblies": build.assemblies, "sheets": build.sheets, "closures": build.closures}
    record = records.get(kind, build.milestones).get()
    assert str(record) in signed_in.get(url).content.decode()
    assert signed_in.post(f"{url}{record.pk}/edit/", data).status_code == 302
    assert signed_in.post(f"{url}{record.pk}/remove/").status_code == 302
    assert Build.objects.get().revision == revision + 2


def test_a_batch_gets_the_next_number(signed_in: Client, make_build: Any, make_part: Any) -> None:
    part = make_part(make_build())
    url = f"/builds/{part.build.slug}/batches/"
    for number in ("1", "2"):
        assert f'value="{number}"' in signed_in.get(f"{url}?part={part.pk}").content.decode()
        signed_in.post(url, {"part": part.pk, "number": number, "blanks": "12", "started_on": "2026-05-01"})
    assert [batch.number for batch in part.batches.all()] == [1, 2]


def test_a_batch_of_no_blanks_is_refused(signed_in: Client, make_build: Any, make_part: Any) -> None:
    part = make_part(make_build())
    data = {"part": part.pk, "number": "1", "blanks": "0", "started_on": "2026-05-01"}
    response = signed_in.post(f"/builds/{part.build.slug}/batches/", data)
    assert "at least one blank" in response.content.decode()


def test_pages_ask_the_same_for_one_part_and_for_three(
    signed_in: Client, make_build: Any, make_part: Any, django_assert_max_num_queries: Any
) -> None:
    build = make_build()
    part = make_part(build, "1", quantity=3)
    urls = ["/", f"/builds/{build.slug}/", f"/builds/{build.slug}/parts/{part.pk}/", f"/builds/{build.slug}/repeats/"]
    urls += [f"/builds/{build.slug}/events/", f"/builds/{build.slug}/{'sheets'}/", f"/builds/{build.slug}/milestones/"]
    counts = []
    for more in (0, 2):
        for number in range(more):
            make_part(build, f"9{number}", quantity=3)
            make_build(f"Another {number}")
        for url in urls:
            signed_in.get(url)
            with django_assert_max_num_queries(22) as captured:
                assert signed_in.get(url).status_code == 200
            counts.append(len(captured.captured_queries))
    assert counts[: len(urls)] == counts[len(urls) :]


def test_a_machine_is_marked_as_out_of_order_and_runs_again(signed_in: Client) -> None:
    machine = Machine.objects.create(name="Lathe")
    to, words = f"/shop/machines/{machine.pk}/edit/", {"name": "Lathe", "out_of_order_note": "belt"}
    assert "since when it is out of order" in signed_in.post(to, words).content.decode()
    signed_in.post(to, words | {"out_of_order_since_on": "2026-11-20"})
    shown = " ".join(signed_in.get("/shop/machines/").content.decode().split())
    assert "out of order since 20 Nov 2026" in shown
    assert "belt" in shown
    signed_in.post(to, {"name": "Lathe"})
    assert "out of order since" not in signed_in.get("/shop/machines/").content.decode().split("Add</h2>")[0]


def test_machines_and_materials_are_kept(signed_in: Client, make_build: Any) -> None:
    signed_in.post("/shop/machines/", {"name": "Lathe", "speeds": "200, 60 110"})
    assert "60, 110, 200" in signed_in.get("/shop/machines/").content.decode()
    bad = signed_in.post("/shop/machines/", {"name": "Mill", "speeds": "fast"})
    assert "“fast” is not a speed" in bad.content.decode()
    heavy = signed_in.post("/shop/materials/", {"name": "Unobtainium", "density": "99999"})
    assert "osmium" in heavy.content.decode()


def test_the_whole_build_downloads_as_one_file(signed_in: Client, make_build: Any, make_part: Any) -> None:
    build = make_build()
    make_part(build)
    response = signed_in.get(f"/builds/{build.slug}/record.json")
    assert response.json()["format"] == "swarfbook-record"
    assert "attachment" in response.headers["Content-Disposition"]


def test_a_size_that_is_no_length_is_refused_and_a_good_one_stands_on_the_part(
    signed_in: Client, make_build: Any, make_part: Any
) -> None:
    part = make_part(make_build(scale="1:6", units="in"))
    url = f"/builds/{part.build.slug}/sizes/"
    bad = signed_in.post(url, {"part": part.pk, "name": "bore", "full_size": '3/0"'})
    assert bad.status_code == 422
    assert not part.sizes.exists()
    signed_in.post(url, {"part": part.pk, "name": "bore", "full_size": "3 in", "made": "1/2 in"})
    text = signed_in.get(f"/builds/{part.build.slug}/parts/{part.pk}/").content.decode()
    assert "0.5 in" in text
    assert "as scaled" in text


def test_a_key_that_no_table_can_hold_is_refused(signed_in: Client, make_build: Any) -> None:
    url = f"/builds/{make_build().slug}/milestones/"
    response = signed_in.post(url, {"name": "First steam", "assemblies": "99999999999999999999", "parts": "9" * 30})
    assert response.status_code == 422
    assert "One of these has been removed." in response.content.decode()


@pytest.mark.parametrize("address", ["parts/99999999999999999999/", "log/99999999999999999999/amend/"])
def test_an_address_with_a_key_that_no_table_can_hold_is_not_there(
    signed_in: Client, make_build: Any, address: str
) -> None:
    assert signed_in.get(f"/builds/{make_build().slug}/{address}").status_code == 404


def test_the_operations_of_a_milestone_stand_below_their_parts(
    signed_in: Client, make_build: Any, make_part: Any
) -> None:
    build = make_build()
    for number, name in (("1", "Ring"), ("2", "Bed")):
        make_part(build, number, name, operations=[{"kind": "sawing"}, {"kind": "turning"}])
    page = read(signed_in.get(f"/builds/{build.slug}/milestones/").content.decode())
    groups = page.first("select", name="operations").all("optgroup")
    told = {group.attributes["label"]: [one.text for one in group.all("option")] for group in groups}
    assert told == {"1 Ring": ["10 sawing", "20 turning"], "2 Bed": ["10 sawing", "20 turning"]}


def test_the_list_of_builds_says_how_far_each_is_and_when_it_may_be_done(
    signed_in: Client, make_build: Any, make_part: Any, make_entry: Any
) -> None:
    build = make_build()
    part = make_part(build, "1", operations=[{"kind": "sawing", "minutes_per_unit": 60.0}])
    make_part(build, "2", operations=[{"kind": "sawing", "minutes_per_unit": 600.0}])
    make_entry(build, part=part, operation=part.operations.get(), minutes=60, good=part.quantity)

    def row() -> list[str]:
        return read(signed_in.get("/").content.decode()).rows()[1]

    _name, _scale, finished, _done, left, even, *_rest = row()
    assert (finished, left, even) == ("1 of 2", "–", "–")
    plan = read(signed_in.get(f"/builds/{build.slug}/").content.decode())
    _name, _scale, finished, _done, left, even, *_rest = row()
    assert (finished, plan.figure("Even chance")[0]) == ("1 of 2", even)
    assert left != "–"
    assert plan.figure("Hours left")[0].startswith(left)
