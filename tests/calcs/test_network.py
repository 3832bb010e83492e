"""Work as a network: stretches of routes, each behind all that it needs."""

import pytest
from hypothesis import given

from calcs.parts.needs import Place, find_circle
from calcs.parts.network import Network, network
from tests.calcs.test_needs import NEEDS, TWO_STEPS

ROUTES = {"802": [10, 20, 30, 40], "606": [10, 20], "201": [10, 20], "9": []}
# Pipes are bent on the engine, and the engine runs on its pipes.
BY_TURNS = [(Place("606", 10), Place("802", 20)), (Place("802", 40), Place("606"))]


def stretches(found: Network) -> list[tuple[int, str, tuple[int, ...]]]:
    return sorted((one.layer, one.part, one.operations) for one in found.stretches)


def test_parts_that_need_one_another_by_turns_stand_from_left_to_right() -> None:
    found = network(ROUTES, BY_TURNS, [Place("802")])
    assert stretches(found) == [(0, "802", (10, 20)), (1, "606", (10, 20)), (1, "802", (30,)), (2, "802", (40,))]
    named = [f"{one.part} {one.operations[0]}" for one in found.stretches]
    assert {f"{named[one]} before {named[behind]}" for one, behind in found.lines} == {
        "802 10 before 606 10", "802 10 before 802 30", "606 10 before 802 40", "802 30 before 802 40"
    }  # fmt: skip
    assert {one.part for one in found.stretches if one.whole} == {"606"}


def test_what_an_operation_is_needed_for_leaves_out_the_rest_of_its_route() -> None:
    assert stretches(network(ROUTES, BY_TURNS, [Place("606")])) == [(0, "802", (10, 20)), (1, "606", (10, 20))]
    assert stretches(network(ROUTES, [], [Place("802", 30)])) == [(0, "802", (10, 20, 30))]


def test_a_part_without_a_route_is_a_stretch_of_its_own() -> None:
    found = network(ROUTES, [(Place("201", 20), Place("9"))], [Place("201"), Place("606")])
    assert stretches(found) == [(0, "201", (10,)), (0, "606", (10, 20)), (0, "9", ()), (1, "201", (20,))]


def test_a_circle_is_no_network() -> None:
    with pytest.raises(ValueError, match="circle"):
        network(ROUTES, [(Place("606"), Place("201")), (Place("201"), Place("606"))], [Place("606")])


@given(needs=NEEDS)
def test_every_line_leads_to_a_later_layer_and_every_operation_stands_once(needs: list[tuple[Place, Place]]) -> None:
    if find_circle(TWO_STEPS, needs):
        return
    found = network(TWO_STEPS, needs, [Place(number) for number in TWO_STEPS])
    assert all(found.stretches[one].layer < found.stretches[behind].layer for one, behind in found.lines)
    placed = sorted((stretch.part, number) for stretch in found.stretches for number in stretch.operations)
    assert placed == sorted((part, number) for part, route in TWO_STEPS.items() for number in route)
