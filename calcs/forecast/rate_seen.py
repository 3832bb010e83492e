"""What one operation's log says: planned and actual minutes of the pieces counted, and what its lots say of a slope."""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.forecast.curve import NO_CURVE, OnCurve
from calcs.parts.plan import WHOLE_PART

WILDEST_RATIO = 30.0
"""Ratios beyond this (or below its inverse) are read as this. The fitted 99th percentile of published task
ratios is 32; what lies beyond is a slip of the pen (hours for minutes is 60) and must not move the shop."""
MINUTES_OF_ONE = 180.0
ALIKE_WITHIN = 0.1
"""A figure for the whole work on a part counts as one operation for each so many minutes planned, a tenth of whose
variance they share: judgements."""

SUM_ABOVE_MEDIAN = 0.15
"""How far the ratio of a whole part lies above a single operation's, as a logarithm: a sum follows the mean of its
operations, which lies above their median by half their variance (kinds 0.3, operations 0.35, pieces 0.2), and it has
its losses in. A judgement, which the log of finished parts soon outweighs."""


def is_whole(kind: str) -> bool:
    """Return whether a figure of this kind is that of all the work on a part."""
    return kind in ("", WHOLE_PART)


def above_median(kind: str) -> float:
    """Return how far the ratio of such a figure lies above that of a single operation, as a logarithm."""
    return SUM_ABOVE_MEDIAN if is_whole(kind) else 0.0


def averaged(kind: str, planned_minutes: float) -> float:
    """Return the share of a single operation's variance that a figure has: less for the whole work on a part.

    A sum of many operations lies nearer to the shop's ratio than each of them.

    >>> averaged("turning", 3000), averaged("making", 0), round(averaged("making", 3000), 2)
    (1.0, 1.0, 0.15)
    """
    if not is_whole(kind):
        return 1.0
    return ALIKE_WITHIN + (1 - ALIKE_WITHIN) / (1 + planned_minutes / MINUTES_OF_ONE)


@dataclass(frozen=True)
class RateObservation:
    """One operation's log so far: planned and actual bench minutes of the pieces that were counted.

    An empty `kind` is a whole part: it speaks of the shop and of no kind. Minutes are above 0, pieces at
    least 1; ValueError otherwise. `curve` is the usual curve for these pieces.
    """

    key: int
    kind: str
    planned_minutes: float
    actual_minutes: float
    pieces: int = 1
    curve: OnCurve = NO_CURVE

    def __post_init__(self) -> None:
        minutes = self.planned_minutes, self.actual_minutes
        if not all(math.isfinite(figure) and figure > 0 for figure in minutes) or self.pieces < 1:
            raise ValueError("A rate is learned from planned and actual minutes above 0 and at least one piece.")

    @property
    def log_ratio(self) -> float:
        """The logarithm of actual ÷ planned on the usual curve, held to ± log 30."""
        limit = math.log(WILDEST_RATIO)
        plain = math.log(self.actual_minutes) - math.log(self.planned_minutes)
        return max(-limit, min(limit, plain - self.curve.shift))


@dataclass(frozen=True)
class SlopeSeen:
    """What the lots of one operation say of its slope beside the usual one, with their own standard deviation."""

    beside_usual: float
    sd: float
