"""What the log says of the plan."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from calcs.forecast.curve import USUAL_SLOPE, on_curve
from calcs.forecast.rate_seen import SUM_ABOVE_MEDIAN, RateObservation, SlopeSeen, averaged
from calcs.forecast.rates import PRIOR_LOG_SD, PRIOR_MEDIAN_RATIO, TIMING_MINUTES, _Log, fit_rates

KINDS = ("turning", "milling", "drilling")


def seen(key: int, kind: str, ratio: float, pieces: int = 1) -> RateObservation:
    return RateObservation(key, kind, 60.0, 60.0 * ratio, pieces)


observations = st.lists(
    st.builds(seen, st.integers(1, 10**6), st.sampled_from(KINDS), st.floats(0.2, 8), st.integers(1, 20)),
    min_size=1,
    max_size=12,
)


def test_without_a_log_the_prior_speaks():
    prior = fit_rates([], KINDS).overall()
    spread = 1.2815515655446004 * PRIOR_LOG_SD
    assert prior.ratio == pytest.approx(PRIOR_MEDIAN_RATIO)
    assert prior.low == pytest.approx(PRIOR_MEDIAN_RATIO * math.exp(-spread), rel=1e-6)
    assert prior.high == pytest.approx(PRIOR_MEDIAN_RATIO * math.exp(spread), rel=1e-6)
    assert prior.operations == 0


def test_the_grid_weighs_by_the_likelihood_of_the_whole_log():
    # Reference library: the density of scipy.stats.multivariate_normal, built from the model's covariance.
    log = [seen(1, "turning", 2.0, 3), seen(2, "turning", 1.2), seen(3, "milling", 0.7, 8), seen(4, "", 1.9)]
    prior, posterior = fit_rates([], KINDS), fit_rates(log, KINDS)
    values = [one.log_ratio for one in log]
    same_kind = np.array([[a.kind == b.kind != "" for a in log] for b in log], dtype=float)
    expected = []
    for (kind_sd, operation_sd, piece_sd), weight in zip(prior.sds, prior.weights, strict=True):
        scatter = np.array([averaged(one.kind, one.planned_minutes) for one in log])
        own = scatter * (operation_sd**2 + piece_sd**2 / np.array([one.pieces for one in log]))
        own = (own + (TIMING_MINUTES / 60) ** 2) / posterior.trust
        covariance = PRIOR_LOG_SD**2 + kind_sd**2 * same_kind + np.diag(own)
        mean = math.log(PRIOR_MEDIAN_RATIO) + np.array([0.0, 0.0, 0.0, SUM_ABOVE_MEDIAN])
        expected.append(weight * stats.multivariate_normal(mean, covariance).pdf(values))
    assert posterior.weights == pytest.approx(np.array(expected) / sum(expected), rel=1e-8)


def test_the_posterior_of_the_shop_is_the_conditional_normal():
    log = [seen(1, "turning", 2.0, 3), seen(2, "milling", 1.2)]
    posterior = fit_rates(log, KINDS)
    kind_sd, operation_sd, piece_sd = posterior.sds[77]
    own = (operation_sd**2 + piece_sd**2 / np.array([3, 1]) + (TIMING_MINUTES / 60) ** 2) / posterior.trust
    covariance = PRIOR_LOG_SD**2 + np.diag(kind_sd**2 + own)
    gap = np.array([one.log_ratio for one in log]) - math.log(PRIOR_MEDIAN_RATIO)
    gain = PRIOR_LOG_SD**2 * np.ones(2) @ np.linalg.inv(covariance)
    assert posterior.means[77, 0] == pytest.approx(math.log(PRIOR_MEDIAN_RATIO) + gain @ gap, rel=1e-9)
    variance = PRIOR_LOG_SD**2 - gain @ np.full(2, PRIOR_LOG_SD**2)
    assert posterior.roots[77, 0, 0] ** 2 == pytest.approx(variance, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(observations, st.floats(1.05, 2))
def test_more_hours_for_the_same_plan_raise_the_ratio_while_each_is_trusted_as_before(log, factor):
    # Trusted anew it may fall: an operation that was odd and gets odder still counts for less.
    slower = [RateObservation(one.key, one.kind, 60, one.actual_minutes * factor, one.pieces) for one in log]
    trust = fit_rates(log, KINDS).trust
    before, after = (_Log.of(one, KINDS).posterior(trust) for one in (log, slower))
    assert (after.means[:, 0] > before.means[:, 0]).all()


def test_an_odd_operation_that_gets_odder_is_trusted_less():
    log = [*(seen(key, "turning", 1.0, 20) for key in range(6)), seen(9, "turning", 3.0, 20)]
    odder = [*log[:-1], seen(9, "turning", 20.0, 20)]
    assert fit_rates(odder, KINDS).trust[-1] < fit_rates(log, KINDS).trust[-1]


@settings(max_examples=40, deadline=None)
@given(observations)
def test_ranges_are_ordered_and_draws_agree_with_them(log):
    posterior = fit_rates(log, KINDS)
    draws = posterior.draw(np.random.default_rng(3), 4000)
    for summary in (posterior.overall(), *posterior.by_kind()):
        assert 0 < summary.low < summary.ratio < summary.high
    overall = posterior.overall()
    assert 0.06 < (draws.shop < math.log(overall.low)).mean() < 0.14
    assert 0.46 < (draws.shop < math.log(overall.ratio)).mean() < 0.54


def test_few_logs_shrink_to_the_shop_and_many_speak_for_themselves():
    shop = [seen(key, "turning", 1.5 * 1.5 ** (-1) ** key, 4) for key in range(20)]
    few = fit_rates([*shop, seen(100, "milling", 4.0, 4)], KINDS)
    many = fit_rates([*shop, *(seen(100 + key, "milling", 4.0 * 1.5 ** (-1) ** key, 4) for key in range(20))], KINDS)
    [_, few_milling] = few.by_kind()
    [_, many_milling] = many.by_kind()
    assert 1.5 < few_milling.ratio < 3.2
    assert many_milling.ratio == pytest.approx(4.0, rel=0.15)
    assert many_milling.high / many_milling.low < few_milling.high / few_milling.low


def test_a_slip_of_the_pen_does_not_move_the_shop_far():
    shop = [seen(key, "turning", 1.3, 4) for key in range(12)]
    slip = fit_rates([*shop, seen(99, "turning", 6000)], KINDS).overall()
    assert slip.ratio < 2.2
    assert seen(99, "turning", 6000).log_ratio == pytest.approx(math.log(30))


def test_an_operation_far_from_the_others_is_trusted_less():
    log = [*(seen(key, "turning", 1.3 * 1.1 ** (-1) ** key, 4) for key in range(12)), seen(99, "turning", 12, 4)]
    trust = fit_rates(log, KINDS).trust
    assert trust[-1] < 0.3 < 0.8 < trust[:-1].min()


def test_one_kind_more_leaves_the_draws_of_the_others_as_they_were():
    log = [seen(1, "turning", 2.0, 3), seen(2, "milling", 1.2)]
    few = fit_rates(log, KINDS[:2]).draw(np.random.default_rng(5), 300)
    more = fit_rates(log, KINDS).draw(np.random.default_rng(5), 300)
    assert more.kinds[:2] == pytest.approx(few.kinds, abs=1e-9)
    assert more.shop == pytest.approx(few.shop, abs=1e-9)


@pytest.mark.parametrize(("planned", "actual", "pieces"), [(0, 60, 1), (60, 0, 1), (60, 60, 0), (60, math.inf, 1)])
def test_a_rate_without_minutes_or_pieces_is_refused(planned, actual, pieces):
    with pytest.raises(ValueError, match="above 0"):
        RateObservation(1, "turning", planned, actual, pieces)


def test_a_kind_that_was_not_asked_for_is_refused():
    with pytest.raises(ValueError, match="lapping"):
        fit_rates([seen(1, "lapping", 1.0)], KINDS)


def repeated(key: int, pieces: int, rate: float) -> RateObservation:
    units = np.arange(1, pieces + 1) ** math.log2(rate)
    return RateObservation(key, "turning", 10.0 * pieces, 13.0 * float(units.sum()), pieces, on_curve(0, 10, 0, pieces))


@pytest.mark.parametrize("rate", [0.8, 0.88, 1.0])
def test_the_slope_of_learning_is_read_from_operations_of_many_pieces_beside_single_ones(rate):
    log = [repeated(key, pieces, rate) for key, pieces in enumerate([1, 2, 1, 6, 24, 1, 12, 1, 2, 36, 1, 16] * 4)]
    posterior = fit_rates(log, KINDS)
    slope = USUAL_SLOPE + float(posterior.weights @ posterior.means[:, 1])
    assert 2**slope == pytest.approx(rate, abs=0.03)
    assert posterior.overall().ratio == pytest.approx(1.3, rel=0.05)


def test_single_pieces_say_nothing_of_the_slope():
    posterior = fit_rates([repeated(key, 1, 0.8) for key in range(20)], KINDS)
    assert posterior.means[:, 1] == pytest.approx(0.0, abs=1e-12)


def test_lots_of_one_operation_move_the_shops_slope_a_little_and_its_own_more():
    seen_in_lots = SlopeSeen(-0.3, 0.05)
    posterior = fit_rates([], KINDS, [seen_in_lots])
    shop = float(posterior.weights @ posterior.means[:, 1])
    own, doubt = posterior.own_slope(seen_in_lots)
    assert -0.3 < own < shop < 0
    assert doubt < 0.05


def test_a_log_without_surprises_has_light_tails_and_one_with_some_heavy_ones():
    calm, wild = np.random.default_rng(1).normal(size=400), np.random.default_rng(1).standard_t(2.5, size=400)

    def freedom(surprises):
        return fit_rates(
            [seen(key, "turning", math.exp(0.3 * one)) for key, one in enumerate(surprises)], KINDS
        ).freedom

    assert freedom(wild) < 4 < 8 < freedom(calm)


def test_hours_of_a_whole_assembly_lie_nearer_to_the_shops_ratio_than_those_of_one_operation():
    def ratio(kind):
        log = [RateObservation(key, kind, 3000.0, 6000.0) for key in range(3)]
        return fit_rates(log, ("making", "turning")).by_kind()[0]

    assert ratio("making").high / ratio("making").low < ratio("turning").high / ratio("turning").low


def test_before_any_log_a_whole_part_is_taken_to_lie_above_a_single_operation():
    posterior = fit_rates([], ("turning", "making"))
    turning, making = (float(posterior.weights @ posterior.means[:, place]) for place, _ in posterior.kind_places)
    assert making - turning == pytest.approx(SUM_ABOVE_MEDIAN)


@given(st.floats(0.4, 3.0))
def test_many_finished_wholes_outweigh_what_is_taken_of_them_at_first(ratio):
    log = [RateObservation(key, "making", 600.0, 600.0 * ratio) for key in range(30)]
    assert fit_rates(log, ("making",)).by_kind()[0].ratio == pytest.approx(ratio, rel=0.02)
