"""Learning over pieces: each doubling of the pieces made takes the time down to the same share, the rate.

Crawford's curve speaks of the single piece (the unit), Wright's of the average of all pieces so far:

    Crawford: unit n takes first × n^slope, the total is their sum
    Wright:   the average of n is first × n^slope, the total first × n^(1 + slope)

with slope = log2(rate). The names are often confused; the difference is 20 per cent at the second piece.
Sources: T. P. Wright 1936, Journal of the Aeronautical Sciences 3, 122-128; J. R. Crawford 1944 (both from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]

TOO_FEW = "too few to tell"
LEAST_PIECES = 6
PRIOR_RATE = 0.95
PRIOR_SLOPE_SD = 0.1
"""Second copies take between half and a half more of the time of the first; most people learn a little."""
PRIOR_PIECE_SD = 0.25
PRIOR_PIECES = 4.0
"""The noise of one piece (logarithm) is taken as a quarter, as if four pieces had said so: a judgement."""
SLOPES = np.linspace(math.log2(0.6), math.log2(1.1), 120)


def slope_of(rate: float) -> float:
    """Return the slope of a rate, such as 0.8 for 80 per cent. ValueError when it is not above 0.

    >>> round(slope_of(0.8), 4)
    -0.3219
    """
    if not rate > 0:
        raise ValueError("A learning rate is a share above 0, such as 0.95.")
    return math.log2(rate)


def rate_of(slope: float) -> float:
    """Return the rate of a slope.

    >>> round(rate_of(-0.3219281), 4)
    0.8
    """
    return math.pow(2.0, slope)


def unit_time(first: float, rate: float, unit: float) -> float:
    """Return Crawford's time of one piece, in the unit of `first`. ValueError for a piece before the first.

    >>> unit_time(100, 0.8, 4)
    64.0
    """
    _refuse_bad_units(unit)
    return float(first * unit ** slope_of(rate))


def units_total(first: float, rate: float, last: int, begin: int = 1) -> float:
    """Return Crawford's time of the pieces `begin` to `last`, both in, summed exactly. ValueError as above.

    >>> round(units_total(10, 0.8, 10), 4)
    63.1537
    """
    _refuse_bad_units(begin, last)
    return first * float(_unit_factors(begin, last, slope_of(rate)).sum())


def units_total_nearly(first: float, rate: float, last: int, begin: int = 1) -> float:
    """Return Crawford's total by the area under the curve from half a piece before to half a piece after.

    >>> round(units_total_nearly(100, 0.85, 125), 3)
    5202.988
    """
    _refuse_bad_units(begin, last)
    power = 1 + slope_of(rate)
    return float(first * ((last + 0.5) ** power - (begin - 0.5) ** power) / power)


def average_time(first: float, rate: float, pieces: float) -> float:
    """Return Wright's average time of so many pieces.

    >>> average_time(100, 0.8, 2)
    80.0
    """
    return unit_time(first, rate, pieces)


def averages_total(first: float, rate: float, pieces: float) -> float:
    """Return Wright's total of so many pieces.

    >>> averages_total(100, 0.8, 2)
    160.0
    """
    return pieces * average_time(first, rate, pieces)


def averages_unit(first: float, rate: float, unit: int) -> float:
    """Return Wright's time of one piece: what the total grows by.

    >>> averages_unit(100, 0.8, 2)
    60.0
    """
    before = averages_total(first, rate, unit - 1) if unit > 1 else 0.0
    return averages_total(first, rate, unit) - before


def units_to_reach(first: float, rate: float, target: float) -> float:
    """Return the piece, not rounded, at which Crawford's curve reaches the target.

    ValueError where it never does: nobody learns upwards.

    >>> round(units_to_reach(10, 0.97, 8.0), 2)
    160.45
    """
    slope = slope_of(rate)
    if not 0 < target <= first or (slope >= 0 and target < first):
        raise ValueError("A target is above 0 and below the first piece, and the rate below 1.")
    return float((target / first) ** (1 / slope)) if target < first else 1.0


@dataclass(frozen=True)
class Learning:
    """What the pieces so far say of the slope: mean and standard deviation, after so many pieces."""

    slope: float
    slope_sd: float
    pieces: int

    @property
    def rate(self) -> float:
        """The share that a doubling of the pieces takes the time down to."""
        return rate_of(self.slope)

    def ahead(self, left: int) -> tuple[float, float]:
        """Return log-mean and log-sd of the time of the next `left` pieces against those so far, piece for piece.

        >>> shift, doubt = Learning(slope_of(0.8), 0.05, 8).ahead(8)
        >>> round(math.exp(shift), 3), 0.03 < doubt < 0.1
        (0.669, True)
        """
        slopes = np.array([self.slope, self.slope + 0.01])
        shifts = [
            float(np.log(_unit_factors(self.pieces + 1, self.pieces + left, slope).mean()))
            - float(np.log(_unit_factors(1, self.pieces, slope).mean()))
            for slope in slopes
        ]
        return shifts[0], abs(shifts[1] - shifts[0]) / 0.01 * self.slope_sd


def fit_learning(counts: Sequence[tuple[float, int]]) -> Learning | None:
    """Return what counted lots, (minutes, pieces) in the order made, say of the slope; None: too few to tell.

    Lots of one piece or of many go together: a lot's average is held against the average of its pieces on the curve.
    The time of the first piece has no prior; the slope has one near 95 per cent. Fewer than six pieces, or all of
    them in one lot, say nothing.

    >>> steady = fit_learning([(30.0, 3)] * 8)
    >>> learnt = fit_learning([(100 * (n + 1) ** slope_of(0.8), 1) for n in range(40)])
    >>> 0.95 < steady.rate < 1.0, 0.79 < learnt.rate < 0.83, fit_learning([(30.0, 1)] * 5)
    (True, True, None)
    """
    lots = [(minutes, pieces) for minutes, pieces in counts if minutes > 0 and pieces > 0]
    pieces = np.array([number for _, number in lots])
    made = int(pieces.sum())
    if made < LEAST_PIECES or len(lots) < 2:
        return None
    observed = np.log(np.array([minutes for minutes, _ in lots]) / pieces)
    # Beyond the curve's own average, what a lot leaves over is noise that falls with its pieces.
    units = np.arange(1, made + 1)[None, :] ** SLOPES[:, None]
    ends = np.cumsum(pieces)
    sums = np.add.reduceat(units, np.concatenate([[0], ends[:-1]]), axis=1)
    over = observed - np.log(sums / pieces)
    first = (over * pieces).sum(axis=1, keepdims=True) / made
    squares = (pieces * (over - first) ** 2).sum(axis=1)
    freedom = PRIOR_PIECES + len(lots) - 1
    logs = -freedom / 2 * np.log(PRIOR_PIECES * PRIOR_PIECE_SD**2 + squares)
    logs -= 0.5 * ((SLOPES - slope_of(PRIOR_RATE)) / PRIOR_SLOPE_SD) ** 2
    weights = np.exp(logs - logs.max())
    weights /= weights.sum()
    mean = float(weights @ SLOPES)
    return Learning(mean, math.sqrt(float(weights @ (SLOPES - mean) ** 2)), made)


def _unit_factors(begin: int, last: int, slope: float) -> Floats:
    return np.asarray(np.arange(begin, last + 1, dtype=float) ** slope)


def _refuse_bad_units(*units: float) -> None:
    if min(units) < 1:
        raise ValueError("Pieces are counted from 1.")
