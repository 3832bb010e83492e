"""What measured pieces say of the next ones: capability, the share expected outside of the limits, and drift.

The terms are those of ISO 22514 (from memory): with U and L the upper and the lower limit, m the mean and s the
sample standard deviation, Cp = (U − L) ÷ 6s and Cpk = the smaller of (U − m) ÷ 3s and (m − L) ÷ 3s. Where nobody has
shown that the work stands still while the pieces are made, the same figures are called performance, Pp and Ppk.

Every range takes the pieces for independent draws from one normal distribution. A drift, a sorted lot and readings
coarser than the spread break that, and no range here knows of it; so the drift stands beside them.

- Cp: exact, since (n − 1)s² ÷ σ² is a chi-squared.
- Cpk with one limit: exact, by the noncentral t of (U − m) ÷ s × √n (D. B. Owen 1968, Technometrics 10, 445-478; from
  memory).
- Cpk with two limits: it holds at least as often as it says. The true Cpk is one of the two one-sided figures. The
  lower end is the smaller of the two one-sided lower ends, and is too high only if that figure's own is; the upper end
  is the smaller of the two upper ends, each at half the doubt, and is too low only if one of the two is (Bonferroni).
- The share outside follows from the same one-sided ranges: no less than the larger of its two sides, no more than their
  sum, each at half the doubt.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist, fmean, stdev

from calcs.messages import _
from calcs.parts.trend import BORDER
from calcs.parts.yields import INTERVAL
from calcs.units.argument_checks import ratio

Range = tuple[float, float]

WIDEST = 0.75
"""A range of Cpk that is wider than so much of Cpk (or of 1, for a Cpk below 1) tells nothing.

A judgement: its ends are then about a factor of two apart or more, as between one piece in fifty outside and one in
fifty thousand. At the usual confidence and a Cpk of 1 it asks for eight pieces with one limit and for eleven with two.
"""
FEWEST_FOR_DRIFT = 5
"""Of four pieces even the steadiest order comes up by chance once in twelve (2 of 24), which is no sign of anything."""
FAR_LIMIT = 100.0
"""From so many spreads on, the doubt in the mean adds about 1/10,000 to that in the spread, and is left out."""
MOST_TO_TELL = 100
"""At the usual confidence a dozen pieces are enough, wherever the mean stands; a greater one may ask for more."""
DECIMALS = 9
"""Far below what anybody can measure in millimetres or inches, far above what a computer's sums leave behind."""
LARGEST_SIZE = 100_000.0
"""Millimetres; larger is no reading of a workshop."""


@dataclass(frozen=True)
class Drift:
    """How a size moves from piece to piece in the order they were made, by the straight line of least squares.

    slope: of the size for each piece, its range at the confidence that was asked for. `is_clear`: a slope so far from
    0 would come by chance in less than one case of twenty (Student's t, two-sided), and there are pieces enough.
    """

    slope: float
    slope_range: Range
    is_clear: bool


@dataclass(frozen=True)
class Capability:
    """What n measured pieces say, in the unit they were measured in; shares from 0 to 1.

    outside: the share of pieces outside of the limits under a normal curve with this mean and spread.
    next_outside: the chance that the next piece falls outside, with the doubt in mean and spread counted in (Student's
    t); for few pieces it is well above `outside`. `cp` is None with one limit; `spread` and all that rests on it are
    None for one piece, the rest also where all pieces measure the same; `drift` is None below three pieces.
    """

    n: int
    mean: float
    spread: float | None
    outside: float | None = None
    outside_range: Range | None = None
    next_outside: float | None = None
    cp: float | None = None
    cp_range: Range | None = None
    cpk: float | None = None
    cpk_range: Range | None = None
    drift: Drift | None = None

    @property
    def all_alike(self) -> bool:
        """Several pieces, one reading: the instrument is too coarse to show a spread."""
        return self.spread == 0

    @property
    def too_few_to_tell(self) -> bool:
        """The range of Cpk is too wide to tell anything (`WIDEST`), or there is none.

        Where even its upper end lies below 0 the mean itself is outside of a limit, and that is clear.
        """
        if self.cpk is None or self.cpk_range is None:
            return True
        low, high = self.cpk_range
        return high > 0 and high - low > WIDEST * max(1.0, self.cpk)


def capability(
    values: Sequence[float], lower: float | None, upper: float | None, confidence: float = INTERVAL
) -> Capability:
    """Return what pieces measured in the order they were made say; sizes and limits in one unit (millimetres).

    One limit may be None. The ranges hold the true figure with the confidence, as much left out below as above.
    ValueError with a sentence for no pieces, what is no finite number, no limit, crossed limits, and a confidence that
    is not between 0.01 and 0.9999.

    >>> found = capability([12.49, 12.52, 12.50, 12.51, 12.50, 12.48], 12.45, 12.55)
    >>> round(found.cp, 2), round(found.cpk, 2), [round(end, 2) for end in found.cpk_range], found.too_few_to_tell
    (1.18, 1.18, [0.64, 1.79], True)
    """
    found, (low, high) = without_limits(values, confidence), _limits(lower, upper)
    tail = (1 - confidence) / 2
    n, spread, margins = found.n, found.spread, margins_of(found, low, high)
    if not spread:
        return found
    cp = None if low is None or high is None else (high - low) / (6 * spread)
    return replace(
        found,
        outside=sum(NormalDist().cdf(-margin) for margin in margins),
        outside_range=_outside_range(n, margins, tail),
        next_outside=_next_outside(n, margins),
        cp=cp,
        cp_range=None if cp is None else (cp * _spread_ratio(n, 1 - tail), cp * _spread_ratio(n, tail)),
        cpk=min(margins) / 3,
        cpk_range=_cpk_range(n, margins, tail),
    )


def without_limits(values: Sequence[float], confidence: float = INTERVAL) -> Capability:
    """Return what the pieces say where there is no limit to hold them against: mean, spread and drift.

    ValueError as for `capability`.
    """
    if not len(values):
        raise ValueError(_("At least one measured piece is needed."))
    confidence = ratio(confidence, _("confidence"), 0.01, 0.9999)
    # Rounded, so that one reading that was worked out in two ways does not pass for a spread.
    sizes = [round(ratio(value, _("measured size"), -LARGEST_SIZE, LARGEST_SIZE), DECIMALS) for value in values]
    spread = stdev(sizes) if len(sizes) > 1 else None
    return Capability(len(sizes), fmean(sizes), spread, drift=drift_of(sizes, confidence))


def margins_of(found: Capability, lower: float | None, upper: float | None) -> list[float]:
    """Return how many spreads the mean stands inside of each limit that there is; nothing without a spread."""
    if not found.spread:
        return []
    inside = [] if lower is None else [found.mean - lower]
    inside += [] if upper is None else [upper - found.mean]
    return [away / found.spread for away in inside]


def pieces_to_tell(
    found: Capability, lower: float | None, upper: float | None, confidence: float = INTERVAL
) -> int | None:
    """Return from how many pieces of this mean and spread on the range of Cpk would be narrow enough (`WIDEST`).

    None where it is so already, where there is no spread, and where it would take more than `MOST_TO_TELL`.
    """
    margins, tail = margins_of(found, lower, upper), (1 - confidence) / 2
    if not margins or not found.too_few_to_tell:
        return None
    tried = (replace(found, n=n, cpk_range=_cpk_range(n, margins, tail)) for n in range(found.n + 1, MOST_TO_TELL + 1))
    return next((one.n for one in tried if not one.too_few_to_tell), None)


def drift_of(sizes: Sequence[float], confidence: float = INTERVAL) -> Drift | None:
    """Return how sizes move in their order, or None for fewer than three.

    >>> drift = drift_of([20.00, 20.01, 20.01, 20.02, 20.03, 20.03])
    >>> round(drift.slope, 4), drift.is_clear
    (0.0063, True)
    """
    n = len(sizes)
    if n < 3:
        return None
    from scipy.special import stdtrit

    middle, mean = (n - 1) / 2, fmean(sizes)
    along = n * (n * n - 1) / 12
    slope = math.fsum((place - middle) * (size - mean) for place, size in enumerate(sizes)) / along
    beside = math.fsum((size - mean - slope * (place - middle)) ** 2 for place, size in enumerate(sizes))
    error = math.sqrt(beside / (n - 2) / along)
    half = error * float(stdtrit(n - 2, (1 + confidence) / 2))
    clear = n >= FEWEST_FOR_DRIFT and abs(slope) > error * float(stdtrit(n - 2, 1 - BORDER / 2))
    return Drift(slope, (slope - half, slope + half), clear)


def _limits(lower: float | None, upper: float | None) -> tuple[float | None, float | None]:
    if lower is None and upper is None:
        raise ValueError(_("At least one limit is needed, lower or upper."))
    low = None if lower is None else ratio(lower, _("lower limit"), -LARGEST_SIZE, LARGEST_SIZE)
    high = None if upper is None else ratio(upper, _("upper limit"), -LARGEST_SIZE, LARGEST_SIZE)
    if low is not None and high is not None and low >= high:
        raise ValueError(_("The lower limit must lie below the upper one."))
    return low, high


def _spread_ratio(n: int, chance_above: float) -> float:
    """Return the ratio of a sample's spread to the true one that is passed with this chance (chi-squared)."""
    from scipy.special import chdtri

    return math.sqrt(float(chdtri(n - 1, chance_above)) / (n - 1))


def _true_margin(n: int, margin: float, chance_below: float) -> float:
    """Return what the true margin of one limit, in true spreads, stays below with this chance (noncentral t)."""
    if abs(margin) > FAR_LIMIT:
        return margin * _spread_ratio(n, 1 - chance_below if margin > 0 else chance_below)
    from scipy.special import nctdtrinc

    root = math.sqrt(n)
    return float(nctdtrinc(n - 1, 1 - chance_below, margin * root)) / root


def _cpk_range(n: int, margins: Sequence[float], tail: float) -> Range:
    low = min(_true_margin(n, margin, tail) for margin in margins)
    high = min(_true_margin(n, margin, 1 - tail / len(margins)) for margin in margins)
    return low / 3, high / 3


def _outside_range(n: int, margins: Sequence[float], tail: float) -> Range:
    beyond, shared = NormalDist().cdf, tail / len(margins)
    least = max(beyond(-_true_margin(n, margin, 1 - shared)) for margin in margins)
    most = sum(beyond(-_true_margin(n, margin, shared)) for margin in margins)
    return least, min(1.0, most)


def _next_outside(n: int, margins: Sequence[float]) -> float:
    from scipy.special import stdtr

    return sum(float(stdtr(n - 1, -margin / math.sqrt(1 + 1 / n))) for margin in margins)
