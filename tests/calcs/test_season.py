"""A season is learned from the builder's own log, after two full years, and chance is not taken for one."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from calcs.forecast.pace import weeks_to_finish
from calcs.forecast.season import by_weeks, season_of

NEW_YEAR = date(2026, 1, 1)


def winter_builder(weeks: int, as_of: date, winter: float = 12.0, summer: float = 2.0) -> np.ndarray:
    """Weekly hours, oldest first: much from November to March, little else."""
    months = [(as_of - timedelta(days=7 * ago + 3)).month for ago in range(weeks)][::-1]
    return np.array([winter if month in (11, 12, 1, 2, 3) else summer for month in months])


def test_before_two_full_years_there_is_no_season():
    assert season_of(winter_builder(103, NEW_YEAR), NEW_YEAR).tolist() == [1.0] * 12


def test_a_season_that_comes_back_every_year_is_learned():
    factors = season_of(winter_builder(4 * 53, NEW_YEAR), NEW_YEAR)
    assert factors[0] > 1.6
    assert factors[6] < 0.5
    assert factors.mean() == pytest.approx(1)


def test_weeks_that_differ_by_chance_alone_show_next_to_no_season():
    rng = np.random.default_rng(11)
    farthest = [
        np.abs(season_of(rng.gamma(0.6, 10, 208) * (rng.random(208) > 0.3), NEW_YEAR) - 1).max() for _ in range(60)
    ]
    assert np.median(farthest) < 0.25


@given(arrays(float, st.integers(1, 400), elements=st.floats(0, 100)))
def test_factors_are_finite_positive_and_have_mean_one(weekly):
    factors = season_of(weekly, NEW_YEAR)
    assert np.all(np.isfinite(factors))
    assert np.all(factors > 0)
    assert factors.mean() == pytest.approx(1)


def test_forty_hours_take_less_of_a_winter_than_of_a_summer():
    def median_days(as_of: date) -> float:
        weekly = winter_builder(5 * 53, as_of)
        days = weeks_to_finish(np.full(400, 40.0), weekly, [], as_of, np.random.default_rng(3))
        assert days is not None
        return float(np.median(days))

    assert median_days(date(2026, 11, 1)) * 2 < median_days(date(2026, 5, 1))


def test_a_week_belongs_to_the_month_of_its_middle_day():
    factors = np.arange(12.0)
    assert by_weeks(factors, NEW_YEAR, -1, 2).tolist() == [11.0, 0.0]
