"""What comes before what: said, refused in circles, removed, put back, and kept where a part is split."""

from typing import Any

import pytest
from django.core.exceptions import ValidationError

from builds.models import Event, Need, Operation
from builds.models.choices import Kind
from builds.services.plan import records as plan
from builds.services.plan.copying import copy_part, copy_route
from builds.services.undo import undo
from tests import factories

ROUTE = [{"kind": "sawing"}, {"kind": "boring"}]


@pytest.fixture
def build(db: None) -> Any:
    return factories.make_build()


def said() -> list[str]:
    return [str(need) for need in Need.objects.all()]


def test_what_is_said_is_one_event_that_can_be_undone(build: Any) -> None:
    fixture, block = factories.make_part(build, "812", "Fixture"), factories.make_part(build, "201", "Block")
    need = factories.make_need(block, fixture)
    event = build.events.first()
    assert str(event) == "added order of work 812 Fixture before 201 Block"
    assert event.revision == build.revision

    undoing = undo(event=event, by=None)
    assert said() == []
    undo(event=undoing, by=None)
    assert said() == [str(need)]


def test_a_circle_is_refused_and_named(build: Any) -> None:
    block = factories.make_part(build, "201", "Block", operations=ROUTE)
    sawing, boring = block.operations.all()
    piston = factories.make_part(build, "211", "Piston")
    factories.make_need(piston, boring)
    with pytest.raises(ValidationError) as refused:
        factories.make_need(sawing, piston)

    assert refused.value.messages == [
        "That goes in a circle, so none of it could ever be begun: 211 Piston needs 201 Block, 20 boring; "
        "201 Block, 20 boring needs 201 Block, 10 sawing; 201 Block, 10 sawing needs 211 Piston."
    ]
    assert said() == ["201 Block, 20 boring before 211 Piston"]
    factories.make_need(piston, sawing)


def test_operations_that_would_change_places_into_a_circle_stay(build: Any) -> None:
    block = factories.make_part(build, "201", "Block", operations=ROUTE)
    sawing, boring = block.operations.all()
    piston = factories.make_part(build, "211", "Piston")
    factories.make_need(piston, sawing)
    factories.make_need(boring, piston)
    with pytest.raises(ValidationError, match="circle"):
        plan.move_operation(operation=boring, earlier=True, by=None)
    boring.number = 5
    with pytest.raises(ValidationError, match="circle"):
        plan.save(record=boring, by=None)
    assert list(block.operations.values_list("kind", flat=True)) == ["sawing", "boring"]


def test_what_an_undoing_would_turn_into_a_circle_is_not_undone(build: Any) -> None:
    block = factories.make_part(build, "201", "Block", operations=ROUTE)
    sawing, boring = block.operations.all()
    piston = factories.make_part(build, "211", "Piston")
    plan.move_operation(operation=boring, earlier=True, by=None)
    moved = build.events.first()
    factories.make_need(piston, boring)
    factories.make_need(sawing, piston)
    with pytest.raises(ValidationError, match=r"cannot be undone any more\. That goes in a circle"):
        undo(event=moved, by=None)


@pytest.mark.parametrize("again", [False, True])
def test_the_same_is_said_once(build: Any, again: bool) -> None:
    block, piston = (factories.make_part(build, number, operations=ROUTE) for number in ("201", "211"))
    ends = (piston, block) if again else (piston.operations.first(), block.operations.first())
    factories.make_need(*ends)
    with pytest.raises(ValidationError, match="said already"):
        factories.make_need(*ends)


def test_a_part_does_not_need_itself(build: Any) -> None:
    block = factories.make_part(build, "201", "Block", operations=ROUTE)
    sawing, boring = block.operations.all()
    with pytest.raises(ValidationError, match="that of its route"):
        factories.make_need(boring, sawing)


def test_a_part_of_another_build_and_an_operation_of_another_part_are_refused(build: Any) -> None:
    block, piston = (factories.make_part(build, number) for number in ("201", "211"))
    stranger = factories.make_part(factories.make_build("Another"), "1")
    with pytest.raises(ValidationError, match="another build"):
        factories.make_need(block, stranger)
    need = Need(part=block, needed_part=piston, needed_operation=block.operations.get())
    with pytest.raises(ValidationError, match="another part"):
        plan.save(record=need, by=None)


def test_a_part_that_is_removed_comes_back_with_what_was_said_of_it(build: Any) -> None:
    block, piston, rod = (factories.make_part(build, number, "Part", operations=ROUTE) for number in ("1", "2", "3"))
    factories.make_need(piston, block.operations.last())
    factories.make_need(rod, piston)
    before = said()
    removed = plan.remove(record=piston, by=None)
    assert said() == []
    undo(event=removed, by=None)
    assert said() == before


def test_an_operation_that_is_removed_comes_back_with_what_was_said_of_it(build: Any) -> None:
    block, piston = (factories.make_part(build, number, "Part", operations=ROUTE) for number in ("1", "2"))
    factories.make_need(piston.operations.first(), block.operations.last())
    before = said()
    removed = plan.remove(record=block.operations.last(), by=None)
    assert said() == []
    undo(event=removed, by=None)
    assert said() == before


@pytest.mark.parametrize("logged", [False, True])
def test_a_split_part_keeps_what_was_said_of_its_rough_making(build: Any, logged: bool) -> None:
    rough: list[dict[str, Any]] = [{"kind": "making", "minutes_per_unit": 30.0, "origin": "rough"}]
    block, piston, rod = (factories.make_part(build, number, "Part", operations=rough) for number in ("1", "2", "3"))
    making = piston.operations.get()
    factories.make_need(making, block)
    factories.make_need(piston, block)
    factories.make_need(rod, making)
    before = said()
    if logged:
        factories.make_entry(build, part=piston, operation=making)
    operation = Operation(part=piston, kind=Kind.TURNING)
    plan.add_operation(operation=operation, by=None, today=factories.TODAY, instead_of=making)

    assert said() == ["1 Part before 2 Part", "2 Part before 3 Part"]
    undo(event=Event.objects.filter(build=build).first(), by=None)
    assert sorted(said()) == sorted(before)


def test_a_copy_needs_what_the_part_needs_and_nothing_needs_the_copy(build: Any) -> None:
    fixture, wheel, rod = (factories.make_part(build, number, "Part", operations=ROUTE) for number in ("1", "2", "3"))
    factories.make_need(wheel.operations.last(), fixture)
    factories.make_need(wheel, fixture.operations.first())
    factories.make_need(rod, wheel)
    before = said()
    _copy, event = copy_part(part=wheel, number="2B", name="Part", by=None, today=factories.TODAY)
    assert said()[3:] == ["1 Part before 2B Part, 20 boring", "1 Part, 10 sawing before 2B Part"]
    undo(event=event, by=None)
    assert said() == before


def test_a_route_that_is_copied_brings_what_its_steps_need(build: Any) -> None:
    fixture, wheel, other, rod = (factories.make_part(build, n, "Part", operations=ROUTE) for n in ("1", "2", "3", "4"))
    factories.make_need(wheel.operations.last(), fixture)
    factories.make_need(wheel, fixture.operations.first())
    factories.make_need(wheel.operations.first(), other)
    factories.make_need(rod, other.operations.first())
    before = said()
    event = copy_route(part=wheel, to=other, by=None, today=factories.TODAY)
    assert said()[3:] == ["3 Part before 4 Part", "1 Part before 3 Part, 20 boring"]
    undo(event=event, by=None)
    assert said() == before


def test_a_route_that_would_close_a_circle_is_not_copied(build: Any) -> None:
    wheel, other, rod = (factories.make_part(build, number, "Part", operations=ROUTE) for number in ("2", "3", "4"))
    factories.make_need(wheel.operations.last(), rod)
    factories.make_need(rod, other)
    with pytest.raises(ValidationError, match="circle"):
        copy_route(part=wheel, to=other, by=None, today=factories.TODAY)
    assert other.operations.count() == 2
