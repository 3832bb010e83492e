"""Scores and coverage bands, held against published figures; and the sums of the engine against SciPy."""

import math
from datetime import date

import numpy as np
import pytest
from scipy import stats

from calcs.forecast import forecast
from calcs.forecast.overrun import ALWAYS_LOG_SD, EXCESS_AT_FIRST, EXCESS_LOG_SD
from calcs.forecast.rates import RateDraws, fit_rates
from calcs.forecast.simulate_times import Noise, OwnLogs
from calcs.forecast.simulate_work import Knowledge, draw_parts
from calcs.forecast.tails import FARTHEST
from calcs.parts.plan import BuildPlan, OperationPlan, PartPlan
from calcs.parts.remaining import open_parts
from calcs.parts.yields import shop_belief
from tests.calibration.scoring import (
    coverage_band,
    crps_of_normal,
    crps_of_sample,
    mean_pinball_loss,
    pinball_loss,
)


def test_quantile_score_of_a_textbook():
    # R. J. Hyndman and G. Athanasopoulos, Forecasting: Principles and Practice, 3rd ed., 5.9 (otexts.com/fpp3):
    # chance 0.1, forecast 744.54, truth 741.84. The book's score is twice the pinball loss.
    assert 2 * pinball_loss(0.1, 744.54, 741.84) == pytest.approx(4.86, abs=0.005)


def test_mean_pinball_of_scikit_learn():
    # scikit-learn 1.9.1, docstring of mean_pinball_loss.
    truths = (1, 2, 3)
    for alpha, low, high in ((0.1, 0.03333333, 0.3), (0.9, 0.3, 0.03333333)):
        below = [pinball_loss(alpha, forecast, truth) for forecast, truth in zip((0, 2, 3), truths, strict=True)]
        above = [pinball_loss(alpha, forecast, truth) for forecast, truth in zip((1, 2, 4), truths, strict=True)]
        assert np.mean(below) == pytest.approx(low, abs=1e-8)
        assert np.mean(above) == pytest.approx(high, abs=1e-8)


def test_pinball_of_three_quantiles_of_sktime():
    # sktime v0.31, documentation of PinballLoss.
    truths = (3, -0.5, 2, 7, 2)
    forecasts = {0.05: (1.25, 0, 1, 4, 0.625), 0.5: (2.5, 0, 2, 8, 1.25), 0.95: (3.75, 0, 3, 12, 1.875)}
    means = [
        float(np.mean([pinball_loss(chance, one, truth) for one, truth in zip(row, truths, strict=True)]))
        for chance, row in forecasts.items()
    ]
    assert means == pytest.approx([0.16625, 0.275, 0.09625], abs=1e-7)
    by_truth = [
        mean_pinball_loss({chance: row[place] for chance, row in forecasts.items()}, truth)
        for place, truth in enumerate(truths)
    ]
    assert np.mean(by_truth) == pytest.approx(0.1791667, abs=1e-7)


def test_crps_of_the_normal():
    # R package scoringRules, test-crps_norm.R (rdrr.io), and properscoring 0.1.
    assert crps_of_normal(-3.0) == pytest.approx(2.43657473, abs=1e-8)
    assert crps_of_normal(-2.7, sd=0.9) == pytest.approx(0.9 * 2.43657473, abs=1e-8)
    assert crps_of_normal(0.0) == pytest.approx(0.23369497725510913, abs=1e-12)


def test_crps_of_a_sample():
    # By hand: mean |x − y| = 1, half the mean distance of pairs = 0.625.
    assert crps_of_sample([1, 2, 3, 4], 2.5) == pytest.approx(0.375)
    draws = np.random.default_rng(1).standard_normal(40_000)
    assert crps_of_sample(draws, 0.7) == pytest.approx(crps_of_normal(0.7), abs=0.01)


BANDS = {
    # 2.5 and 97.5 % points of the binomial distribution, computed with scipy.stats.binom.ppf.
    0.8: {10: (5, 10), 20: (12, 19), 30: (19, 28), 50: (34, 45), 100: (72, 88)},
    0.9: {10: (7, 10), 20: (15, 20), 30: (23, 30), 50: (41, 49), 100: (84, 95)},
}


@pytest.mark.parametrize("chance", BANDS)
def test_bands_of_hits(chance):
    for trials, band in BANDS[chance].items():
        assert coverage_band(trials, chance) == band
        # Reference library: scipy.stats.binom.
        expected = tuple(int(end) for end in stats.binom(trials, chance).ppf([0.025, 0.975]))
        assert coverage_band(trials, chance) == expected


@pytest.mark.parametrize(
    ("sigma", "mean", "p90", "p99"),
    [
        # Log-normal ratios of median 1; the row of sigma 1 is printed by E. Bernhardsson 2019 (erikbern.com), the
        # others were computed.
        (0.5, 1.133, 1.898, 3.200),
        (0.75, 1.325, 2.615, 5.725),
        (1.0, 1.649, 3.602, 10.24),
    ],
)
def test_log_normal_ratios(sigma, mean, p90, p99):
    draws = np.exp(sigma * stats.norm.ppf((np.arange(200_000) + 0.5) / 200_000))
    assert draws.mean() == pytest.approx(mean, rel=0.002)
    assert np.quantile(draws, [0.9, 0.99]) == pytest.approx([p90, p99], rel=0.001)


def test_the_noise_of_operations_is_students():
    # Reference library: scipy.stats.t with four degrees of freedom.
    pool = Noise(np.random.default_rng(3), 1000).draws
    for chance in (0.02, 0.1, 0.5, 0.9, 0.98):
        assert np.quantile(pool, chance) == pytest.approx(stats.t(4).ppf(chance), abs=0.05)


def test_a_part_of_one_operation_is_drawn_as_the_prior_says():
    # Reference library: scipy.stats, drawing the same model afresh: shop, kind and operation effects and the
    # overrun, for one piece.
    route = (OperationPlan(1, "turning", setup_minutes=0, minutes_per_piece=60, good=0),)
    found = forecast(BuildPlan((PartPlan(1, "stud", "", 1, 0, route),)), date(2026, 3, 1), 5, draws=20_000)
    hours = found.parts[0].hours_left
    assert hours is not None
    posterior = fit_rates([], ("turning",))
    draws = posterior.draw(np.random.default_rng(8), 200_000)
    surprise = np.clip(stats.t(4).rvs(200_000, random_state=9), -FARTHEST, FARTHEST)
    spread = np.hypot(draws.operation_sd, draws.piece_sd)
    overrun = EXCESS_AT_FIRST + math.hypot(ALWAYS_LOG_SD, EXCESS_LOG_SD) * stats.norm.rvs(size=200_000, random_state=10)
    expected = np.exp(draws.kinds[0] + spread * surprise + overrun)
    assert [hours.p10, hours.p50] == pytest.approx(np.quantile(expected, [0.1, 0.5]), rel=0.05)
    # Losses are rare and only add, so the upper points lie at or a little above.
    assert np.quantile(expected, 0.9) * 0.96 < hours.p90 < np.quantile(expected, 0.9) * 1.15


def _sums_by_the_engine(minutes, sigma, draws):
    """Bench hours of parts of one operation and one piece each, which cannot be lost, at a known shop."""
    nothing, known = np.zeros(draws), np.full(draws, sigma)
    parts = [
        PartPlan(key, "stud", "", 1, 0, (OperationPlan(key, "turning", 0, one),)) for key, one in enumerate(minutes)
    ]
    knowledge = Knowledge(
        kinds=("turning",),
        rates=RateDraws(nothing, nothing[None, :], nothing, known, nothing, nothing),
        own=OwnLogs({}, {}, {}),
        shop_yield=shop_belief({"turning": (10**9, 0)}),
        imputed_part=None,
        imputed_operations={},
    )
    drawn = draw_parts(open_parts(parts), knowledge, np.random.SeedSequence(6), draws)
    return drawn.bench.sum(axis=0, dtype=float)


def test_the_sum_of_the_parts_is_the_sum_of_independent_draws():
    # Reference: sums of the same terms drawn with SciPy, and L. F. Fenton 1960, IRE Transactions on Communications
    # Systems 8, 57-67 (from memory): the log-normal with the mean and the variance of the sum.
    minutes, sigma, draws = np.linspace(20, 400, 60), 0.3, 20_000
    sums = _sums_by_the_engine(minutes, sigma, draws)
    terms = np.exp(sigma * np.clip(stats.t(4).rvs((60, draws), random_state=3), -FARTHEST, FARTHEST))
    simulated = (minutes[:, None] / 60 * terms).sum(axis=0)
    chances = [0.1, 0.5, 0.8, 0.9]
    assert np.quantile(sums, chances) == pytest.approx(np.quantile(simulated, chances), rel=0.01)
    mean = float(minutes.sum()) / 60 * terms.mean()
    log_variance = math.log1p(float((minutes**2).sum()) / 3600 * terms.var() / mean**2)
    matched = stats.lognorm(math.sqrt(log_variance), scale=mean * math.exp(-log_variance / 2))
    assert sums.mean() == pytest.approx(mean, rel=0.01)
    assert np.quantile(sums, chances) == pytest.approx(matched.ppf(chances), rel=0.02)
