"""Capability against published examples and against SciPy's distributions, and its ranges against drawn pieces.

The published figures are from memory. Where a source gives only mean and spread, pieces are made that have just these.
"""

import math

import numpy as np
import pytest
from scipy import integrate, stats

from calcs.parts.capability import FAR_LIMIT, Drift, capability, drift_of


def pieces_with(mean: float, spread: float, n: int = 20) -> list[float]:
    """Return n sizes with just this mean and this sample standard deviation."""
    steps = np.linspace(-1, 1, n)
    return list(mean + spread * steps / steps.std(ddof=1))


def test_the_worked_example_of_the_handbook():
    # NIST/SEMATECH e-Handbook 6.1.6: USL 20, LSL 8, mean 16, s 2: Cp 1.0, Cpu 0.6667, Cpl 1.3333, Cpk 0.6667.
    sizes = pieces_with(16, 2)
    found = capability(sizes, 8, 20)
    assert found.cp == pytest.approx(1.0)
    assert found.cpk == pytest.approx(0.6667, abs=5e-5)
    assert capability(sizes, None, 20).cpk == pytest.approx(0.6667, abs=5e-5)
    assert capability(sizes, 8, None).cpk == pytest.approx(1.3333, abs=5e-5)


@pytest.mark.parametrize(
    ("spreads", "cp", "outside", "digits"),
    [(6, 1.00, 0.0027, 5e-6), (8, 1.33, 64e-6, 1e-6), (10, 1.66, 0.6e-6, 0.05e-6), (12, 2.00, 2e-9, 0.05e-9)],
)
def test_the_rejects_that_the_handbook_gives_for_a_centred_process(spreads, cp, outside, digits):
    # NIST/SEMATECH e-Handbook 6.1.6, the table of Cp, USL − LSL in spreads, and rejects.
    found = capability(pieces_with(0, 1), -spreads / 2, spreads / 2)
    assert found.cp == pytest.approx(cp, abs=1e-2)
    assert found.outside == pytest.approx(outside, abs=digits)


@pytest.mark.parametrize(("mean", "cpk"), [(50, 2.0), (53, 1.5), (56, 1.0), (62, 0.0), (65, -0.5)])
def test_a_process_that_moves_away_from_the_middle(mean, cpk):
    # D. C. Montgomery, Introduction to Statistical Quality Control, 6th edition, chapter 8, the figure of Cp and Cpk:
    # limits 38 and 62, spread 2, so Cp 2.0 wherever the mean stands.
    found = capability(pieces_with(mean, 2), 38, 62)
    assert found.cp == pytest.approx(2.0)
    assert found.cpk == pytest.approx(cpk, abs=1e-8)


def test_a_range_of_cp():
    # Montgomery, the same chapter: n 20, s 1.75, limits 38 and 62: Cp 2.29, at 95 % from 1.57 to 3.01.
    found = capability(pieces_with(50, 1.75), 38, 62, 0.95)
    assert found.cp == pytest.approx(2.29, abs=5e-3)
    assert found.cp_range == pytest.approx((1.57, 3.01), abs=6e-3)


def test_bottles_with_a_lower_limit_only():
    # Montgomery, the same chapter: bursting strength, mean 264, s 32, at least 200: Cpl 0.67, and 0.0228 below it.
    found = capability(pieces_with(264, 32), 200, None)
    assert found.cp is None
    assert found.cpk == pytest.approx(0.67, abs=5e-3)
    assert found.outside == pytest.approx(0.0228, abs=5e-5)


@pytest.mark.parametrize(
    ("ratio", "one_sided", "two_sided"),
    # Montgomery, the same chapter, table of capability ratios and fallout in parts per million.
    [(0.25, 226_628, 453_255), (0.5, 66_807, 133_614), (0.8, 8_198, 16_395), (1.0, 1_350, 2_700), (1.2, 159, 318)],
)
def test_fallout_of_a_capability_ratio(ratio, one_sided, two_sided):
    sizes = pieces_with(0, 1)
    assert capability(sizes, None, 3 * ratio).outside * 1e6 == pytest.approx(one_sided, abs=1.0)
    assert capability(sizes, -3 * ratio, 3 * ratio).outside * 1e6 == pytest.approx(two_sided, abs=1.0)


@pytest.mark.parametrize(
    ("n", "share", "factor"),
    # One-sided tolerance factors at 95 % (M. G. Natrella, Experimental Statistics, NBS Handbook 91, table A-7): with a
    # margin of `factor` spreads it is that sure that so large a share lies within the limit.
    [
        *((2, 0.90, 20.581), (3, 0.90, 6.155), (3, 0.99, 10.553), (5, 0.90, 3.407), (5, 0.95, 4.203)),
        *((5, 0.99, 5.741), (10, 0.90, 2.355), (10, 0.95, 2.911), (10, 0.99, 3.981), (20, 0.95, 2.396)),
    ],
)
def test_the_range_with_one_limit_is_that_of_the_tolerance_factors(n, share, factor):
    found = capability(pieces_with(0, 1, n), None, factor, 0.9)
    assert 3 * found.cpk_range[0] == pytest.approx(stats.norm.ppf(share), abs=6e-4)
    assert found.outside_range[1] == pytest.approx(1 - share, abs=2e-4)


@pytest.mark.parametrize("n", [2, 3, 12, 60])
@pytest.mark.parametrize("margin", [-2.0, 0.0, 3.0, 40.0])
@pytest.mark.parametrize("confidence", [0.5, 0.8, 0.95])
def test_the_ends_with_one_limit_leave_out_what_they_should(n, margin, confidence):
    # Reference library: scipy.stats.nct.
    tail = (1 - confidence) / 2
    for low, high in ((None, margin), (-margin, None)):
        least, most = capability(pieces_with(0, 1, n), low, high, confidence).cpk_range
        root = math.sqrt(n)
        assert stats.nct.sf(margin * root, n - 1, 3 * least * root) == pytest.approx(tail, abs=1e-5)
        assert stats.nct.cdf(margin * root, n - 1, 3 * most * root) == pytest.approx(tail, abs=1e-5)


@pytest.mark.parametrize("margin", [FAR_LIMIT * 1.001, -FAR_LIMIT * 1.001])
def test_a_far_limit_is_left_to_the_chi_squared(margin):
    # The noncentral t once more, as the integral over the spread of the sample.
    n, root = 6, math.sqrt(6)
    least, most = (3 * end for end in capability(pieces_with(0, 1, n), None, margin, 0.8).cpk_range)
    ratio = stats.chi(n - 1, scale=1 / math.sqrt(n - 1))

    def chance_below(true: float) -> float:
        edge = true / margin
        points = [point for point in (edge - 0.05, edge, edge + 0.05) if 0 < point < 8]
        found = integrate.quad(
            lambda w: stats.norm.cdf(root * (true - margin * w)) * ratio.pdf(w), 0, 8, points=points, limit=200
        )
        return found[0]

    assert (chance_below(least), chance_below(most)) == pytest.approx((0.1, 0.9), abs=1e-4)


@pytest.mark.parametrize("n", [2, 5, 30])
def test_cps_range_is_that_of_the_chi_squared(n):
    # Reference library: scipy.stats.chi2.
    low, high = capability(pieces_with(0, 1, n), -6, 6, 0.8).cp_range
    assert (n - 1) * (low / 2) ** 2 == pytest.approx(stats.chi2.ppf(0.1, n - 1))
    assert (n - 1) * (high / 2) ** 2 == pytest.approx(stats.chi2.ppf(0.9, n - 1))


def test_drift_is_the_straight_line_of_least_squares():
    # Reference library: scipy.stats.linregress.
    sizes = np.random.default_rng(5).normal(20, 0.01, 12) + 0.002 * np.arange(12)
    line = stats.linregress(np.arange(12), sizes)
    half = stats.t.ppf(0.9, 10) * line.stderr
    expected = Drift(line.slope, (line.slope - half, line.slope + half), bool(line.pvalue < 0.05))
    found = drift_of(list(sizes), 0.8)
    assert (found.slope, *found.slope_range) == pytest.approx((expected.slope, *expected.slope_range))
    assert found.is_clear == expected.is_clear


@pytest.mark.parametrize(
    ("n", "limits", "exact"),
    [(6, (None, 2.5), True), (6, (-3.0, 3.0), False), (12, (-1.5, 1.5), False), (6, (-2.0, 5.0), False)],
)
def test_the_ranges_hold_as_often_as_they_say(n, limits, exact):
    # Drawn pieces of mean 0 and spread 1: the true figures are known.
    low, high = limits
    margins = [abs(limit) for limit in limits if limit is not None]
    cpk, outside = min(margins) / 3, sum(stats.norm.sf(margins))
    tries = 1_000
    drawn = np.random.default_rng(7).normal(0, 1, (tries, n))
    found = [capability(list(sizes), low, high, 0.8) for sizes in drawn]
    doubt = 4 * math.sqrt(0.8 * 0.2 / tries)
    for truth, ranges in ((cpk, [one.cpk_range for one in found]), (outside, [one.outside_range for one in found])):
        held = np.mean([least <= truth <= most for least, most in ranges])
        below, above = np.mean([most < truth for _, most in ranges]), np.mean([least > truth for least, _ in ranges])
        assert held == pytest.approx(0.8, abs=doubt) if exact else held > 0.8 - doubt
        # Each end by itself: no more than the tenth that it may leave out.
        assert max(below, above) < 0.1 + 4 * math.sqrt(0.1 * 0.9 / tries)


@pytest.mark.parametrize("n", [3, 8])
def test_the_next_piece_falls_outside_as_often_as_is_said(n):
    # Limits at 1.5 spreads of the sample: the next piece is outside with the chance that the sample gives.
    drawn = np.random.default_rng(11).normal(0, 1, (200_000, n + 1))
    sample, following = drawn[:, :n], drawn[:, n]
    mean, spread = sample.mean(axis=1), sample.std(axis=1, ddof=1)
    outside = np.mean(np.abs(following - mean) > 1.5 * spread)
    sizes = pieces_with(0, 1, n)
    assert capability(sizes, -1.5, 1.5).next_outside == pytest.approx(outside, abs=5e-3)
