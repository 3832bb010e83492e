"""How a builder's pace wanders in the years ahead: half-year by half-year, and more often downwards than upwards.

A level that is drawn once is as sure of the tenth year as of the first. So the logarithm of the pace takes a step each
half-year: a mean drift, and a random one. Both begin with what is published of other builders and are drawn towards
what this builder's own half-years did.

The figures to begin with: over five published logs the true weeks were 0.66, 1.04 and 1.81 times (10, 50 and 90 per
cent) those that the last year's pace foretold, a mean of 0.07 on logarithms; and a level drawn once put the even chance
at 0.58, 0.76, 0.80, 0.84 and 1.44 of the true weeks, a mean of -0.17. The two speak of a delay of 0.12 with some two
years to go. Over four half-years a damped drift of d moves the mean pace by 1.3 d, so d is -0.09, known to 0.12 (five
logs that lie 0.35 apart, over 1.3), and taken as -0.08. Two of the five logs are among those that the calibration
looks at. Most of the spread is today's level, drawn beside this one (calcs.forecast.pace).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.forecast.even_draws import even_normals

Floats: TypeAlias = NDArray[np.float64]

WEEKS_OF_STEP = 26
STEPS_AHEAD = 10
"""Half-years that the level wanders for; beyond five years it stays where it is, since nobody knows."""
DAMPING = 0.8
"""A trend does not go on for ever: each half-year keeps so much of the one before (E. S. Gardner and E. McKenzie 1985,
Management Science 31, 1237-1246; from memory)."""
USUAL_DRIFT = -0.08
USUAL_DRIFT_SD = 0.15
USUAL_STEP_SD = 0.2
"""Logarithms for each half-year: the mean step, what builders differ by in it, and the spread of one step."""
HALF_YEAR_LOG_SD = 0.5
"""How far one half-year's hours lie from a builder's trend by chance alone, from the published logs at hand."""
LEAST_SHARE = 0.2
"""A half-year with less than this of the mean hours is read as this: a rest is no trend."""


@dataclass(frozen=True)
class Drift:
    """The step of log pace in each half-year: mean and standard deviation of the mean step, and spread of one step."""

    mean: float
    mean_sd: float
    step_sd: float

    def wander(self, rng: np.random.Generator, draws: int) -> Floats:
        """Return the way of the level from today on (half-years, draws); the first half-year is at today's level."""
        mean = self.mean + self.mean_sd * even_normals(rng, draws)
        steps = [mean * DAMPING**step + self.step_sd * even_normals(rng, draws) for step in range(STEPS_AHEAD)]
        return np.vstack([np.zeros(draws), np.cumsum(steps, axis=0)])


def drift_of(weekly: Floats) -> Drift:
    """Return how the pace goes on, from hours by week, oldest first: the trend of the half-years, drawn to the usual.

    >>> drift_of(np.ones(20))
    Drift(mean=-0.08, mean_sd=0.15, step_sd=0.2)
    >>> falling = drift_of(np.exp(-0.01 * np.arange(260)))
    >>> -0.26 < falling.mean < -0.15, falling.mean_sd < 0.06
    (True, True)
    """
    steps = len(weekly) // WEEKS_OF_STEP
    hours = weekly[len(weekly) - steps * WEEKS_OF_STEP :].reshape(steps, WEEKS_OF_STEP).mean(axis=1)
    if steps < 2 or not hours.any():
        return Drift(USUAL_DRIFT, USUAL_DRIFT_SD, USUAL_STEP_SD)
    logs = np.log(np.maximum(hours, LEAST_SHARE * hours.mean()))
    places = np.arange(steps) - (steps - 1) / 2
    squares = float(places @ places)
    variance = HALF_YEAR_LOG_SD**2 / squares
    weight = USUAL_DRIFT_SD**2 / (USUAL_DRIFT_SD**2 + variance)
    mean = USUAL_DRIFT + weight * (float(places @ logs) / squares - USUAL_DRIFT)
    return Drift(mean, USUAL_DRIFT_SD * float(np.sqrt(1 - weight)), USUAL_STEP_SD)
