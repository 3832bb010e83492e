"""Learning curves, held against printed tables, an R package's documentation and worked examples."""

import numpy as np
import pytest

from calcs.parts.learning_curve import (
    fit_learning,
    rate_of,
    slope_of,
    unit_time,
    units_total,
)


@pytest.mark.parametrize(("rate", "slope"), [(0.80, -0.3219281), (0.85, -0.2344653), (0.90, -0.1520031)])
def test_slopes_of_the_r_package(rate, slope):
    # R package learningCurve 1.1.2, natural_slope, on rdocumentation.org.
    assert slope_of(rate) == pytest.approx(slope, abs=1e-7)


@pytest.mark.parametrize(("slope", "rate"), [(-0.19, 0.8766057), (-0.22, 0.8585654), (-0.25, 0.8408964)])
def test_rates_of_the_r_package(slope, rate):
    # R package learningCurve 1.1.2, lc_rate.
    assert rate_of(slope) == pytest.approx(rate, abs=1e-7)


def test_total_of_125_units_of_the_r_package():
    # R package learningCurve 1.1.2, unit_cum_exact: first unit 100, 125 units, 85 %.
    assert units_total(100, 0.85, 125) == pytest.approx(5201.085, abs=0.001)


def test_unit_125_of_the_r_packages_vignette():
    # learningCurve vignette: the call was read there, its output was not.
    rates = (0.80, 0.825, 0.85, 0.875, 0.90)
    assert [unit_time(100, rate, 125) for rate in rates] == pytest.approx(
        [21.132, 26.184, 32.236, 39.449, 48.002], abs=0.001
    )


EXHIBIT_2 = {
    # Chase and Jacobs, Operations Management, supplement on learning curves, Exhibit 4A.2: 80 %, first unit 100,000.
    1: (100000, 100000),
    2: (80000, 180000),
    4: (64000, 314210),
    8: (51200, 534591),
    16: (40960, 892014),
    32: (32768, 1467862),
    64: (26214, 2392447),
    128: (20972, 3874384),
    256: (16777, 6247572),
}


@pytest.mark.parametrize("unit", EXHIBIT_2)
def test_printed_table_at_eighty_per_cent(unit):
    one, all_so_far = EXHIBIT_2[unit]
    assert unit_time(100_000, 0.8, unit) == pytest.approx(one, abs=0.51)
    assert units_total(100_000, 0.8, unit) == pytest.approx(all_so_far, abs=0.51)


@pytest.mark.parametrize(
    ("units", "one", "total", "average"),
    [
        # The same exhibit, first unit 10.
        (10, 4.7651, 63.1537, 6.3154),
        (20, 3.8121, 104.8494, 5.2425),
        (30, 3.3456, 140.1989, 4.6733),
        (40, 3.0497, 171.9346, 4.2984),
        (50, 2.8383, 201.2171, 4.0243),
        (100, 2.2706, 326.5081, 3.2651),
        (200, 1.8165, 527.1996, 2.6360),
        (1000, 1.0820, 1586.7092, 1.5867),
    ],
)
def test_printed_table_up_to_a_thousand(units, one, total, average):
    assert unit_time(10, 0.8, units) == pytest.approx(one, abs=1e-4)
    assert units_total(10, 0.8, units) == pytest.approx(total, abs=1e-4)
    assert units_total(10, 0.8, units) / units == pytest.approx(average, abs=1e-4)


def test_printed_unit_factors():
    # The same source, Exhibit 4A.4: units 2 to 4, rates 60 to 95 %.
    rates = (0.60, 0.65, 0.70, 0.75, 0.80, 0.85, 0.90, 0.95)
    assert [unit_time(1, rate, 2) for rate in rates] == pytest.approx(rates, abs=1e-4)
    third = (0.4450, 0.5052, 0.5682, 0.6338, 0.7021, 0.7729, 0.8462, 0.9219)
    assert [unit_time(1, rate, 3) for rate in rates] == pytest.approx(third, abs=1e-4)
    assert [unit_time(1, rate, 4) for rate in rates[:3]] == pytest.approx((0.3600, 0.4225, 0.4900), abs=1e-4)


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
