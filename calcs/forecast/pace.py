"""Pace: hours a week from the log, and how long a number of hours then takes.

Past weeks are resampled in runs (the stationary bootstrap of D. N. Politis and J. P. Romano 1994, Journal of
the American Statistical Association 89, 1303-1313), recent weeks more often than old ones. That alone gives
ranges which are far too narrow, because people's lives change, so every draw also has a level of its
own, wider for a short log, narrower when little is left, and the level wanders on from half-year to half-year
(calcs.forecast.drift). A season is learned from two full years on (calcs.forecast.season).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.forecast.drift import WEEKS_OF_STEP, drift_of
from calcs.forecast.even_draws import even_chances, even_normals
from calcs.forecast.result import PaceSummary
from calcs.forecast.season import by_weeks, season_of
from calcs.parts.plan import Closure, Stint

Floats: TypeAlias = NDArray[np.float64]
Singles: TypeAlias = NDArray[np.float32]

HALF_LIFE_WEEKS = 52.0
MEAN_RUN_WEEKS = 6.0
CHUNK_STEPS = 26
STEPS = (1,) * 156 + (4,) * 91 + (13,) * 200
"""Weeks in each step of a walk: single weeks for three years, then months to the tenth, then quarters."""
HORIZON_WEEKS = sum(STEPS)
LEVEL_LOG_SD = 0.37
SHORT_LOG_WEEKS = 26.0
NEAR_WEEKS = 16.0
TYPICAL_HOURS = 6.0
TYPICAL_LOG_SD = 0.8
"""Published paces of some two dozen builders run from 1.5 to 22 hours a week, gaps included; this is their middle."""
LEAST_UNATTENDED_HOURS = 40.0
"""Machine hours a week that a shop is trusted with even when its log has never shown as many."""


def weekly_hours(stints: Sequence[Stint], as_of: date) -> Floats:
    """Return bench hours by week, oldest first, empty weeks included.

    Weeks are whole runs of seven days counted back from `as_of`, whose own day is the last of the last week.
    The first week is the one that the first stint falls in. A lump is spread evenly over the days it covers;
    what lies after `as_of` is left out. Empty where there are no stints.

    >>> day = date(2026, 3, 1)
    >>> weekly_hours([Stint(date(2026, 2, 10), date(2026, 2, 10), 120)], day).tolist()
    [2.0, 0.0, 0.0]
    """
    return _by_week([(stint, stint.minutes) for stint in stints], as_of)


def weekly_unattended_hours(stints: Sequence[Stint], as_of: date) -> Floats:
    """Return unattended hours by week, as `weekly_hours` does for the bench."""
    return _by_week([(stint, stint.unattended_minutes) for stint in stints], as_of)


def _by_week(lumps: Sequence[tuple[Stint, float]], as_of: date) -> Floats:
    begun = [(stint, minutes) for stint, minutes in lumps if stint.first <= as_of]
    if not begun:
        return np.zeros(0)
    oldest = max((as_of - stint.first).days for stint, _ in begun)
    by_days_ago = np.zeros(7 * (oldest // 7 + 1))
    for stint, minutes in begun:
        days = max(1, (stint.last - stint.first).days + 1)
        last_day = max(0, (as_of - stint.last).days)
        by_days_ago[last_day : (as_of - stint.first).days + 1] += minutes / 60 / days
    return np.asarray(by_days_ago.reshape(-1, 7).sum(axis=1)[::-1])


def recency_weights(weeks: int) -> Floats:
    """Return a weight for each week, oldest first, adding up to 1; half as much for every year further back.

    >>> recency_weights(2).round(3).tolist()
    [0.497, 0.503]
    """
    weights = 0.5 ** (np.arange(weeks)[::-1] / HALF_LIFE_WEEKS)
    return np.asarray(weights / weights.sum())


def longest_gap_days(stints: Sequence[Stint], as_of: date) -> int:
    """Return the most days in a row, up to `as_of`, of which no stint covers any; 0 where nothing was logged.

    >>> longest_gap_days([Stint(date(2026, 1, 1), date(2026, 1, 1), 60)], date(2026, 1, 11))
    10
    """
    gap = 0
    reached: date | None = None
    for stint in sorted(stints, key=lambda one: one.first):
        if stint.first > as_of:
            break
        if reached is not None:
            gap = max(gap, (stint.first - reached).days - 1)
        reached = stint.last if reached is None else max(reached, stint.last)
    return gap if reached is None else max(gap, (as_of - reached).days)


def summarise_pace(stints: Sequence[Stint], as_of: date) -> PaceSummary | None:
    """Return the pace up to `as_of`, or None where no hours were logged."""
    weekly = weekly_hours(stints, as_of)
    if not weekly.sum() > 0:
        return None
    return PaceSummary(
        mean_hours=float(recency_weights(len(weekly)) @ weekly),
        median_hours=float(np.median(weekly)),
        empty_share=float((weekly == 0).mean()),
        longest_gap_days=longest_gap_days(stints, as_of),
        weeks=len(weekly),
    )


def unattended_hours_per_week(stints: Sequence[Stint], as_of: date) -> float:
    """Return the highest mean of four weeks running that the machines have shown, 40 at the least."""
    weekly = weekly_unattended_hours(stints, as_of)
    highest = float(np.convolve(weekly, np.full(4, 0.25)).max()) if len(weekly) else 0.0
    return max(LEAST_UNATTENDED_HOURS, highest)


def level_ahead(weeks_left: Floats, weeks_logged: int, mean_hours: float) -> tuple[Floats, Floats]:
    """Return log-mean and log-sd of today's level against the log's own pace (hours a week, above 0).

    The doubt is near 0.4 for a long log and a long way to go; wider for a short log; towards 0 as the end comes near,
    when what counts is the next weeks, whose doubt the resampling carries. A short log is drawn towards what other
    builders do: many begin slowly.

    >>> shift, doubt = level_ahead(np.array([4.0, 100.0]), 150, 6.0)
    >>> shift.round(2).tolist(), doubt.round(2).tolist()
    ([0.0, 0.0], [0.18, 0.37])
    >>> [figure.round(2).tolist() for figure in level_ahead(np.array([100.0]), 4, 2.0)]
    [[0.55], [0.66]]
    """
    ignorance = LEVEL_LOG_SD**2 * SHORT_LOG_WEEKS / max(1, weeks_logged)
    heard = TYPICAL_LOG_SD**2 / (TYPICAL_LOG_SD**2 + ignorance)
    near = weeks_left / (weeks_left + NEAR_WEEKS)
    shift = (1 - heard) * float(np.log(TYPICAL_HOURS / mean_hours))
    return shift * near, np.sqrt((LEVEL_LOG_SD**2 + ignorance * heard) * near)


def closed_weeks(closures: Sequence[Closure], as_of: date, weeks: int) -> tuple[Floats, Floats]:
    """Return, for each week after `as_of`, the share of it that is open and the hours expected in the rest.

    Where closures overlap, the one with the fewest hours holds.
    """
    days = 7 * weeks
    pace = np.full(days, np.inf)
    for closure in closures:
        first = max(0, (closure.first - as_of).days - 1)
        last = min(days, (closure.last - as_of).days)
        if last > first:
            pace[first:last] = np.minimum(pace[first:last], closure.hours_per_week)
    is_open = np.isinf(pace)
    by_week = np.where(is_open, 0.0, pace / 7).reshape(weeks, 7).sum(axis=1)
    return is_open.reshape(weeks, 7).mean(axis=1), by_week


def weeks_to_finish(
    hours: Floats, weekly: Floats, closures: Sequence[Closure], as_of: date, rng: np.random.Generator
) -> Floats | None:
    """Return on which day from `as_of` each number of hours is worked off; None where no hours were logged.

    `hours` has shape (draws) or (targets, draws); the targets of one draw are reached on one and the same
    walk. The result has the same shape, in days, infinite beyond sixty years. ValueError for hours below 0.
    """
    if np.any(hours < 0):
        raise ValueError("Hours left are 0 or more.")
    if not weekly.sum() > 0:
        return None
    targets = np.atleast_2d(np.asarray(hours, dtype=float))
    season = season_of(weekly, as_of)
    # Past weeks are taken out of their season, and the weeks ahead put into theirs.
    weekly = weekly / by_weeks(season, as_of, -len(weekly), len(weekly))
    open_share, expected = closed_weeks(closures, as_of, HORIZON_WEEKS)
    calendar = (open_share * by_weeks(season, as_of, 0, HORIZON_WEEKS), expected)
    weights = recency_weights(len(weekly))
    mean = float(weights @ weekly)
    shift, spread = level_ahead(targets.max(axis=0) / mean, len(weekly), mean)
    drift = drift_of(weekly)
    level = np.exp(shift + spread * even_normals(rng, targets.shape[1]) + drift.wander(rng, targets.shape[1]))
    days = _walk(targets, _Runs(weekly, weights, targets.shape[1], rng), level, calendar)
    return days.reshape(np.shape(hours))


class _Runs:
    """Weeks of the log, resampled in runs of geometric length; a run past the end of the log goes on at its start."""

    def __init__(self, weekly: Floats, weights: Floats, draws: int, rng: np.random.Generator) -> None:
        self.rng, self.draws = rng, draws
        # Far ahead one step is several weeks of the log together: their sum, from each week on.
        ring = np.concatenate([[0.0], np.cumsum(np.resize(weekly, len(weekly) + max(STEPS)))])
        self.sums = {step: (ring[step:] - ring[:-step])[: len(weekly)].astype(np.float32) for step in set(STEPS)}
        quantiles = (np.arange(16384) + 0.5) / 16384
        starts = np.minimum(np.searchsorted(np.cumsum(weights), quantiles), len(weekly) - 1)
        self.starts = starts.astype(np.int32)
        first = even_chances(rng, draws).astype(np.float32) * np.float32(len(starts) - 1)
        self.places = self.starts[first.astype(np.intp)]

    def chunk(self) -> Singles:
        """Return fresh numbers (CHUNK_STEPS, draws). Every draw takes its own, finished or not, so that the walks of
        the others stay the same whatever has finished."""
        return self.rng.random((CHUNK_STEPS, self.draws), dtype=np.float32)

    def next_hours(self, uniform: Singles, step: int) -> Singles:
        """Return the hours of the next `step` weeks for every draw that is still walking."""
        hours = self.sums[step].take(self.places, mode="wrap")
        self.places += step
        chance = min(1.0, step / MEAN_RUN_WEEKS)
        fresh = np.flatnonzero(uniform < chance)
        # The same number says that a run begins and, stretched to 0-1, where.
        slots = uniform[fresh] * np.float32((len(self.starts) - 1) / chance)
        self.places[fresh] = self.starts[np.minimum(slots, len(self.starts) - 1).astype(np.intp)]
        return np.asarray(hours)


def _walk(targets: Floats, runs: _Runs, level: Floats, calendar: tuple[Floats, Floats]) -> Floats:
    """Work on, step after step, until every draw has reached all its targets or the horizon is there."""
    days = np.where(targets <= 0, 0.0, np.inf)
    walking, worked, goals = np.arange(targets.shape[1]), np.zeros(targets.shape[1]), targets
    uniform, paces = np.zeros((0, 0), dtype=np.float32), level
    week = 0
    for number, step in enumerate(STEPS):
        if number % CHUNK_STEPS == 0:
            going = np.flatnonzero(worked < goals.max(axis=0))
            if not len(going):
                break
            walking, worked, goals, runs.places = walking[going], worked[going], goals[:, going], runs.places[going]
            uniform, paces = runs.chunk()[:, walking], level[:, walking]
        ahead = slice(week, week + step)
        pace = paces[min(week // WEEKS_OF_STEP, len(paces) - 1)]
        hours = runs.next_hours(uniform[number % CHUNK_STEPS], step)
        after = worked + pace * (hours * calendar[0][ahead].mean() + calendar[1][ahead].sum())
        for row, goal in zip(days, goals, strict=True):
            reached = np.flatnonzero((worked < goal) & (after >= goal))
            share = (goal[reached] - worked[reached]) / (after[reached] - worked[reached])
            row[walking[reached]] = 7 * (week + step * share)
        worked, week = after, week + step
    return days
