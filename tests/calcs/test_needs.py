"""What comes before what: circles, what is missing, what is held, and the way that weighs the most."""

from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.parts.needs import Place, blocked_by, find_circle, heaviest_chain, missing

BORE, PISTON, ROD = Place("201", 40), Place("211"), Place("213")
ROUTES = {"201": [10, 40, 80], "211": [10, 20], "213": [10]}
NUMBERS = st.sampled_from(["1", "2", "3", "4"])
PLACES = st.builds(Place, NUMBERS, st.sampled_from([None, 10, 20]))
NEEDS = st.lists(st.tuples(PLACES, PLACES).filter(lambda pair: pair[0].part != pair[1].part), max_size=6, unique=True)
TWO_STEPS = {number: [10, 20] for number in "1234"}


def test_a_way_without_return_is_no_circle() -> None:
    assert find_circle(ROUTES, [(PISTON, BORE), (Place("211", 20), ROD)]) == ()


def test_two_parts_that_need_one_another_are_a_circle_and_both_are_named() -> None:
    assert find_circle(ROUTES, [(PISTON, ROD), (ROD, PISTON)]) == (PISTON, ROD, PISTON)


def test_a_detour_through_a_route_closes_a_circle() -> None:
    needs = [(PISTON, Place("201", 80)), (Place("201", 10), PISTON)]
    assert find_circle(ROUTES, needs) == (PISTON, Place("201", 80), Place("201", 10), PISTON)


def test_an_operation_may_need_what_needs_an_earlier_one() -> None:
    assert find_circle(ROUTES, [(PISTON, Place("201", 10)), (Place("201", 80), PISTON)]) == ()


def test_an_operation_that_its_own_part_comes_before_is_a_circle_within_the_part() -> None:
    assert find_circle({"1": [10, 20]}, [(Place("1", 10), Place("1", 20))]) == (
        Place("1", 10), Place("1", 20), Place("1", 10)
    )  # fmt: skip


def in_some_order(needs: list[tuple[Place, Place]]) -> bool:
    """Whether the steps of these four parts can be done one after another: by trying again and again."""
    done: set[tuple[str, int]] = set()
    waits: dict[tuple[str, int], list[tuple[str, int]]] = {}
    for waiting, needed in needs:
        first = 10 if waiting.operation is None else waiting.operation
        last = 20 if needed.operation is None else needed.operation
        waits.setdefault((waiting.part, first), []).append((needed.part, last))
    for _round in range(8):
        for number, step in ((number, step) for number in TWO_STEPS for step in (10, 20)):
            before = [(number, 10)] if step == 20 else []
            if {*before, *waits.get((number, step), [])} <= done:
                done.add((number, step))
    return len(done) == 8


@given(needs=NEEDS)
def test_a_circle_is_found_exactly_where_no_order_of_work_is_left(needs: list[tuple[Place, Place]]) -> None:
    circle = find_circle(TWO_STEPS, needs)
    assert bool(circle) != in_some_order(needs)
    if circle:
        assert circle[0] == circle[-1]
        assert (circle[0], circle[1]) in needs


def test_what_is_missing_is_told_for_the_part_and_each_of_its_operations() -> None:
    found = missing(ROUTES, [(PISTON, BORE), (Place("211", 20), ROD)], lambda place: place == Place("211", 10))
    assert found == {PISTON: (BORE,), Place("211", 20): (BORE, ROD)}


def test_nothing_is_missing_once_it_is_done() -> None:
    assert missing(ROUTES, [(PISTON, BORE)], lambda place: place == BORE) == {}


def test_what_a_part_holds_is_told_by_the_first_operation_that_is_held() -> None:
    needs = [(Place("201", 80), ROD), (Place("201", 40), ROD), (PISTON, Place("201", 10)), (Place("213"), Place("9"))]
    assert blocked_by(ROUTES, needs, ROD) == (Place("201", 40),)
    assert blocked_by(ROUTES, needs, Place("9")) == (ROD, Place("201", 40))
    assert blocked_by(ROUTES, [], ROD) == ()


@given(
    needs=NEEDS,
    hours=st.fixed_dictionaries({Place(n, step): st.integers(0, 5) for n in TWO_STEPS for step in (10, 20)}),
)
def test_no_way_weighs_more_than_the_heaviest(needs: list[tuple[Place, Place]], hours: dict[Place, float]) -> None:
    if find_circle(TWO_STEPS, needs):
        with pytest.raises(ValueError, match="circle"):
            heaviest_chain(TWO_STEPS, needs, hours, [Place("1")])
        return
    # Parts joined by needs of parts as a whole, tried in every order.
    whole = [(waiting, needed) for waiting, needed in needs if waiting.operation is needed.operation is None]
    best = max(
        sum(hours[Place(part, step)] for part in way for step in (10, 20))
        for length in range(1, 5)
        for way in permutations("1234", length)
        if way[-1] == "1" and all((Place(b), Place(a)) in whole for a, b in pairwise(way))
    )
    assert sum(hours[place] for place in heaviest_chain(TWO_STEPS, whole, hours, [Place("1")])) == best


def test_a_way_may_be_asked_to_begin_with_a_part() -> None:
    weights = {Place("201", 40): 9.0, Place("211", 10): 1.0, Place("213", 10): 2.0}
    needs = [(PISTON, BORE), (PISTON, ROD)]
    assert heaviest_chain(ROUTES, needs, weights, [PISTON]) == (BORE, Place("211", 10))
    assert heaviest_chain(ROUTES, needs, weights, [PISTON], begin="213") == (Place("213", 10), Place("211", 10))
    assert heaviest_chain(ROUTES, [], weights, [PISTON], begin="213") == ()


def test_a_part_without_a_route_weighs_by_itself() -> None:
    assert heaviest_chain({}, [(Place("b"), Place("a"))], {Place("a"): 1.0, Place("b"): 2.0}, [Place("b")]) == (
        Place("a"), Place("b")
    )  # fmt: skip
