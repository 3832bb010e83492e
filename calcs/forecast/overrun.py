"""What finished parts took beyond the pieces they needed: blanks to spare, work begun anew, set-ups again.

The rates compare planned and actual minutes of the pieces that were counted, and the yields forecast pieces lost.
What is left over - more blanks started than needed, batches opened again - shows in finished parts only, and no
model foresees everything. Both are one factor on the work ahead, with its doubt.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.forecast.even_draws import even_normals
from calcs.parts.plan import OperationPlan, PartPlan
from calcs.parts.remaining import nothing_left
from calcs.parts.yields import ShopYield, tries_each

Floats: TypeAlias = NDArray[np.float64]

PARTS_TO_BE_HEARD = 15.0
"""Finished parts at which their excess counts for half: a judgement."""
EXCESS_AT_FIRST = 0.05
"""What is taken, as a logarithm, before any part is finished: there are more ways to take longer than less long."""
MOST_EXCESS = 3.0
"""An excess beyond this is a hole in the log rather than a habit."""
ALWAYS_LOG_SD = 0.12
"""No log ends the doubt that the next parts are like the last ones: a judgement, held by the calibration tests."""
AT_FIRST_LOG_SD = 0.1
"""More doubt while no part is finished, less with every one that is."""


@dataclass(frozen=True)
class Overrun:
    """A factor on the work ahead: log-mean and log-sd of a log-normal."""

    log_mean: float
    log_sd: float

    def draw(self, rng: np.random.Generator, draws: int) -> Floats:
        """Return draws of the logarithm."""
        return self.log_mean + self.log_sd * even_normals(rng, draws)


def overrun(parts: Iterable[PartPlan], shop: ShopYield) -> Overrun:
    """Return the factor that the finished parts speak for, drawn towards a little over 1 while they are few."""
    took = expected = 0.0
    finished = 0
    for part in parts:
        if not part.operations or part.bench_minutes_elsewhere > 0 or not nothing_left(part):
            continue
        finished += 1
        priors = [1.0 if one.never_scraps else shop.for_operation(one.kind).mean for one in part.operations]
        tries_of_route = tries_each(priors)
        for operation, tries in zip(part.operations, tries_of_route, strict=True):
            counted, needed = _planned(operation, part.quantity_with_spares, tries)
            if counted > 0:
                share = operation.bench_minutes / counted
                took, expected = took + operation.bench_minutes, expected + share * needed
    heard = finished / (finished + PARTS_TO_BE_HEARD)
    excess = math.log(max(1 / MOST_EXCESS, min(MOST_EXCESS, took / expected))) if took > 0 and expected > 0 else 0.0
    log_mean = heard * excess + (1 - heard) * EXCESS_AT_FIRST
    return Overrun(log_mean, math.hypot(ALWAYS_LOG_SD, AT_FIRST_LOG_SD * math.sqrt(1 - heard)))


def _planned(operation: OperationPlan, goal: int, tries: float) -> tuple[float, float]:
    """Planned bench minutes of the pieces counted, and of those needed with the losses expected."""
    counted = operation.counted or goal
    lost = min(1.0, goal * (tries - 1))
    return (
        operation.bench_minutes_planned(counted, max(1, operation.setups_done)),
        operation.bench_minutes_planned(goal * tries, 1 + lost),
    )
