"""Yields and blanks: rules that hold for every input."""

from itertools import pairwise, product
from math import comb, prod

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import betaln

from calcs.parts.blanks import blanks_needed, chances_by_blanks, cheapest_start
from calcs.parts.yields import (
    YieldBelief,
    YieldEstimate,
    exact_interval,
    rolled_yield,
    shop_belief,
    wilson_interval,
)
from tests.calcs.chances import enough

weights = st.floats(0.3, 60)
beliefs = st.lists(st.builds(YieldBelief, weights, weights), min_size=1, max_size=4)


def test_nothing_counted_has_no_yield():
    assert YieldEstimate(0, 0, 3).after_rework == 0.0
    nothing = YieldEstimate(0, 0, 0)
    assert nothing.first_time is nothing.after_rework is nothing.wilson is nothing.exact is None


@given(st.integers(1, 300), st.data())
def test_intervals_hold_the_share_and_grow_with_confidence(tried, data):
    good = data.draw(st.integers(0, tried))
    for interval in (wilson_interval, exact_interval):
        low, high = interval(good, tried, 0.8)
        wider_low, wider_high = interval(good, tried, 0.95)
        assert 0 <= wider_low <= low <= good / tried + 1e-12
        assert good / tried - 1e-12 <= high <= wider_high <= 1


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 12), beliefs)
def test_one_more_blank_never_lowers_the_chance(needed, route):
    chances = chances_by_blanks(needed, route, 30)
    assert all(after >= before - 1e-12 for before, after in pairwise(chances))
    assert chances[needed - 1] == pytest.approx(0, abs=1e-12)


@given(st.integers(1, 200), st.integers(1, 5), st.floats(0.01, 0.999))
def test_a_perfect_yield_needs_exactly_what_is_wanted(needed, operations, confidence):
    assert blanks_needed(needed, confidence, [YieldBelief.known(1.0)] * operations) == needed


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 10), st.sampled_from([0.5, 0.8, 0.9, 0.95]), st.lists(weights, min_size=1, max_size=3))
def test_the_number_of_blanks_is_the_smallest_that_will_do(needed, confidence, goods):
    route = [YieldBelief(good + 4, 1) for good in goods]
    blanks = blanks_needed(needed, confidence, route)
    assert enough(blanks, needed, route) >= confidence - 1e-9
    assert blanks >= needed
    if blanks > 1:
        assert enough(blanks - 1, needed, route) < confidence


def _by_hand(blanks: int, route: list[YieldBelief]) -> np.ndarray:
    """Sum over every possible number of pieces after every operation."""
    chances = np.zeros(blanks + 1)
    for path in product(range(blanks + 1), repeat=len(route)):
        steps = list(zip((blanks, *path), path, route, strict=False))
        if all(after <= before for before, after, _ in steps):
            chances[path[-1]] += prod(
                comb(before, after) * np.exp(betaln(after + y.a, before - after + y.b) - betaln(y.a, y.b))
                for before, after, y in steps
            )
    return chances


@settings(max_examples=25, deadline=None)
@given(st.integers(1, 5), st.lists(st.builds(YieldBelief, weights, weights), min_size=1, max_size=3))
def test_thinning_equals_going_through_every_possibility(blanks, route):
    chances = _by_hand(blanks, route)
    for needed in range(blanks + 1):
        assert enough(blanks, needed, route) == pytest.approx(chances[needed:].sum(), abs=1e-12)


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 40), beliefs)
def test_the_pieces_expected_are_the_blanks_times_the_yields(blanks, route):
    # The mean of a count is the sum of its chances of at least 1, 2, 3 …
    expected = sum(enough(blanks, needed, route) for needed in range(1, blanks + 1))
    assert expected == pytest.approx(blanks * prod(y.mean for y in route), rel=1e-9)


def test_pieces_in_work_share_the_yields_and_stand_past_the_first_operations():
    poor, fair = YieldBelief.known(0.1), YieldBelief.known(0.8)
    assert enough(0, 1, [poor, fair], in_work=(0, 1)) == pytest.approx(0.8)
    assert enough(0, 1, [poor, fair], in_work=(1, 0)) == pytest.approx(0.08)
    assert blanks_needed(3, 0.5, [poor, fair], in_work=(0, 4)) == 0


def test_doubt_about_the_yield_asks_for_more_blanks():
    assert blanks_needed(12, 0.9, [YieldBelief(9, 1)]) > blanks_needed(12, 0.9, [YieldBelief.known(0.9)])


def test_five_hundred_blanks_and_ten_operations_keep_their_sum():
    assert chances_by_blanks(0, [YieldBelief(19, 1)] * 10, 500) == pytest.approx([1] * 501, abs=1e-10)


@given(st.integers(1, 12), st.floats(0.5, 0.99), st.floats(1, 60))
def test_a_dear_second_set_up_asks_for_more_blanks(needed, share, minutes):
    route = [YieldBelief.known(share)]
    cheap = cheapest_start(needed, route, minutes, 0)
    dear = cheapest_start(needed, route, minutes, 600)
    assert needed <= cheap.blanks <= dear.blanks
    assert dear.expected_minutes == min(cost for _, cost in dear.table)


@given(
    st.dictionaries(
        st.sampled_from(["turning", "lapping", "milling"]), st.tuples(st.integers(0, 50), st.integers(0, 9))
    )
)
def test_a_scrapped_piece_lowers_the_belief_in_every_kind(counts):
    before = shop_belief(counts)
    good, scrap = counts.get("turning", (0, 0))
    after = shop_belief({**counts, "turning": (good, scrap + 1)})
    assert after.for_operation("turning").mean < before.for_operation("turning").mean
    # Of a kind that has lost every one of its many pieces the others have nothing left to learn.
    for kind in ("lapping", "sawing"):
        assert after.for_operation(kind).mean <= before.for_operation(kind).mean + 1e-12
    fall = {kind: before.for_operation(kind).mean - after.for_operation(kind).mean for kind in ("turning", "sawing")}
    assert fall["turning"] > fall["sawing"]


def test_one_bad_kind_does_not_condemn_the_others():
    shop = shop_belief({"heat treatment": (80, 60), "turning": (20, 0)})
    assert shop.for_operation("heat treatment").mean < 0.65
    assert shop.for_operation("drilling").mean > 0.92
    assert shop.for_operation("turning").mean > shop.for_operation("drilling").mean


def test_a_shop_without_counts_loses_little():
    belief = shop_belief({}).for_operation("turning")
    assert 0.95 < belief.mean < 0.995
    assert belief.a + belief.b < 12


@given(weights, weights)
def test_quantiles_of_a_belief_are_ordered(a, b):
    belief = YieldBelief(a, b)
    low, high = belief.interval(0.8)
    assert 0 <= low <= belief.quantile(0.5) <= high <= 1


@pytest.mark.parametrize(
    "refused",
    [
        lambda: YieldEstimate(-1, 0, 2),
        lambda: rolled_yield([0.9, 1.2]),
        lambda: wilson_interval(0, 0),
        lambda: wilson_interval(5, 4),
        lambda: exact_interval(2, 4, 1.0),
        lambda: exact_interval(-1, 4),
        lambda: YieldBelief(0, 0),
        lambda: YieldBelief(3, 0),
        lambda: YieldBelief.known(1.1),
        lambda: YieldBelief(1, 1).updated(-1, 0),
        lambda: YieldBelief(1, 1).quantile(1),
        lambda: chances_by_blanks(1, [YieldBelief(1, 1)], -1),
        lambda: chances_by_blanks(1, [YieldBelief(1, 1)], 3, in_work=(1, 2)),
        lambda: chances_by_blanks(1, [YieldBelief(1, 1)], 3, in_work=(-1,)),
        lambda: chances_by_blanks(-1, [YieldBelief(1, 1)], 3),
        lambda: YieldEstimate(2, 3, 0),
        lambda: blanks_needed(3, 1.0, [YieldBelief(1, 1)]),
        lambda: blanks_needed(3, 0.9, [YieldBelief.known(0.0)]),
        lambda: cheapest_start(0, [YieldBelief(1, 1)], 1, 1),
        lambda: cheapest_start(3, [YieldBelief.known(0)], 1, 1),
        lambda: shop_belief({"turning": (1, -1)}),
    ],
)
def test_what_makes_no_sense_is_refused_in_a_sentence(refused):
    with pytest.raises(ValueError, match=r"^[A-Z].* .*\.$"):
        refused()
