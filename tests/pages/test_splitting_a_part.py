"""The first detailed operation of a part that has a rough "making": the form asks once what becomes of that."""

from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from builds.models import Event, Part
from builds.queries.forecast.build_forecast import forecast_of
from builds.services.undo import undo

ROUGH = {"kind": "making", "minutes_per_unit": 540.0, "origin": "rough"}
TURNING = {
    "kind": "turning", "setup_minutes": "20 min", "basis": "piece", "amount": "1", "minutes_per_unit": "40 min",
    "origin": "by hand", "unattended_share": "0",
}  # fmt: skip
QUESTION = "This part has a rough “making” of 9 h a piece so far."


@pytest.fixture
def rough_part(make_build: Any, make_part: Any) -> Part:
    part: Part = make_part(make_build(), operations=[ROUGH])
    return part


def new_in(part: Part) -> str:
    return f"/builds/{part.build.slug}/parts/{part.pk}/operations/new/"


def route_of(part: Part) -> list[tuple[int, str, float | None]]:
    return list(part.operations.order_by("number").values_list("number", "kind", "minutes_per_unit"))


def planned_hours(part: Part) -> float:
    part.build.refresh_from_db()
    return forecast_of(part.build, timezone.localdate()).forecast.planned_hours_left


def test_the_operations_take_the_place_of_the_rough_figure(signed_in: Client, rough_part: Part) -> None:
    form = signed_in.get(new_in(rough_part)).content.decode()
    assert QUESTION in form
    assert 'value="replace"' in form
    assert signed_in.post(new_in(rough_part), {**TURNING, "making": "replace"}).status_code == 302
    assert route_of(rough_part) == [(10, "turning", 40.0)]
    assert rough_part.operations.get().added_on is None
    assert planned_hours(rough_part) == pytest.approx(1.0)
    assert "in the place of 10 making" in str(Event.objects.latest("pk"))


def test_it_is_kept_beside_them_where_that_is_wanted(signed_in: Client, rough_part: Part) -> None:
    signed_in.post(new_in(rough_part), {**TURNING, "making": "keep"})
    assert route_of(rough_part) == [(10, "making", 540.0), (20, "turning", 40.0)]
    assert planned_hours(rough_part) == pytest.approx(10.0)


@pytest.mark.parametrize("answer", ["replace", "keep"])
def test_it_is_asked_once(signed_in: Client, rough_part: Part, answer: str) -> None:
    signed_in.post(new_in(rough_part), {**TURNING, "making": answer})
    assert "rough “making”" not in signed_in.get(new_in(rough_part)).content.decode()
    assert signed_in.post(new_in(rough_part), {**TURNING, "kind": "drilling"}).status_code == 302
    assert rough_part.operations.filter(kind="drilling").exists()


def test_without_an_answer_it_is_asked_and_nothing_typed_is_lost(signed_in: Client, rough_part: Part) -> None:
    answer = signed_in.post(new_in(rough_part), {**TURNING, "title": "Turn the rim"})
    assert answer.status_code == 422
    assert QUESTION in answer.content.decode()
    assert "Turn the rim" in answer.content.decode()
    assert len(route_of(rough_part)) == 1


def test_a_detailed_route_is_never_asked(signed_in: Client, make_build: Any, make_part: Any) -> None:
    part = make_part(make_build(), operations=[{"kind": "turning", "minutes_per_unit": 5.0}])
    assert "rough “making”" not in signed_in.get(new_in(part)).content.decode()


@pytest.mark.parametrize("answer", ["replace", "keep"])
def test_undoing_brings_the_rough_figure_back(signed_in: Client, rough_part: Part, answer: str) -> None:
    before = route_of(rough_part)
    signed_in.post(new_in(rough_part), {**TURNING, "making": answer})
    undo(event=Event.objects.latest("pk"), by=None)
    assert route_of(rough_part) == before


def test_logged_hours_stay_and_nothing_more_is_planned_there(
    signed_in: Client, rough_part: Part, make_entry: Any
) -> None:
    making = rough_part.operations.get()
    make_entry(rough_part.build, minutes=90, part=rough_part, operation=making)
    assert "What was logged on it stays" in signed_in.get(new_in(rough_part)).content.decode()
    signed_in.post(new_in(rough_part), {**TURNING, "making": "replace"})
    assert route_of(rough_part) == [(10, "making", 0.0), (20, "turning", 40.0)]
    assert planned_hours(rough_part) == pytest.approx(1.0)
    page = signed_in.get(f"/builds/{rough_part.build.slug}/parts/{rough_part.pk}/").content.decode()
    assert "1 h 30 min" in page
    assert "nothing more: it stays for what was logged on it" in page
    following = forecast_of(rough_part.build, timezone.localdate()).snapshot.by_part[rough_part.pk].next_operation
    assert following is not None
    assert following.kind == "turning"
    undo(event=Event.objects.latest("pk"), by=None)
    assert route_of(rough_part) == [(10, "making", 540.0)]


def test_pieces_counted_so_far_stay_finished(
    signed_in: Client, make_build: Any, make_part: Any, make_entry: Any
) -> None:
    part = make_part(make_build(), operations=[ROUGH], quantity=6)
    make_entry(part.build, minutes=90, part=part, operation=part.operations.get(), good=2)
    signed_in.post(new_in(part), {**TURNING, "making": "replace"})
    signed_in.post(new_in(part), {**TURNING, "kind": "drilling"})
    assert [kind for _number, kind, _minutes in route_of(part)] == ["turning", "drilling", "making"]
    row = forecast_of(part.build, timezone.localdate()).snapshot.by_part[part.pk]
    assert (row.count.had, row.count.to_make) == (2, 4)
    assert planned_hours(part) == pytest.approx((2 * 20 + 2 * 4 * 40) / 60)
    undo(event=Event.objects.latest("pk"), by=None)
    assert route_of(part) == [(10, "turning", 40.0), (20, "making", 0.0)]
