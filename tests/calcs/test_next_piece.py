"""The pieces to come: rules, and ranges that hold as often as they say."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.parts.learning_curve import slope_of
from calcs.parts.next_piece import carry_on

lots = st.lists(st.tuples(st.floats(1, 600), st.integers(1, 6)), min_size=1, max_size=12)


@settings(max_examples=60, deadline=None)
@given(lots, st.integers(1, 6))
def test_ranges_are_ranges_and_pieces_follow_on(counted, pieces):
    curve = carry_on(counted, pieces)
    made = sum(number for _, number in counted)
    if made < 6 or len(counted) < 2:
        assert curve is None
        return
    assert [one.piece for one in curve.onwards] == list(range(made + 1, made + pieces + 1))
    assert curve.low < curve.rate < curve.high
    for one in curve.onwards:
        assert 0 < one.low < one.middle < one.high


@settings(max_examples=30, deadline=None)
@given(lots, st.floats(0.1, 10))
def test_the_unit_of_time_does_not_matter(counted, scale):
    here, there = carry_on(counted, 2), carry_on([(minutes * scale, number) for minutes, number in counted], 2)
    if here is not None:
        assert there.rate == pytest.approx(here.rate, rel=1e-9)
        assert there.onwards[1].high == pytest.approx(scale * here.onwards[1].high, rel=1e-9)


def test_without_noise_the_curve_is_found_and_carried_on():
    curve = carry_on([(100 * unit ** slope_of(0.85), 1) for unit in range(1, 61)], 20)
    assert curve.rate == pytest.approx(0.85, abs=0.02)
    assert curve.onwards[-1].middle == pytest.approx(100 * 80 ** slope_of(0.85), rel=0.03)


def test_pieces_that_go_their_own_way_widen_the_range():
    steady = carry_on([(30.0, 1)] * 10, 1).onwards[0]
    wild = carry_on([(10.0, 1), (90.0, 1)] * 5, 1).onwards[0]
    assert wild.high / wild.low > 2 * steady.high / steady.low


def test_the_range_of_the_next_pieces_holds_about_eight_times_in_ten():
    # Simulated shops: learning 80 to 100 %, pieces that vary by 15 to 50 %, lots of one to three pieces.
    rng, held, tried = np.random.default_rng(5), 0, 0
    for _ in range(500):
        rate, spread, made = rng.uniform(0.8, 1), rng.uniform(0.15, 0.5), int(rng.integers(8, 41))
        times = 60 * np.arange(1, made + 6) ** math.log2(rate) * np.exp(spread * rng.standard_normal(made + 5))
        counted, begin = [], 0
        while begin < made:
            number = min(int(rng.integers(1, 4)), made - begin)
            counted.append((float(times[begin : begin + number].sum()), number))
            begin += number
        one = carry_on(counted, 5).onwards[int(rng.integers(5))]
        held += one.low <= times[one.piece - 1] <= one.high
        tried += 1
    assert 0.74 < held / tried < 0.87


def test_no_piece_to_come_is_refused():
    with pytest.raises(ValueError, match="At least one piece"):
        carry_on([(30.0, 1)] * 8, 0)
