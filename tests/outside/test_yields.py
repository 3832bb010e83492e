"""Yields, their intervals and the number of blanks, held against published figures and SciPy's distributions."""

import math

import numpy as np
import pytest
from scipy import stats

from calcs.parts.blanks import blanks_needed, chances_by_blanks, thinning
from calcs.parts.yields import (
    YieldBelief,
    YieldEstimate,
    exact_interval,
    rolled_yield,
    wilson_interval,
)
from tests.calcs.chances import enough


def test_wilson_lower_limit_of_the_handbook():
    # NIST/SEMATECH e-Handbook of Statistical Methods 7.2.4.1 (prc241): p̂ = 0.13 of 200, one-sided 95 %, z = 1.645.
    # One-sided at 95 % is the lower end at 90 %.
    low, _ = wilson_interval(26, 200, 0.9)
    assert low == pytest.approx(0.09577, abs=5e-6)


def test_exact_interval_of_the_handbook():
    # NIST/SEMATECH e-Handbook 7.2.4.1: 4 of 20, two-sided 90 %.
    low, high = exact_interval(4, 20, 0.9)
    assert low == pytest.approx(0.071354, abs=2e-6)
    assert high == pytest.approx(0.401029, abs=2e-6)


def test_the_handbooks_rounded_upper_limit_is_a_slip():
    # The same page prints (0.071, 0.400); the upper limit rounds to 0.401.
    _, high = exact_interval(4, 20, 0.9)
    assert round(high, 3) != 0.400
    assert round(high, 3) == 0.401


def test_binomial_test_of_scipys_documentation():
    # SciPy 1.17.1, docstring of scipy.stats.binomtest: 3 of 15 against 0.1, alternative "greater".
    low, _ = exact_interval(3, 15, 0.9)
    assert low == pytest.approx(0.05684686759024681, abs=1e-12)
    assert enough(15, 3, [YieldBelief.known(0.1)]) == pytest.approx(0.18406106910639114, abs=1e-12)


@pytest.mark.parametrize(
    ("good", "tried", "wilson", "exact"),
    [
        # R. G. Newcombe 1998, Statistics in Medicine 17, 857-872, Table I, 95 %: from memory.
        (81, 263, (0.2553, 0.3662), (0.2527, 0.3676)),
        (15, 148, (0.0624, 0.1605), (0.0578, 0.1617)),
        (0, 20, (0.0, 0.1611), (0.0, 0.1684)),
        (1, 29, (0.0061, 0.1718), (0.0009, 0.1776)),
    ],
)
def test_intervals_of_newcombes_table(good, tried, wilson, exact):
    assert wilson_interval(good, tried, 0.95) == pytest.approx(wilson, abs=5.1e-5)
    assert exact_interval(good, tried, 0.95) == pytest.approx(exact, abs=5.1e-5)


@pytest.mark.parametrize("good", range(0, 13, 3))
@pytest.mark.parametrize("tried", [12, 16, 200])
@pytest.mark.parametrize("confidence", [0.8, 0.9, 0.95])
def test_intervals_agree_with_scipys_binomial_test(good, tried, confidence):
    # Reference library: scipy.stats.binomtest, methods "wilson" and "exact".
    result = stats.binomtest(good, tried)
    for method, ours in (("wilson", wilson_interval), ("exact", exact_interval)):
        expected = result.proportion_ci(confidence, method)
        assert ours(good, tried, confidence) == pytest.approx((expected.low, expected.high), abs=1e-12)


@pytest.mark.parametrize(
    ("good", "tried", "wilson", "exact"),
    [
        # Small batches at 95 %, computed with scipy.stats.binomtest and rounded to four decimals.
        (3, 5, (0.2307, 0.8824), (0.1466, 0.9473)),
        (5, 6, (0.4365, 0.9699), (0.3588, 0.9958)),
        (8, 10, (0.4902, 0.9433), (0.4439, 0.9748)),
        (9, 10, (0.5958, 0.9821), (0.5550, 0.9975)),
        (10, 10, (0.7225, 1.0), (0.6915, 1.0)),
        (12, 16, (0.5050, 0.8982), (0.4762, 0.9273)),
    ],
)
def test_intervals_of_small_batches(good, tried, wilson, exact):
    assert wilson_interval(good, tried, 0.95) == pytest.approx(wilson, abs=5.1e-5)
    assert exact_interval(good, tried, 0.95) == pytest.approx(exact, abs=5.1e-5)


def test_wilson_interval_for_the_handbooks_exact_case():
    # 4 of 20 at 90 %, computed with scipy.stats.binomtest.
    assert wilson_interval(4, 20, 0.9) == pytest.approx((0.0931, 0.3784), abs=1e-4)


def test_twelve_made_to_get_ten_good():
    # Simple Statistical Methods for Software Engineering, Example 11.2 (inputs read there): yield 0.6, 10 good.
    belief = [YieldBelief.known(0.6)]
    reached = np.array(chances_by_blanks(10, belief, 199))
    assert reached[12] == pytest.approx(0.08344, abs=1e-5)
    assert reached[12] - reached[11] == pytest.approx(0.05321, abs=1e-5)
    # The number started until the tenth good one, against its published mean 16.667 and variance 11.11.
    number, first = np.arange(1, 200), np.diff(reached)
    mean = float(first @ number)
    assert mean - 10 == pytest.approx(6.667, abs=1e-3)
    assert float(first @ (number - mean) ** 2) == pytest.approx(11.11, abs=5e-3)


def test_five_holes_with_one_chance_in_ten():
    # J. C. Davis, Statistics and Data Analysis in Geology, chapter 2, p. 17: n = 5, p = 0.1: none 0.59, one 0.328.
    some, two = (enough(5, holes, [YieldBelief.known(0.1)]) for holes in (1, 2))
    assert 1 - some == pytest.approx(0.59, abs=6e-4)
    assert some - two == pytest.approx(0.328, abs=5e-4)


def test_rolled_yield_from_defects_per_unit():
    # M. Harry, iSixSigma questions and answers, 23 February 2004: 0.10, 0.05 and 0.008 defects per unit.
    # The page prints 0.904834 for the first, which exactly is 0.904837.
    yields = [math.exp(-defects) for defects in (0.10, 0.05, 0.008)]
    assert yields == pytest.approx([0.904837, 0.951229, 0.992032], abs=5e-7)
    assert rolled_yield(yields) == pytest.approx(0.853850, abs=5e-6)


def test_rolled_yield_of_two_steps():
    # Common practice: 0.97 × 0.94 = 91 %.
    assert rolled_yield([0.97, 0.94]) == pytest.approx(0.9118, abs=5e-5)


def test_rolled_yield_of_five_steps_takes_each_from_its_own_units():
    # Worked by hand: 0.9118 × 0.9401 × 0.9120 × 0.9217 × 0.9267 = 0.6677; 0.80 for the third would give 0.582.
    steps = [(75, 850), (72, 1202), (83, 943), (70, 894), (88, 1200)]
    rolled = rolled_yield([1 - defects / units for defects, units in steps])
    assert rolled == pytest.approx(0.6677, abs=1e-4)
    assert rolled != pytest.approx(0.582, abs=0.05)


def test_prediction_after_nine_good_of_ten():
    # Reference library: scipy.stats.betabinom. Nine good of ten and a uniform prior.
    belief = YieldBelief(1, 1).updated(9, 1)
    assert belief.mean == pytest.approx(0.8333, abs=1e-4)
    assert enough(13, 10, [belief]) == pytest.approx(0.7847, abs=1e-4)
    assert enough(13, 10, [belief]) == pytest.approx(stats.betabinom(13, 10, 2).sf(9), abs=1e-12)


@pytest.mark.parametrize(("a", "b"), [(0.5, 0.5), (8, 0.3), (1, 1), (40, 3), (2000, 120)])
def test_thinning_agrees_with_scipys_beta_binomial(a, b):
    # Reference library: scipy.stats.betabinom.
    table = thinning(60, YieldBelief(a, b))
    for tried in (0, 1, 7, 60):
        expected = stats.betabinom(tried, a, b).pmf(np.arange(61))
        assert table[tried] == pytest.approx(expected, abs=1e-11)


YIELDS = (0.95, 0.90, 0.80, 0.70)
SMALLEST_STARTS = {
    # Smallest n with P(good ≥ k) ≥ 80, 90 and 95 %, yields 0.95, 0.90, 0.80, 0.70; computed with scipy.stats.binom.sf.
    4: ((4, 5, 6, 7), (5, 5, 6, 8), (5, 6, 7, 9)),
    6: ((7, 7, 9, 10), (7, 8, 9, 11), (7, 8, 10, 12)),
    8: ((9, 10, 11, 13), (9, 10, 12, 14), (10, 11, 13, 16)),
    12: ((13, 14, 17, 19), (14, 15, 18, 21), (14, 16, 19, 22)),
    16: ((18, 19, 22, 25), (18, 20, 23, 27), (19, 20, 24, 28)),
}


@pytest.mark.parametrize("needed", SMALLEST_STARTS)
def test_smallest_number_of_blanks_with_a_known_yield(needed):
    for confidence, row in zip((0.8, 0.9, 0.95), SMALLEST_STARTS[needed], strict=True):
        found = tuple(blanks_needed(needed, confidence, [YieldBelief.known(share)]) for share in YIELDS)
        assert found == row


def test_piston_rings_of_a_real_batch():
    # Common practice: twelve needed, twenty made, eight perfect, six usable after rework, six scrap.
    found = YieldEstimate(good=14, reworked=6, scrap=6)
    assert found.first_time == pytest.approx(0.40)
    assert found.after_rework == pytest.approx(0.70)
