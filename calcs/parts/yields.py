"""Yield with its doubt.

A yield is good ÷ (good + scrap). Reworked pieces are good ones that passed only after being put right; the
first-time yield leaves them out. What is not known yet is a Beta distribution (`YieldBelief`).
What survives a route, and how many blanks to start, is in `calcs.parts.blanks`, which needs NumPy; nothing here does.

Domain: counts are whole numbers of 0 or more, reworked at most good. 0 of 0 has no yield (None) and no interval
(ValueError): nothing is known, which is neither 0 nor 1. All scrap is a yield of 0, whose interval starts at 0 and
ends above it; none scrapped is a yield of 1, whose interval ends at 1 and starts below it: few pieces prove neither.

Sources: E. B. Wilson 1927, Journal of the American Statistical Association 22, 209-212 (score interval);
C. J. Clopper and E. S. Pearson 1934, Biometrika 26, 404-413 (exact interval).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING

from calcs.parts.plan import WHOLE_PART, OperationPlan, PartPlan

if TYPE_CHECKING:
    from calcs.parts.remaining import OpenOperation

SHOP_PRIOR_MEAN = 0.97
"""Before anything was counted about one piece in thirty is taken to be lost: a judgement, not a published figure."""
SHOP_PRIOR_PIECES = 30.0
"""Counted pieces that the judgement above is worth."""
MOST_PIECES_OF_A_KIND = 4.0
"""Pieces that one kind, however many it counted, is worth for the others: a bad heat says little of drilling."""
KIND_PRIOR_PIECES = 20.0
"""Counted pieces of one kind of operation at which the kind speaks as loud as the whole shop."""
OPERATION_PRIOR_PIECES = 8.0
"""Counted pieces that the kind's yield is worth at one operation."""

PIECES_ALIKE = 0.2
"""How alike the fates of pieces at one operation are (intraclass correlation; a judgement)."""
INTERVAL = 0.8
"""The confidence of the ranges that go with a yield."""

Counts = tuple[float, float]
"""Good and scrap; not whole where pieces count for less than one each."""


def rolled_yield(yields: Iterable[float]) -> float:
    """Return the share of blanks that survive a whole route: the product of the yields of its operations.

    A route without operations loses nothing. ValueError when a yield is not between 0 and 1.

    >>> round(rolled_yield([0.97, 0.94]), 4)
    0.9118
    """
    shares = list(yields)
    if any(not 0 <= share <= 1 for share in shares):
        raise ValueError("A yield is a share between 0 and 1, such as 0.95.")
    return math.prod(shares)


def tries_each(yields: Sequence[float]) -> list[float]:
    """Return how many pieces must be tried at each operation of a route for one good piece at its end.

    >>> tries_each([0.8, 0.5])
    [2.5, 2.0]
    """
    tries, still = [], 1.0
    for share in reversed(yields):
        still /= share
        tries.append(still)
    return tries[::-1]


def wilson_interval(good: int, tried: int, confidence: float = 0.9) -> tuple[float, float]:
    """Return Wilson's score interval for the yield behind `good` out of `tried` pieces.

    ValueError for no pieces, more good ones than tried, or a confidence that is not between 0 and 1.

    >>> [round(end, 4) for end in wilson_interval(4, 20, 0.9)]
    [0.0931, 0.3784]
    """
    _refuse_bad_sample(good, tried, confidence)
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    share = good / tried
    centre = share + z * z / (2 * tried)
    half = z * math.sqrt(share * (1 - share) / tried + z * z / (4 * tried * tried))
    scale = 1 + z * z / tried
    low = 0.0 if good == 0 else max(0.0, (centre - half) / scale)
    high = 1.0 if good == tried else min(1.0, (centre + half) / scale)
    return low, high


def exact_interval(good: int, tried: int, confidence: float = 0.9) -> tuple[float, float]:
    """Return the Clopper-Pearson interval, which holds at least as often as it says, for any yield.

    Arguments and errors as for `wilson_interval`.

    >>> [round(end, 4) for end in exact_interval(4, 20, 0.9)]
    [0.0714, 0.401]
    """
    from scipy.special import betaincinv

    _refuse_bad_sample(good, tried, confidence)
    tail = 1 - (1 + confidence) / 2
    low = 0.0 if good == 0 else float(betaincinv(good, tried - good + 1, tail))
    high = 1.0 if good == tried else float(betaincinv(good + 1, tried - good, 1 - tail))
    return low, high


@dataclass(frozen=True)
class YieldEstimate:
    """What the counts of an operation or a batch say of its yield, as shares; all None where nothing was counted.

    ValueError when a count is below 0 or more pieces were reworked than passed. The ranges hold the true yield with
    the confidence `INTERVAL`: `wilson` on average (and needs no NumPy), `exact` never less often.

    >>> found = YieldEstimate(good=14, reworked=6, scrap=6)
    >>> found.first_time, found.after_rework, [round(end, 2) for end in found.exact]
    (0.4, 0.7, [0.53, 0.83])
    """

    good: int
    reworked: int
    scrap: int

    def __post_init__(self) -> None:
        _refuse_negative(self.good, self.reworked, self.scrap)
        if self.reworked > self.good:
            raise ValueError("Reworked pieces are some of the good ones, so there cannot be more of them.")

    @property
    def tried(self) -> int:
        """Pieces counted, good and scrap."""
        return self.good + self.scrap

    @property
    def first_time(self) -> float | None:
        """The share that passed without rework: (good − reworked) ÷ (good + scrap)."""
        return (self.good - self.reworked) / self.tried if self.tried else None

    @property
    def after_rework(self) -> float | None:
        """The share that passed: good ÷ (good + scrap)."""
        return self.good / self.tried if self.tried else None

    @property
    def wilson(self) -> tuple[float, float] | None:
        """The score interval."""
        return wilson_interval(self.good, self.tried, INTERVAL) if self.tried else None

    @property
    def exact(self) -> tuple[float, float] | None:
        """The exact interval."""
        return exact_interval(self.good, self.tried, INTERVAL) if self.tried else None


@dataclass(frozen=True)
class YieldBelief:
    """What is held about one yield: a Beta distribution with `a` good and `b` scrap pieces' worth.

    With `sharp` there is no doubt: the yield is `a` ÷ (`a` + `b`) exactly. ValueError for weights below 0 or
    both 0; without doubt either may be 0, with doubt both must be above it.

    >>> YieldBelief(1, 1).updated(9, 1).mean
    0.8333333333333334
    >>> YieldBelief.known(0.9).mean
    0.9
    """

    a: float
    b: float
    sharp: bool = False

    def __post_init__(self) -> None:
        least = min(self.a, self.b)
        if not (math.isfinite(self.a + self.b) and least >= 0 and self.a + self.b > 0 and (least > 0 or self.sharp)):
            raise ValueError("A belief about a yield needs two weights above 0, good and scrap, such as 9 and 1.")

    @classmethod
    def known(cls, share: float) -> YieldBelief:
        """Return a yield that is taken as known. ValueError when it is not between 0 and 1."""
        if not 0 <= share <= 1:
            raise ValueError("A yield is a share between 0 and 1, such as 0.95.")
        return cls(share, 1 - share, sharp=True)

    @property
    def mean(self) -> float:
        """The expected yield, 0 to 1."""
        return self.a / (self.a + self.b)

    def updated(self, good: int, scrap: int) -> YieldBelief:
        """Return the belief after so many good and scrapped pieces; a known yield learns nothing."""
        _refuse_negative(good, scrap)
        return self if self.sharp else YieldBelief(self.a + good, self.b + scrap)

    def quantile(self, chance: float) -> float:
        """Return the yield that the true one stays under with this chance (0 to 1, both left out)."""
        from scipy.special import betaincinv

        if not 0 < chance < 1:
            raise ValueError("A chance is a share above 0 and below 1, such as 0.1.")
        return self.mean if self.sharp else float(betaincinv(self.a, self.b, chance))

    def interval(self, confidence: float = INTERVAL) -> tuple[float, float]:
        """Return the range that holds the yield with this confidence, as much left out below as above."""
        tail = (1 - confidence) / 2
        return self.quantile(tail), self.quantile(1 - tail)


NEVER_SCRAPS = YieldBelief.known(1.0)
"""Where a slip costs time and never the piece."""


@dataclass(frozen=True)
class ShopYield:
    """What the whole shop's counts say of any operation: the yield of each kind, shrunk to the shop's."""

    shop: YieldBelief
    counts: Mapping[str, Counts]

    def kind_belief(self, kind: str) -> YieldBelief:
        """Return the belief about a kind's own yield, all its counted pieces included."""
        good, scrap = self.counts.get(kind, (0, 0))
        mean = self.shop.mean
        return YieldBelief(KIND_PRIOR_PIECES * mean + good, KIND_PRIOR_PIECES * (1 - mean) + scrap)

    def for_operation(self, kind: str) -> YieldBelief:
        """Return the prior for an operation of this kind: the kind's yield, worth a few pieces."""
        mean = self.kind_belief(kind).mean
        return YieldBelief(OPERATION_PRIOR_PIECES * mean, OPERATION_PRIOR_PIECES * (1 - mean))

    def of_operation(self, operation: OperationPlan | OpenOperation) -> YieldBelief:
        """Return what is held of one operation's yield: its own counts upon what was held before."""
        return self.before_counting(operation).updated(operation.good, operation.scrap)

    def before_counting(self, operation: OperationPlan | OpenOperation) -> YieldBelief:
        """Return what is held of an operation's yield while nothing was counted there; 1 where it never scraps.

        It is 1 as well where the work on whole parts is one figure and nothing was ever scrapped: who logs so counts
        no pieces on the way, so the hours of finished parts hold their losses already, and so does the ratio that is
        learned from them. To count losses on top would count them twice.
        """
        nothing_scrapped = not self.counts.get(operation.kind, (0.0, 0.0))[1]
        if operation.never_scraps or (operation.kind == WHOLE_PART and nothing_scrapped):
            return NEVER_SCRAPS
        return self.for_operation(operation.kind)


def yield_counts(parts: Iterable[PartPlan]) -> dict[str, Counts]:
    """Return (good, scrap) counted in the whole build, by kind of operation, each operation at what it is worth.

    Twenty rings broken at one gap say a lot of that gap and little of any other fitting: the pieces of one operation
    share its fate. So n of them are worth n ÷ (1 + (n − 1) × likeness), the design effect of cluster samples
    (Kish 1965, *Survey Sampling*; from memory). An operation that never scraps says nothing.
    """
    counts: dict[str, Counts] = {}
    for part in parts:
        for operation in part.operations:
            if operation.never_scraps:
                continue
            good, scrap = counts.get(operation.kind, (0.0, 0.0))
            worth = 1 / (1 + max(0, operation.counted - 1) * PIECES_ALIKE)
            counts[operation.kind] = good + worth * operation.good, scrap + worth * operation.scrap
    return counts


def shop_belief(counts: Mapping[str, Counts]) -> ShopYield:
    """Return what (good, scrap) by kind say about operations to come. ValueError when a count is below 0.

    >>> shop = shop_belief({"turning": (60, 0), "lapping": (14, 6)})
    >>> round(shop.for_operation("turning").mean, 2), round(shop.for_operation("lapping").mean, 2)
    (0.99, 0.82)
    """
    for good, scrap in counts.values():
        _refuse_negative(good, scrap)
    a, b = SHOP_PRIOR_MEAN * SHOP_PRIOR_PIECES, (1 - SHOP_PRIOR_MEAN) * SHOP_PRIOR_PIECES
    for good, scrap in counts.values():
        worth = min(1.0, MOST_PIECES_OF_A_KIND / max(good + scrap, 1))
        a, b = a + worth * good, b + worth * scrap
    return ShopYield(YieldBelief(a, b), dict(counts))


def _refuse_negative(*counts: float) -> None:
    if min(counts) < 0:
        raise ValueError("Good, reworked and scrap are counts of 0 or more.")


def _refuse_bad_sample(good: int, tried: int, confidence: float) -> None:
    if tried < 1:
        raise ValueError("An interval needs at least one piece that was tried.")
    if not 0 <= good <= tried:
        raise ValueError("Good pieces are counted from 0 up to the pieces that were tried.")
    refuse_bad_confidence(confidence)


def refuse_bad_confidence(confidence: float) -> None:
    """Raise ValueError unless the confidence lies above 0 and below 1."""
    if not 0 < confidence < 1:
        raise ValueError("A confidence is a share above 0 and below 1, such as 0.9; certainty cannot be had.")
