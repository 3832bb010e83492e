"""A part planned once more: what was planned goes along, what happened stays where it happened."""

from datetime import date
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db import models

from builds.models import Operation, Part, Size
from builds.services.plan import copying
from builds.services.plan import records as plan
from builds.services.plan.copying import copy_part, copy_route, free_number_beside
from builds.services.undo import undo
from tests import factories
from tests.factories import TODAY

ROUTE = (
    {"kind": "turning", "title": "rim", "setup_minutes": 20.0, "minutes_per_unit": 90.0, "origin": "rough"},
    {
        "kind": "drilling", "basis": "hole", "amount": 6.0, "minutes_per_unit": 4.0, "unattended_share": 0.5,
        "origin": "worked out", "worked": {"inputs": {"depth": "12"}, "minutes": 4.0, "figures": {}, "on": "2026-02-1"},
    },
)  # fmt: skip


def a_flywheel(**fields: Any) -> Part:
    build = factories.make_build()
    part = factories.make_part(
        build, "12", "Flywheel", operations=ROUTE, sheet=factories.make_sheet(build), blank="200 round × 30",
        assembly=factories.make_assembly(build), material=factories.make_material(), quantity=2, spares=1,
        note="rim first", **fields,
    )  # fmt: skip
    plan.save(record=Size(part=part, name="Bore", full_size="5 in", made="20 mm"), by=None)
    return part


def values_of(record: models.Model, names: tuple[str, ...]) -> dict[str, Any]:
    return {name: getattr(record, name) for name in names}


def route_of(part: Part) -> list[dict[str, Any]]:
    return [values_of(one, copying.OF_OPERATION) for one in part.operations.order_by("number")]


def copied(part: Part, number: str = "12B", name: str = "Second flywheel") -> Part:
    return copy_part(part=part, number=number, name=name, by=None, today=TODAY)[0]


@pytest.mark.django_db
def test_the_plan_of_a_part_is_copied_and_nothing_that_happened_to_it() -> None:
    part = a_flywheel(waiting_for="material", waiting_since_on=date(2026, 3, 1), finished_on=date(2026, 4, 1))
    batch = factories.make_batch(part)
    factories.make_entry(part.build, part=part, operation=part.operations.first(), good=1, batch=batch)
    copy = copied(part)
    assert (copy.number, copy.name) == ("12B", "Second flywheel")
    assert values_of(copy, copying.OF_PART) == values_of(part, copying.OF_PART)
    assert route_of(copy) == route_of(part)
    assert [values_of(one, copying.OF_SIZE) for one in copy.sizes.all()] == [
        {"name": "Bore", "full_size": "5 in", "made": "20 mm", "reason": ""}
    ]
    assert not copy.waiting_for
    assert copy.finished_on is None
    assert not copy.entries.exists()
    assert not copy.batches.exists()


@pytest.mark.parametrize(
    ("model", "names", "left"),
    [
        (
            Part,
            copying.OF_PART,
            {
                "id", "version", "build", "number", "name", "position", "place", "finished_on", "waiting_for",
                "waiting_since_on", "waiting_note", "ordered_on", "arrived_on",
            },
        ),
        (Operation, copying.OF_OPERATION, {"id", "version", "part", "added_on"}),
        (Size, copying.OF_SIZE, {"id", "part"}),
    ],
)  # fmt: skip
def test_each_field_is_copied_or_left_on_purpose(model: Any, names: tuple[str, ...], left: set[str]) -> None:
    assert {field.name for field in model._meta.concrete_fields} - left == set(names)


@pytest.mark.django_db
def test_a_copy_stands_right_behind_its_part_and_one_undoing_takes_it_away() -> None:
    part = a_flywheel()
    behind = factories.make_part(part.build, "13", "Hub")
    copy, event = copy_part(part=part, number="12B", name="Second", by=None, today=TODAY)
    assert list(part.build.parts.all()) == [part, copy, behind]
    assert str(event) == "copied 12 Flywheel as 12B Second"
    undo(event=event, by=None)
    assert list(part.build.parts.all()) == [part, behind]
    assert part.operations.count() == 2


@pytest.mark.django_db
def test_a_number_that_is_taken_is_refused_beside_it() -> None:
    part = a_flywheel()
    revision = part.build.revision
    with pytest.raises(ValidationError, match="item number already"):
        copied(part, number="12")
    assert part.build.revision == revision


@pytest.mark.django_db
def test_a_copy_joins_the_plan_on_the_day_once_the_plan_is_no_longer_being_written() -> None:
    part = a_flywheel()
    assert {one.added_on for one in copied(part).operations.all()} == {None}
    factories.make_entry(part.build, date(2026, 3, 2), part=part)
    assert {one.added_on for one in copied(part, number="12C").operations.all()} == {TODAY}


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("numbers", "free"),
    [
        (["12"], "12B"),
        (["12", "12B"], "12C"),
        (["12B", "12"], "12C"),
        (["12A"], "12B"),
        (["12-3"], "12-3B"),
        (["Gland"], "GlandB"),
        (["9" * 40], ""),
        (["9", *(f"9{letter}" for letter in copying.LETTERS)], "9-2"),
    ],
)
def test_the_number_offered_is_free(numbers: list[str], free: str) -> None:
    build = factories.make_build()
    parts = [factories.make_part(build, number, operations=()) for number in numbers]
    assert free_number_beside(parts[0]) == free


@pytest.mark.django_db
def test_a_route_goes_in_the_place_of_one_that_nothing_is_logged_on() -> None:
    part = a_flywheel()
    to = factories.make_part(part.build, "30", "Pulley", operations=({"kind": "milling"}, {"kind": "filing"}))
    event = copy_route(part=part, to=to, by=None, today=TODAY)
    assert route_of(to) == route_of(part)
    assert str(event) == "copied the route of 12 Flywheel to 30 Pulley"
    undo(event=event, by=None)
    assert [one.kind for one in to.operations.all()] == ["milling", "filing"]


@pytest.mark.django_db
def test_what_was_logged_on_a_rough_making_stays_when_a_route_takes_its_place() -> None:
    part = a_flywheel()
    rough = {"kind": "making", "minutes_per_unit": 300.0, "origin": "rough"}
    to = factories.make_part(part.build, "30", "Pulley", quantity=2, operations=(rough,))
    factories.make_entry(part.build, part=to, operation=to.operations.get(), good=1)
    copy_route(part=part, to=to, by=None, today=TODAY)
    assert [(one.number, one.kind) for one in to.operations.order_by("number")] == [
        (10, "turning"), (20, "drilling"), (30, "making"),
    ]  # fmt: skip
    assert to.operations.get(kind="making").kept_for_its_log


@pytest.mark.django_db
def test_a_route_with_work_in_the_log_stays_as_it_is() -> None:
    part = a_flywheel()
    to = factories.make_part(part.build, "30", "Pulley", operations=({"kind": "milling"}, {"kind": "filing"}))
    factories.make_entry(part.build, part=to, operation=to.operations.first(), good=1)
    with pytest.raises(ValidationError, match="Work is logged on the route of 30 Pulley"):
        copy_route(part=part, to=to, by=None, today=TODAY)
    assert [one.kind for one in to.operations.all()] == ["milling", "filing"]


@pytest.mark.django_db
def test_a_part_without_a_route_has_none_to_give() -> None:
    build = factories.make_build()
    part, to = (factories.make_part(build, number, operations=()) for number in ("1", "2"))
    with pytest.raises(ValidationError, match="no route yet"):
        copy_route(part=part, to=to, by=None, today=TODAY)
