"""How heavy the tails of one operation's surprise are: Student's t, its degrees of freedom learned from the log.

Most shops are surprised now and then by an operation of ten times its plan, some hardly ever. The degrees of freedom
are weighed on a grid by prior × likelihood of what the rates leave over, the scale fitted for each. Draws are made and
conditioned with four degrees, in closed form, and stretched to those that were learned: a figure at the same chance.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]

FREEDOM = 4.0
"""Degrees of freedom before anything is logged: tails that hold an operation of ten times its plan."""
FREEDOMS = (3.0, 4.0, 6.0, 10.0, 30.0)
FREEDOM_WEIGHTS = (0.2, 0.4, 0.2, 0.1, 0.1)
SCALES = np.exp(np.linspace(-0.6, 0.6, 13))
FARTHEST_MAPPED = 1000.0


def freedom_of(left_over: Floats) -> float:
    """Return the degrees of freedom that surprises, each in scales of its doubt, speak for: 1 ÷ the mean of 1 ÷ them.

    >>> 3.0 < freedom_of(np.zeros(0)) < 6.0
    True
    """
    from scipy.special import gammaln

    logs = []
    for freedom in FREEDOMS:
        scaled = (left_over[None, :] / SCALES[:, None]) ** 2
        likelihoods = -(freedom + 1) / 2 * np.log1p(scaled / freedom).sum(axis=1) - len(left_over) * np.log(SCALES)
        constant = gammaln((freedom + 1) / 2) - gammaln(freedom / 2) - np.log(freedom) / 2
        logs.append(len(left_over) * constant + np.logaddexp.reduce(likelihoods))
    weights = np.exp(np.array(logs) - max(logs)) * np.array(FREEDOM_WEIGHTS)
    return float(weights.sum() / (weights / np.array(FREEDOMS)).sum())


def stretch(points: Floats, freedom: float) -> Floats:
    """Return where points of Student's t with four degrees lie with others: the same chance above."""
    if freedom == FREEDOM:
        return points
    four, other = _mapping(freedom)
    return np.asarray(np.sinh(np.interp(np.arcsinh(points), four, other)))


def shrink(points: Floats, freedom: float) -> Floats:
    """Return the opposite of `stretch`."""
    if freedom == FREEDOM:
        return points
    four, other = _mapping(freedom)
    return np.asarray(np.sinh(np.interp(np.arcsinh(points), other, four)))


@lru_cache(maxsize=8)
def _mapping(freedom: float) -> tuple[Floats, Floats]:
    """Return points with four degrees and with others, of the same chances, on a scale that is logarithmic far out."""
    from scipy.special import stdtr

    half = np.linspace(-np.arcsinh(FARTHEST_MAPPED), 0, 401)
    four = np.arcsinh(-point_below(np.asarray(stdtr(freedom, np.sinh(half)))))
    return np.concatenate([four, -four[-2::-1]]), np.concatenate([half, -half[-2::-1]])


def chance_above(point: Floats) -> Floats:
    """Return the chance that Student's t with `FREEDOM` degrees lies above the point.

    In closed form, which holds for four degrees alone: SciPy's stdtr takes 25 times as long. A test holds both
    functions to FREEDOM.
    """
    scaled = point**2 / 4
    # The part beyond one half, written so that far out nothing is lost: 1 − s (3 − s²) ÷ 2 = (1 − s)² (2 + s) ÷ 2.
    sine = np.abs(point) / 2 / np.sqrt(1 + scaled)
    gap = 1 / ((1 + scaled) * (1 + sine))
    tail = gap**2 * (2 + sine) / 4
    return np.asarray(np.where(point > 0, tail, 1 - tail))


def point_below(chance: Floats) -> Floats:
    """Return the point above which Student's t with `FREEDOM` degrees lies with this chance; four, as above.

    W. T. Shaw 2006, Journal of Computational Finance 9(4), 37-73 (from memory); SciPy agrees in the tests.
    """
    root = np.sqrt(4 * chance * (1 - chance))
    size = 2 * np.sqrt(np.maximum(np.cos(np.arccos(np.minimum(root, 1)) / 3) / np.maximum(root, 1e-300) - 1, 0))
    return np.asarray(np.where(chance < 0.5, size, -size))


FARTHEST = 4.0
"""No surprise lies farther out than this, in scales of its doubt."""
FARTHEST_BEYOND = 3.0
"""How far past what it has taken already an operation in hand may go, in scales of its doubt."""


def beyond(least: NDArray[np.floating], noise: NDArray[np.floating], freedom: float = FREEDOM) -> Floats:
    """Return draws of surprise given that they lie above `least`, one for one with unconditioned draws.

    Heavy tails mean that what has overrun goes on overrunning. None lies farther above than three.

    >>> beyond(np.array([-40.0, 1.0, 30.0]), np.array([0.5, 0.5, 0.5])).round(2).tolist()
    [0.5, 1.97, 33.0]
    """
    floor = np.clip(np.asarray(least, dtype=float), -500, 500)
    # The chance above a draw, scaled down to the chance above the least.
    above_floor, above_draw = (chance_above(shrink(one, freedom)) for one in (floor, np.asarray(noise, dtype=float)))
    found = stretch(point_below(above_floor * above_draw), freedom)
    return np.clip(found, floor, np.maximum(floor + FARTHEST_BEYOND, FARTHEST))
