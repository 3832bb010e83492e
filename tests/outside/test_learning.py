"""Learning curves, held against printed tables, an R package's documentation and worked examples."""

import numpy as np
import pytest

from calcs.parts.learning_curve import (
    fit_learning,
    slope_of,
    unit_time,
    units_total,
)


def test_unit_125_of_the_r_packages_vignette():
    # learningCurve vignette: the call was read there, its output was not.
    rates = (0.80, 0.825, 0.85, 0.875, 0.90)
    assert [unit_time(100, rate, 125) for rate in rates] == pytest.approx(
        [21.132, 26.184, 32.236, 39.449, 48.002], abs=0.001
    )


def test_doubling():
    # business-analysis-made-easy.com, learning curve: 50, 40 and 32; exponent 0.322.
    assert [unit_time(50, 0.8, unit) for unit in (1, 2, 4)] == pytest.approx([50, 40, 32], abs=1e-3)
    assert -slope_of(0.8) == pytest.approx(0.322, abs=1e-3)
    # The same page: the factor of 90 % at the twentieth unit.
    assert unit_time(1, 0.9, 20) == pytest.approx(0.634, abs=5e-4)


def test_a_factor_quoted_from_the_wrong_column():
    # The same page quotes 0.583 for 80 % at the tenth unit, which is the factor of 85 %.
    assert unit_time(1, 0.8, 10) == pytest.approx(0.4765, abs=1e-4)
    assert unit_time(1, 0.8, 10) != pytest.approx(0.583, abs=0.05)
    assert unit_time(1, 0.85, 10) == pytest.approx(0.583, abs=5e-4)


@pytest.mark.parametrize("rate", [0.75, 0.85, 0.95])
@pytest.mark.parametrize("lot", [1, 3])
def test_a_fit_finds_the_curve_that_made_the_times(rate, lot):
    # From lots that lie on the printed curve exactly; few pieces are drawn towards 95 %.
    lots = [(units_total(30, rate, lot * n + lot, lot * n + 1), lot) for n in range(40)]
    found = fit_learning(lots)
    assert found is not None
    assert found.rate == pytest.approx(rate, abs=0.02)
    few = fit_learning(lots[:6])
    assert few is not None
    assert abs(few.rate - 0.95) <= abs(found.rate - 0.95) + 0.01


def test_the_fit_agrees_with_least_squares_where_the_log_is_long():
    # Reference library: numpy.polyfit of log time on log unit, single pieces with noise.
    rng = np.random.default_rng(2)
    units = np.arange(1, 401)
    minutes = 30 * units ** slope_of(0.85) * np.exp(0.2 * rng.standard_normal(400))
    found = fit_learning([(float(one), 1) for one in minutes])
    assert found is not None
    expected, _ = np.polyfit(np.log(units), np.log(minutes), 1)
    assert found.slope == pytest.approx(expected, abs=0.02)
    assert found.slope_sd < 0.03


def test_below_six_pieces_there_are_too_few_to_tell():
    assert fit_learning([(30.0, 1)] * 5) is None
    assert fit_learning([(300.0, 12)]) is None
    assert fit_learning([]) is None
    assert fit_learning([(90.0, 3), (80.0, 3)]) is not None
