"""Pairing measured pieces: the limits, what comes first, and what is refused."""

import math

import pytest

from calcs.parts.pairing import MOST_PIECES, pair


def test_as_many_pairs_as_can_be_come_before_nearness():
    # The first bore would be just right with the first piston, but then the second bore had none.
    found = pair([20.02, 20.05], [20.00, 19.99], least=0.01, most=0.05, wanted=0.02)
    assert found.pairs == ((0, 1), (1, 0))
    assert found.clearances == (0.03, 0.05)


def test_two_a_little_off_are_better_than_one_right_and_one_far_off():
    found = pair([10.02, 10.03], [10.00, 9.99], least=0.0, most=0.1, wanted=0.02)
    assert sorted(found.clearances) == [0.03, 0.03]


@pytest.mark.parametrize(("outer", "inner"), [(12.52, 12.50), (20.019999999, 20.0), (0.5 * 25.4 + 0.02, 12.7)])
def test_a_clearance_at_a_limit_is_within(outer, inner):
    assert outer - inner != 0.02
    assert pair([outer], [inner], least=0.02, most=0.05, wanted=0.03).clearances == (0.02,)
    assert pair([outer], [inner], least=0.0, most=0.02, wanted=0.01).clearances == (0.02,)


def test_a_thousandth_of_a_micron_outside_is_outside():
    assert pair([20.019999], [20.0], least=0.02, most=0.05, wanted=0.03).pairs == ()
    assert pair([20.020001], [20.0], least=0.0, most=0.02, wanted=0.01).pairs == ()


def test_who_is_left_over_is_named():
    found = pair([20.02, 20.50, 20.03], [20.01, 20.00], least=0.01, most=0.03, wanted=0.02)
    assert found.outer_left == (1,)
    assert found.inner_left == ()


def test_where_nothing_fits_all_are_left_over():
    found = pair([20.0, 20.1], [30.0, 30.1, 30.2], least=0.01, most=0.03, wanted=0.02)
    assert (found.pairs, found.clearances) == ((), ())
    assert (found.outer_left, found.inner_left) == ((0, 1), (0, 1, 2))


def test_an_interference_is_a_clearance_below_nothing():
    assert pair([9.98], [10.0], least=-0.03, most=-0.01, wanted=-0.02).clearances == (-0.02,)


def test_one_limit_for_both_is_a_fair_question():
    assert pair([20.02], [20.0], least=0.02, most=0.02, wanted=0.02).pairs == ((0, 0),)


@pytest.mark.parametrize("far", [0.1, 100.000001, 40_000.0])
@pytest.mark.parametrize("turned", [False, True])
def test_two_pairs_at_a_limit_come_before_one_just_right(far, turned):
    # The two cost all but as much as the one and a pair outside; in far squares the difference would be lost.
    outer, inner = [0.0, far], [0.0, -far]
    if turned:
        outer, inner = outer[::-1], inner[::-1]
    assert pair(outer, inner, least=0.0, most=far, wanted=0.0).clearances == (far, far)


@pytest.mark.parametrize(
    ("outer", "inner", "limits", "sentence"),
    [
        ([], [1], (0, 1, 0), "At least one measured piece of each sort is needed."),
        ([1], [], (0, 1, 0), "At least one measured piece of each sort is needed."),
        ([math.nan], [1], (0, 1, 0), "The measured size must be a plain number"),
        ([1], ["1"], (0, 1, 0), "The measured size must be a plain number"),
        ([1], [1], (0.2, 0.1, 0.15), "The smallest clearance must not be larger than the largest."),
        ([1], [1], (0.1, 0.2, 0.3), "The wanted clearance must lie between the smallest and the largest."),
        ([1], [1], (0.1, math.inf, 0.3), "The largest clearance must be a plain number"),
        ([1.0] * (MOST_PIECES + 1), [1], (0, 1, 0), "At most 1,000 pieces of each sort can be paired."),
    ],
)
def test_nonsense_is_refused_with_a_sentence(outer, inner, limits, sentence):
    with pytest.raises(ValueError, match=sentence):
        pair(outer, inner, *limits)
