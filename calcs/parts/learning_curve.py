"""Learning over pieces: each doubling of the pieces made takes the time of one down to the same share, the rate.

Piece n takes first × n^slope, with slope = log2(rate), and a lot takes the sum of its pieces. This is the curve of
single pieces (J. R. Crawford 1944). The one of the average of all pieces so far (T. P. Wright 1936, Journal of the
Aeronautical Sciences 3, 122-128) is often confused with it; they differ by 20 per cent at the second piece. Both
citations from memory.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.parts.plan import OperationPlan

Floats: TypeAlias = NDArray[np.float64]

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
    """Return the time of one piece, in the unit of `first`. ValueError for a piece before the first.

    >>> unit_time(100, 0.8, 4)
    64.0
    """
    _refuse_bad_units(unit)
    return float(first * unit ** slope_of(rate))


def units_total(first: float, rate: float, last: int, begin: int = 1) -> float:
    """Return the time of the pieces `begin` to `last`, both in, summed exactly. ValueError as above.

    >>> round(units_total(10, 0.8, 10), 4)
    63.1537
    """
    _refuse_bad_units(begin, last)
    return first * float(_unit_factors(begin, last, slope_of(rate)).sum())


@dataclass(frozen=True)
class Lot:
    """Pieces that were counted together, good and scrap, with the bench minutes they took without their set-up.

    `first` and `last` count from 1 the pieces whose time is known.
    """

    first: int
    last: int
    minutes: float

    @property
    def pieces(self) -> int:
        """How many there are."""
        return self.last - self.first + 1

    @property
    def minutes_each(self) -> float:
        """Minutes of one piece, on average."""
        return self.minutes / self.pieces


def lots_of(operation: OperationPlan, counts: Sequence[tuple[float | None, int]]) -> tuple[Lot, ...]:
    """Return the lots of an operation from its counts in the order logged: (bench minutes since the last one, pieces).

    Minutes of setting up are taken out in the share that the plan gives them: one set-up at the first count, the
    others anywhere. Pieces whose minutes are not known (None), or that have none, are left out; so are all of them
    where the plan has minutes for setting up and none for a piece, since the share cannot be told.

    >>> [lot.minutes for lot in lots_of(OperationPlan(1, "filing", 20, 10, setups_done=1), [(60, 4), (30, 3)])]
    [40.0, 30.0]
    """
    later = max(0, operation.setups_done - 1) / max(1, len(counts) - 1)
    lots: list[Lot] = []
    made = 0
    for place, (minutes, pieces) in enumerate(counts):
        setups = 1.0 if place == 0 else min(1.0, later)
        planned = operation.bench_minutes_planned(pieces, setups)
        working = operation.bench_minutes_planned(pieces, 0)
        without_setup = (minutes or 0.0) * working / planned if planned > 0 else minutes or 0.0
        if without_setup > 0:
            lots.append(Lot(made + 1, made + pieces, without_setup))
            made += pieces
    return tuple(lots)


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
