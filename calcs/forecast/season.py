"""A builder's own season: which months see more hours than others, learned from the log and never assumed.

Builders differ (warm cellar in winter, cold garage in summer), so nothing is taken over from anybody else, and nothing
at all is said before two full years are in the log. What two or three years show of a month is mostly chance: the
months are drawn towards no season by as much as they disagree from year to year (shrinkage by the method of moments;
Efron and Morris 1975, *Journal of the American Statistical Association* 70, 311-319; citation from memory).
"""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

YEARS_NEEDED = 2
LEAST_FACTOR = 0.2
"""No month is taken for quite empty: a summer without work so far does not forbid the next one."""


def season_of(weekly: Floats, as_of: date) -> Floats:
    """Return a factor for each month, January first, with mean 1; all 1 before two full years are logged.

    weekly: bench hours by week, oldest first, the last week ending on `as_of`.

    >>> season_of(np.ones(103), date(2026, 3, 1)).tolist() == [1.0] * 12
    True
    """
    years = len(weekly) * 7 // 365
    if years < YEARS_NEEDED:
        return np.ones(12)
    ratios = _ratios(weekly, as_of, years)
    means = ratios.mean(axis=0)
    chance = float(ratios.var(axis=0, ddof=1).mean()) / years
    spread = float(means.var(ddof=1))
    kept = max(0.0, spread - chance) / spread if spread > 0 else 0.0
    factors = np.maximum(1 + kept * (means - 1), LEAST_FACTOR)
    return np.asarray(factors / factors.mean())


def by_weeks(factors: Floats, as_of: date, first: int, weeks: int) -> Floats:
    """Return the factor of each of so many weeks, `first` weeks from `as_of` on (below 0 for weeks that are past).

    A week takes the factor of the month that its middle day lies in.

    >>> factors = np.arange(12.0)
    >>> by_weeks(factors, date(2026, 1, 31), 0, 5).tolist()
    [1.0, 1.0, 1.0, 1.0, 2.0]
    """
    days = [as_of + timedelta(days=7 * week + 4) for week in range(first, first + weeks)]
    return np.asarray(factors[[day.month - 1 for day in days]])


def _ratios(weekly: Floats, as_of: date, years: int) -> Floats:
    """Hours of each month against the mean of its year (years, 12); a year is 365 days counted back from `as_of`."""
    days = 365 * years
    months = np.array([(as_of - timedelta(days=ago)).month - 1 for ago in range(days)])
    # Day by day: by whole weeks the months would get other evenings whenever the week begins on another day.
    by_day = np.repeat(weekly[::-1], 7)[:days]
    ratios = np.ones((years, 12))
    for year in range(years):
        span = slice(365 * year, 365 * (year + 1))
        hours, of = by_day[span], months[span]
        mean = hours.mean()
        if mean > 0:
            ratios[year] = [hours[of == month].mean() / mean if np.any(of == month) else 1.0 for month in range(12)]
    return ratios
