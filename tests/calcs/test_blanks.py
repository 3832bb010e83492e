"""How many blanks: rules that hold for every input, and how long it takes."""

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.blanks import blanks_needed, cheapest_start, survivors
from calcs.yields import YieldBelief

shares = st.floats(0.3, 1.0)


@settings(max_examples=50, deadline=None)
@given(
    st.integers(1, 8),
    st.sampled_from([0.5, 0.8, 0.9, 0.95]),
    st.lists(st.tuples(shares, st.floats(0.8, 60)), max_size=3, min_size=1),
)
def test_doubt_never_lowers_the_chance_that_a_generous_start_is_judged_by(needed, confidence, route):
    """Above an even chance, doubt about a yield asks for at least as many blanks as the same yield without doubt."""
    known = [YieldBelief.known(share) for share, _ in route]
    doubtful = [YieldBelief(max(share, 0.01) * worth + 1e-9, (1 - share) * worth + 1e-9) for share, worth in route]
    sure = blanks_needed(needed, max(confidence, 0.8), known)
    try:
        unsure = blanks_needed(needed, max(confidence, 0.8), doubtful)
    except ValueError:
        return  # So much doubt that not even thousands would do: more than enough.
    assert unsure >= sure


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 10), st.lists(st.floats(0.5, 30), min_size=2, max_size=4), st.integers(0, 6))
def test_a_piece_in_work_never_asks_for_more_blanks(needed, goods, waiting):
    route = [YieldBelief(good + 3, 1) for good in goods]
    without = blanks_needed(needed, 0.8, route)
    in_work = (0,) * (len(route) - 1) + (waiting,)
    assert blanks_needed(needed, 0.8, route, in_work) <= without
    assert cheapest_start(needed, route, 10, 60, in_work=in_work).blanks <= cheapest_start(needed, route, 10, 60).blanks


def test_where_the_work_in_hand_may_do_the_first_set_up_counts():
    route, in_work = [YieldBelief.known(0.9)], (3,)
    free = cheapest_start(3, route, minutes_per_blank=1, second_setup_minutes=60, in_work=in_work)
    paid = cheapest_start(3, route, 1, 60, in_work=in_work, first_setup_minutes=600)
    assert free.blanks > 0
    assert paid.blanks == 0


def test_five_hundred_blanks_through_ten_operations_in_a_tenth_of_a_second():
    route = [YieldBelief(19, 1)] * 10
    survivors(500, route)
    times = []
    for _ in range(5):
        begun = time.perf_counter()
        survivors(500, route)
        times.append(time.perf_counter() - begun)
    assert min(times) < 0.1


def test_a_set_up_below_nothing_is_refused():
    with pytest.raises(ValueError, match="0 or more"):
        cheapest_start(3, [YieldBelief(5, 1)], 10, 60, first_setup_minutes=-1)
