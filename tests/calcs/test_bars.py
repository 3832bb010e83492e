"""Cutting pieces from bars: nothing is cut that is not there, and nothing is bought that need not be."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.shop.bars import CuttingPlan, cut_up

LENGTHS = st.integers(5, 60).map(float)
JOBS = st.lists(st.tuples(LENGTHS, st.integers(1, 3)), min_size=1, max_size=3)


def counted(plan: CuttingPlan) -> dict[float, int]:
    found: dict[float, int] = {}
    for bar in plan.bars:
        for length in bar.pieces_mm:
            found[length] = found.get(length, 0) + 1
    return found


def wanted(pieces: list[tuple[float, int]]) -> dict[float, int]:
    found: dict[float, int] = {}
    for length, number in pieces:
        found[length] = found.get(length, 0) + number
    return found


def fewest_by_trying_all(lengths: list[float], room: float, kerf: float) -> int:
    """The fewest bars, by putting every piece into every bar there is."""
    best = len(lengths)

    def put(place: int, bars: list[float]) -> None:
        nonlocal best
        if len(bars) >= best:
            return
        if place == len(lengths):
            best = len(bars)
            return
        size = lengths[place] + kerf
        for one, left in enumerate(bars):
            if size <= left:
                put(place + 1, [*bars[:one], left - size, *bars[one + 1 :]])
        put(place + 1, [*bars, room - size])

    put(0, [])
    return best


@settings(max_examples=60, deadline=None)
@given(JOBS, st.sampled_from([0.0, 1.0, 2.5]), st.sampled_from([0.0, 12.0]))
def test_small_jobs_take_as_few_bars_as_trying_everything(pieces, kerf, end):
    plan = cut_up(pieces, [(100.0, None, None)], kerf, end)
    each = [length for length, number in pieces for _again in range(number)]
    room = 100.0 - end + (kerf if end == 0 else 0.0)
    assert len(plan.bars) == fewest_by_trying_all(sorted(each, reverse=True), room, kerf)
    assert plan.gap == 0


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(3, 300), st.integers(0, 9)), max_size=6),
    st.lists(st.tuples(st.floats(301, 900), st.none() | st.floats(0, 50), st.none()), min_size=1, max_size=3),
    st.lists(st.tuples(st.floats(20, 400), st.none(), st.integers(0, 3)), max_size=3),
    st.floats(0, 3),
)
def test_every_piece_is_cut_once_and_no_bar_gives_more_than_it_has(pieces, shop, rack, kerf):
    plan = cut_up(pieces, [*shop, *rack], kerf, end_mm=0.0)
    assert counted(plan) == {length: number for length, number in wanted(pieces).items() if number}
    for bar in plan.bars:
        assert sum(bar.pieces_mm) + kerf * (len(bar.pieces_mm) - 1) + bar.left_mm <= bar.stock_mm + 1e-5
    for length, _price, _number in rack:
        same = sum(how_many for other, _p, how_many in rack if other == length)
        assert sum(bar.stock_mm == length and not bar.bought for bar in plan.bars) <= same
    assert plan.bought_mm == pytest.approx(sum(bar.stock_mm for bar in plan.bars if bar.bought))
    assert 0 <= plan.gap <= 1


def test_the_rack_is_used_before_anything_is_bought_and_its_shorter_bars_first():
    plan = cut_up([(50.0, 2)], [(1000.0, None, None), (120.0, None, 1), (300.0, None, 1)], kerf_mm=2, end_mm=0)
    assert [(bar.stock_mm, bar.bought) for bar in plan.bars] == [(120.0, False)]
    assert (plan.bought_mm, plan.cost) == (0.0, 0.0)


def test_with_prices_the_cheapest_bars_are_bought_and_not_the_shortest():
    plan = cut_up([(90.0, 10)], [(100.0, 5.0, None), (1000.0, 30.0, None)], kerf_mm=0, end_mm=0)
    assert (plan.cost, plan.bought_mm) == (30.0, 1000.0)


def test_a_bar_without_a_price_leaves_the_cost_unknown():
    assert cut_up([(90.0, 1)], [(100.0, None, None)], 0, 0).cost is None


def test_a_piece_as_long_as_the_bar_needs_no_cut_unless_its_end_is_held():
    assert cut_up([(100.0, 1)], [(100.0, None, None)], kerf_mm=2, end_mm=0).bars[0].left_mm == 0
    with pytest.raises(ValueError, match="No bar is long enough for a piece of 100 mm"):
        cut_up([(100.0, 1)], [(100.0, None, None)], kerf_mm=2, end_mm=1)


def test_bars_that_do_not_suffice_are_refused():
    with pytest.raises(ValueError, match="are not enough"):
        cut_up([(50.0, 5)], [(120.0, None, 2)], kerf_mm=1, end_mm=0)


@pytest.mark.parametrize(
    ("pieces", "stock", "kerf", "end"),
    [
        ([(0.0, 1)], [(100.0, None, None)], 0, 0),
        ([(float("nan"), 1)], [(100.0, None, None)], 0, 0),
        ([(10.0, -1)], [(100.0, None, None)], 0, 0),
        ([(10.0, 1)], [(-100.0, None, None)], 0, 0),
        ([(10.0, 1)], [(100.0, -1.0, None)], 0, 0),
        ([(10.0, 1)], [(100.0, None, None)], -1, 0),
        ([(10.0, 1)], [(100.0, None, None)], 0, float("inf")),
        ([(10.0, 10**9)], [(100.0, None, None)], 0, 0),
    ],
)
def test_figures_that_make_no_sense_are_refused(pieces, stock, kerf, end):
    with pytest.raises(ValueError, match=r"\."):
        cut_up(pieces, stock, kerf, end)


def test_nothing_wanted_takes_no_bar():
    assert cut_up([(10.0, 0)], [(100.0, None, None)], 1, 0) == CuttingPlan((), 0.0, 0.0, 0.0)


def test_many_lengths_are_answered_in_time_with_what_is_known_of_the_best():
    pieces = [(float(37 * one % 613 + 20), 1 + one % 7) for one in range(40)]
    plan = cut_up(pieces, [(2000.0, None, None), (3000.0, None, None)], kerf_mm=2, end_mm=30, seconds=2.0)
    assert counted(plan) == wanted(pieces)
    assert plan.gap < 0.05


def test_splitting_the_order_never_makes_it_shorter():
    stock = [(500.0, None, None)]
    for first, second in product([[(120.0, 3)], [(90.0, 4)]], [[(210.0, 2)], [(75.0, 5)]]):
        together = cut_up([*first, *second], stock, 2, 10).bought_mm
        assert together <= cut_up(first, stock, 2, 10).bought_mm + cut_up(second, stock, 2, 10).bought_mm
