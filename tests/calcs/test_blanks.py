"""How many blanks: rules that hold for every input, and how long it takes."""

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.parts.blanks import blanks_needed, chances_by_blanks, cheapest_start
from calcs.parts.yields import YieldBelief


@pytest.mark.parametrize("share", [0.5, 0.7, 0.8, 0.9])
@pytest.mark.parametrize("confidence", [0.8, 0.9, 0.95])
def test_doubt_about_a_yield_that_loses_pieces_never_lowers_the_blanks(share, confidence):
    for needed in (1, 2, 3, 5, 8, 12, 20, 30):
        sure = blanks_needed(needed, confidence, [YieldBelief.known(share)])
        for worth in (8, 20, 100):
            doubtful = YieldBelief(share * worth, (1 - share) * worth)
            assert blanks_needed(needed, confidence, [doubtful]) >= sure


def test_doubt_about_a_nearly_perfect_yield_may_save_a_blank():
    """No rule for all inputs: the same mean with doubt has a fatter chance of losing nothing at all."""
    assert blanks_needed(8, 0.8, [YieldBelief.known(0.97)]) == 9
    assert blanks_needed(8, 0.8, [YieldBelief(0.97 * 8, 0.03 * 8)]) == 8


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


def test_five_hundred_blanks_through_ten_operations_take_under_a_tenth_of_a_second():
    route = [YieldBelief(19, 1)] * 10
    chances_by_blanks(450, route, 500)
    times = []
    for _ in range(9):
        # The thread's own time: what else the machine does meanwhile is not the sum's doing.
        begun = time.thread_time()
        chances_by_blanks(450, route, 500)
        times.append(time.thread_time() - begun)
    assert min(times) < 0.1


def test_a_set_up_below_nothing_is_refused():
    with pytest.raises(ValueError, match="0 or more"):
        cheapest_start(3, [YieldBelief(5, 1)], 10, 60, first_setup_minutes=-1)
