"""What finished parts took against what this very model would have foreseen for them: a factor on the work ahead.

The rates are means of logarithms, one voice for each operation; what a build takes is hours. Whatever lies between the
two - tails heavier than drawn, blanks to spare, batches opened again, losses that an operation's ratio has in already
and the yields count once more - shows in the hours of finished parts against the same model's mean for them. The ratio
of the sums is weighed against a prior by its variance (W. G. Cochran 1977, Sampling Techniques, chapter 6: the ratio
estimator; from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.forecast.curve import on_curve
from calcs.forecast.even_draws import even_normals
from calcs.forecast.rate_seen import averaged
from calcs.forecast.rates import OWN_SLOPE_SD, RatePosterior
from calcs.forecast.tails import FARTHEST, point_below, stretch
from calcs.parts.plan import OperationPlan, PartPlan
from calcs.parts.remaining import nothing_left
from calcs.parts.yields import ShopYield, tries_each

Floats: TypeAlias = NDArray[np.float64]

EXCESS_AT_FIRST = 0.04
"""What is taken, as a logarithm, before any part is finished: there are more ways to take longer than less long."""
EXCESS_LOG_SD = 0.16
"""How far shops differ in it: a judgement, held by the calibration tests."""
ALWAYS_LOG_SD = 0.1
"""No log ends the doubt that the next parts are like the last ones: a judgement, as above."""
PRIOR_PARTS = 4.0
PRIOR_MISS = 0.7
"""Parts miss what was foreseen by so much of their mean, as if four of them had said so."""
LEAST_MINUTES = 0.1
"""Parts of less than this have no hours to speak of."""
MOST_EXCESS = 3.0
"""An excess beyond this is a hole in the log rather than a habit."""


@dataclass(frozen=True)
class Overrun:
    """A factor on the work ahead: log-mean and log-sd of a log-normal, and from how many finished parts."""

    log_mean: float
    log_sd: float
    parts: int = 0

    def draw(self, rng: np.random.Generator, draws: int) -> Floats:
        """Return draws of the logarithm."""
        return self.log_mean + self.log_sd * even_normals(rng, draws)


def overrun(parts: Iterable[PartPlan], rates: RatePosterior, shop: ShopYield) -> Overrun:
    """Return the factor that the finished parts speak for, drawn towards a little over 1 while they say little."""
    model = _Model.of(rates, shop)
    pairs = [model.took_and_foreseen(part) for part in parts if part.operations and nothing_left(part)]
    return weighed([(took, foreseen) for took, foreseen in pairs if min(took, foreseen) > LEAST_MINUTES])


def weighed(parts: list[tuple[float, float]]) -> Overrun:
    """Return the factor from what each finished part took and was foreseen to take, in any one unit, above 0.

    >>> weighed([]).log_mean, round(weighed([(60.0, 50.0)] * 60).log_mean, 2)
    (0.04, 0.18)
    """
    number = len(parts)
    log_mean, variance = EXCESS_AT_FIRST, math.inf
    if number:
        took, foreseen = (sum(figures) for figures in zip(*parts, strict=True))
        ratio = max(1 / MOST_EXCESS, min(MOST_EXCESS, took / foreseen))
        squares = sum((one - ratio * its) ** 2 for one, its in parts)
        prior = (PRIOR_MISS * foreseen / number) ** 2
        spread = (squares + PRIOR_PARTS * prior) / (number + PRIOR_PARTS)
        variance = number * spread / foreseen**2
        log_mean += EXCESS_LOG_SD**2 / (EXCESS_LOG_SD**2 + variance) * (math.log(ratio) - EXCESS_AT_FIRST)
    left = 1 - EXCESS_LOG_SD**2 / (EXCESS_LOG_SD**2 + variance)
    return Overrun(log_mean, math.hypot(ALWAYS_LOG_SD, EXCESS_LOG_SD * math.sqrt(left)), number)


@dataclass(frozen=True)
class _Model:
    """The means of the model: what it would have foreseen for a part before any of it was done."""

    centres: dict[str, float]
    slope: float
    operation_variance: float
    piece_variance: float
    freedom: float
    shop: ShopYield

    @classmethod
    def of(cls, rates: RatePosterior, shop: ShopYield) -> _Model:
        means, variances = rates.weights @ rates.means, rates.weights @ rates.sds**2
        centres = {kind: float(means[0] + means[place]) for place, kind in rates.kind_places}
        return cls(centres, float(means[1]), float(variances[1]), float(variances[2]), rates.freedom, shop)

    def took_and_foreseen(self, part: PartPlan) -> tuple[float, float]:
        """Bench minutes of a finished part, logged and foreseen; none where an operation lacks a time or a figure."""
        if any(one.times_unknown or one.minutes_per_piece is None for one in part.operations):
            return 0.0, 0.0
        tries = tries_each([self.shop.before_counting(one).mean for one in part.operations])
        goal = part.quantity_with_spares
        return part.bench_minutes, sum(
            self._foreseen(one, goal, its) for one, its in zip(part.operations, tries, strict=True)
        )

    def _foreseen(self, operation: OperationPlan, goal: int, tries: float) -> float:
        setups = 1 + min(1.0, goal * (tries - 1))
        planned = operation.bench_minutes_planned(goal * tries, setups)
        if not planned > 0:
            return 0.0
        curve = on_curve(operation.setup_minutes * setups, operation.minutes_per_piece or 0.0, 0, round(goal * tries))
        scatter = averaged(operation.kind, planned)
        variance = scatter * (self.operation_variance + self.piece_variance / max(1, goal))
        variance += (OWN_SLOPE_SD * curve.load) ** 2
        centre = self.centres[operation.kind] + curve.shift + self.slope * curve.load
        return planned * math.exp(centre) * mean_of_tails(round(math.sqrt(variance), 2), round(self.freedom, 1))


@lru_cache(maxsize=1024)
def mean_of_tails(scale: float, freedom: float) -> float:
    """Return the mean of e to a surprise of this scale, as surprises are drawn.

    >>> mean_of_tails(0.0, 4.0), round(mean_of_tails(0.3, 4.0), 2)
    (1.0, 1.08)
    """
    chances = (np.arange(2000) + 0.5) / 2000
    surprises = np.clip(stretch(point_below(chances), freedom), -FARTHEST, FARTHEST)
    return float(np.exp(scale * surprises).mean())
