"""How much of an operation fits into the time at hand, read from its times. No NumPy: a kept table is enough.

The times are drawn by `calcs.forecast.evening_times`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

CHANCES = (0.01, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5,
           0.55, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 0.99)  # fmt: skip
"""The chances whose points a time is kept at."""
FITS = 0.8
"""What is offered for an evening fits into it with this chance at least: 4 in 5."""
SHORTEST = 0.5
"""Minutes; whatever is nearly done still takes a moment."""


@dataclass(frozen=True)
class PiecesTime:
    """Bench minutes that so many pieces take, set-up included, as the points of `CHANCES`."""

    pieces: int
    points: tuple[float, ...]

    def chance_within(self, minutes: float) -> float:
        """Return the chance that it takes no more than so many minutes, between the points on logarithms.

        >>> PiecesTime(1, tuple(100 * chance for chance in CHANCES)).chance_within(80)
        0.8
        """
        if minutes < self.points[0]:
            return 0.0
        for (low, below), (high, above) in pairwise(zip(self.points, CHANCES, strict=True)):
            if minutes < high:
                along = math.log(minutes / low) / math.log(high / low) if high > low else 1.0
                return below + along * (above - below)
        return CHANCES[-1] if minutes == self.points[-1] else 1.0

    def point(self, chance: float) -> float:
        """Return the minutes that it stays under with one of `CHANCES`."""
        return self.points[CHANCES.index(chance)]


@dataclass(frozen=True)
class OperationTimes:
    """The times of an operation for more and more pieces, the fewest first; empty where nothing is known of it.

    `set_up` have the set-up in, `standing` go without it; empty where it cannot stand.
    """

    key: int
    set_up: tuple[PiecesTime, ...]
    standing: tuple[PiecesTime, ...] = ()


@dataclass(frozen=True)
class Fit:
    """So many pieces, the bench minutes that they take as a range, and the chance that the time at hand holds them."""

    pieces: int
    p10: float
    p50: float
    p90: float
    chance: float

    @property
    def fits(self) -> bool:
        """Whether it may be called so: with 4 chances in 5."""
        return self.chance >= FITS


def fit_into(times: Sequence[PiecesTime], minutes: float) -> Fit | None:
    """Return the most pieces that fit into so many minutes with 4 chances in 5; where none does, the fewest there are.

    None where nothing is known of the times.

    >>> times = [PiecesTime(n, tuple(n * 100 * chance for chance in CHANCES)) for n in (1, 2)]
    >>> fit_into(times, 170).pieces, fit_into(times, 20).fits, fit_into([], 20)
    (2, False, None)
    """
    chances = [(one, one.chance_within(minutes)) for one in times]
    fitting = [(one, chance) for one, chance in chances if chance >= FITS]
    if not chances:
        return None
    time, chance = fitting[-1] if fitting else chances[0]
    return Fit(time.pieces, time.point(0.1), time.point(0.5), time.point(0.9), chance)
