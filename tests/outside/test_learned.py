"""What the forecast learns beside the rates, held against reference libraries: SciPy, and a jackknife in NumPy."""

import math

import numpy as np
import pytest
from scipy import integrate, stats

from calcs.forecast.curve import SUMMED_TO, USUAL_SLOPE, on_curve
from calcs.forecast.drift import (
    DAMPING,
    HALF_YEAR_LOG_SD,
    USUAL_DRIFT,
    USUAL_DRIFT_SD,
    WEEKS_OF_STEP,
    Drift,
    drift_of,
)
from calcs.forecast.overrun import ALWAYS_LOG_SD, EXCESS_LOG_SD, mean_of_tails, weighed
from calcs.forecast.tails import FARTHEST, FREEDOM, freedom_of, shrink, stretch


@pytest.mark.parametrize("freedom", [3.0, 3.7, 6.0, 10.0, 30.0])
def test_stretched_draws_are_students_with_other_degrees_of_freedom(freedom):
    # Reference library: scipy.stats.t.
    chances = np.concatenate([10.0 ** -np.arange(2, 9), np.linspace(0.01, 0.99, 99), 1 - 10.0 ** -np.arange(2, 9)])
    points = stats.t(FREEDOM).ppf(chances)
    assert stretch(points, freedom) == pytest.approx(stats.t(freedom).ppf(chances), rel=2e-3, abs=2e-3)
    assert shrink(stretch(points, freedom), freedom) == pytest.approx(points, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize(("freedom", "low", "high"), [(3.0, 2.9, 3.6), (6.0, 5.0, 8.0), (1000.0, 20.0, 30.1)])
def test_the_tails_of_many_surprises_are_found_whatever_their_scale(freedom, low, high):
    surprises = stats.t(freedom).ppf((np.arange(3000) + 0.5) / 3000)
    assert low < freedom_of(surprises) < high
    assert low < freedom_of(1.3 * surprises) < high


@pytest.mark.parametrize("scale", [0.1, 0.4, 0.9])
def test_the_mean_of_a_surprise_is_its_integral(scale):
    # Reference library: scipy.integrate. What lies beyond the farthest counts as the farthest.
    student = stats.t(FREEDOM)
    inside, _ = integrate.quad(lambda x: math.exp(scale * x) * student.pdf(x), -FARTHEST, FARTHEST)
    outside = student.sf(FARTHEST) * (math.exp(scale * FARTHEST) + math.exp(-scale * FARTHEST))
    assert mean_of_tails(scale, FREEDOM) == pytest.approx(inside + outside, rel=1e-3)


def test_the_variance_of_the_ratio_of_sums_is_that_of_the_jackknife():
    # M. H. Quenouille 1956, Biometrika 43, 353-360 (from memory): each part left out in turn.
    rng = np.random.default_rng(5)
    foreseen = rng.lognormal(1.0, 0.6, 600)
    took = foreseen * rng.lognormal(0.0, 0.7, 600)
    left_out = np.log((took.sum() - took) / (foreseen.sum() - foreseen))
    jackknife = 599 / 600 * float(((left_out - left_out.mean()) ** 2).sum())
    doubt = weighed(list(zip(took.tolist(), foreseen.tolist(), strict=True))).log_sd ** 2 - ALWAYS_LOG_SD**2
    # doubt = 1 ÷ (1 ÷ prior + 1 ÷ variance); the variance is that of the ratio, the jackknife's that of its logarithm.
    variance = 1 / (1 / doubt - EXCESS_LOG_SD**-2)
    assert variance == pytest.approx(jackknife * (took.sum() / foreseen.sum()) ** 2, rel=0.1)


@pytest.mark.parametrize("half_years", [2, 4, 9])
def test_the_drift_is_the_trend_of_the_half_years_drawn_to_the_usual_one(half_years):
    # Reference library: scipy.stats.linregress; the posterior mean of a normal with a normal prior.
    hours = np.random.default_rng(half_years).lognormal(1.5, 0.3, half_years)
    trend = stats.linregress(np.arange(half_years), np.log(hours)).slope
    variance = HALF_YEAR_LOG_SD**2 / (half_years * (half_years**2 - 1) / 12)
    precision = USUAL_DRIFT_SD**-2 + 1 / variance
    found = drift_of(np.repeat(hours, WEEKS_OF_STEP))
    assert found.mean == pytest.approx((USUAL_DRIFT / USUAL_DRIFT_SD**2 + trend / variance) / precision)
    assert found.mean_sd == pytest.approx(precision**-0.5)


def test_the_level_wanders_as_a_random_walk_with_a_damped_drift():
    ways = Drift(-0.1, 0.2, 0.3).wander(np.random.default_rng(3), 20_000)
    assert not ways[0].any()
    for step in (1, 4, 10):
        # A geometric series of the damped mean step; the random steps are independent.
        kept = (1 - DAMPING**step) / (1 - DAMPING)
        assert ways[step].mean() == pytest.approx(-0.1 * kept, abs=0.01)
        assert ways[step].var() == pytest.approx((0.2 * kept) ** 2 + 0.3**2 * step, rel=0.05)


@pytest.mark.parametrize(("made", "pieces"), [(0, 1), (0, 7), (5, 12), (SUMMED_TO - 10, 40), (3000, 5000)])
def test_the_curve_is_the_sum_of_its_pieces_and_the_load_its_derivative(made, pieces):
    def planned(slope):
        return 30 + 10 * float((np.arange(made + 1, made + pieces + 1, dtype=float) ** slope).sum())

    found = on_curve(30, 10, made, pieces)
    assert math.exp(found.shift) == pytest.approx(planned(USUAL_SLOPE) / (30 + 10 * pieces), rel=1e-7)
    step = 1e-5
    slope = (math.log(planned(USUAL_SLOPE + step)) - math.log(planned(USUAL_SLOPE - step))) / (2 * step)
    assert found.load == pytest.approx(slope, rel=1e-5, abs=1e-9)
