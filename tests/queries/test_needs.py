"""What is held on a day, and by what."""

from datetime import date
from typing import Any

import pytest

from builds.models import Build
from builds.queries.plan.needs import held_by, part_needs
from builds.queries.snapshot import read_parts
from builds.services.plan import records as plan
from tests import factories
from tests.factories import TODAY

ROUTE = [{"kind": "sawing"}, {"kind": "boring"}]


@pytest.fixture
def build(db: None) -> Any:
    return factories.make_build()


def held(build: Build) -> dict[tuple[str, int | None], list[str]]:
    return {tuple(place): [one.words for one in lacking] for place, lacking in held_by(build, TODAY).items()}


def test_a_part_and_its_operations_are_held_until_the_build_has_what_comes_first(build: Any) -> None:
    bush = factories.make_part(build, "1", "Bush", quantity=2, spares=1)
    pin = factories.make_part(build, "2", "Pin", operations=ROUTE)
    factories.make_need(pin, bush)
    factories.make_entry(build, part=bush, operation=bush.operations.get(), good=1)
    assert held(build) == {("2", None): ["1 Bush"], ("2", 10): ["1 Bush"], ("2", 20): ["1 Bush"]}

    # The spare is not needed for it.
    factories.make_entry(build, part=bush, operation=bush.operations.get(), good=1)
    assert held(build) == {}


def test_an_operation_is_held_until_all_pieces_have_passed_the_one_that_comes_first(build: Any) -> None:
    block = factories.make_part(build, "1", "Block", operations=ROUTE)
    piston = factories.make_part(build, "2", "Piston", operations=ROUTE)
    factories.make_need(piston.operations.last(), block.operations.first())
    assert held(build) == {("2", 20): ["1 Block, 10 sawing"]}

    factories.make_entry(build, part=block, operation=block.operations.first(), good=1)
    assert held(build) == {}


def test_a_part_that_was_said_to_be_finished_holds_nothing(build: Any) -> None:
    factories.make_need(factories.make_part(build, "2"), factories.make_part(build, "1", finished_on=date(2026, 2, 1)))
    assert held(build) == {}


def test_what_is_done_already_is_not_held(build: Any) -> None:
    pin, bush = factories.make_part(build, "2"), factories.make_part(build, "1")
    factories.make_need(pin, bush)
    factories.make_entry(build, part=pin, operation=pin.operations.get(), good=1)
    assert held(build) == {}


@pytest.mark.parametrize(("waiting", "holds"), [({}, False), ({"waiting_for": "post"}, True)])
def test_a_bought_part_holds_as_long_as_it_waits(build: Any, waiting: dict[str, Any], holds: bool) -> None:
    since = {"waiting_since_on": date(2026, 11, 1)} if waiting else {}
    valve = factories.make_part(build, "1", "Valve", role="bought", operations=[], **waiting, **since)
    factories.make_need(factories.make_part(build, "2"), valve)
    assert (("2", None) in held(build)) is holds


@pytest.mark.parametrize(("arrived_on", "holds"), [(None, True), (date(2026, 11, 20), False)])
def test_a_bought_part_holds_until_it_has_arrived(build: Any, arrived_on: date | None, holds: bool) -> None:
    bought = {"role": "bought", "ordered_on": date(2026, 11, 1), "arrived_on": arrived_on}
    valve = factories.make_part(build, "1", "Valve", operations=[], **bought)
    factories.make_need(factories.make_part(build, "2"), valve)
    assert (("2", None) in held(build)) is holds


def test_nothing_is_held_in_a_finished_build(build: Any) -> None:
    factories.make_need(factories.make_part(build, "2"), factories.make_part(build, "1"))
    build.state = "finished"
    plan.edit_build(build=build, by=None)
    assert held(build) == {}


@pytest.mark.parametrize("pairs", [1, 4])
def test_what_is_held_takes_five_queries_and_one_where_nothing_is_said(
    build: Any, django_assert_num_queries: Any, pairs: int
) -> None:
    parts = [factories.make_part(build, str(n), operations=ROUTE) for n in range(2 * pairs)]
    with django_assert_num_queries(1):
        assert held_by(build, TODAY) == {}
    for first, second in zip(parts[::2], parts[1::2], strict=True):
        factories.make_need(second.operations.last(), first)
    with django_assert_num_queries(5):
        assert [one.words for lacking in held_by(build, TODAY).values() for one in lacking]


def test_a_part_tells_what_it_needs_and_what_needs_it(build: Any) -> None:
    bush, pin, rod = (factories.make_part(build, number, "Part", operations=ROUTE) for number in ("1", "2", "3"))
    factories.make_need(pin.operations.last(), bush)
    factories.make_need(rod, pin.operations.first())
    snapshot = read_parts(build, TODAY, [pin.pk])

    found = part_needs(snapshot, snapshot.by_part[pin.pk])
    assert [one.needed.words for one in found.first] == ["1 Part"]
    assert [(one.waiting.words, one.needed.words) for one in found.then] == [("3 Part", "2 Part, 10 sawing")]
    assert (found.missing, [one.words for one in found.missing_at(20)], found.missing_at(10)) == ((), ["1 Part"], ())
