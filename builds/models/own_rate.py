"""A planned figure brought to the shop's own rate: what it was first planned at, and by how much it changed.

The forecast learns actual ÷ planned, so it must go on from what was first planned: a figure that holds the ratio
already would be multiplied by it once more.
"""

import math
from dataclasses import dataclass
from typing import Any

from builds.models.choices import Origin
from builds.models.operation import Operation

KEY = "own_rate"


@dataclass(frozen=True)
class FirstPlanned:
    """What an operation was planned at before its figure was brought to the shop's own rate.

    `ratio` is own ÷ first planned: 1 for a figure that stands as it was planned. `origin` is where the first figure
    came from.
    """

    minutes_per_unit: float | None
    origin: str
    ratio: float = 1.0

    def minutes_per_piece(self, amount: float) -> float | None:
        return None if self.minutes_per_unit is None else amount * self.minutes_per_unit


def first_planned(operation: Operation) -> FirstPlanned:
    """The figure that the arithmetic goes on from. One changed by hand since is a new figure and stands for itself."""
    now = operation.minutes_per_unit
    kept = operation.worked.get(KEY) if isinstance(operation.worked, dict) else None
    if now is not None and operation.origin == Origin.OWN_RATE and isinstance(kept, dict):
        first, ratio, minutes = (_number(kept.get(name)) for name in ("first", "ratio", "minutes"))
        if first is not None and ratio and minutes is not None and math.isclose(minutes, now, rel_tol=1e-6):
            return FirstPlanned(first, str(kept.get("origin", "")), ratio)
    return FirstPlanned(now, operation.origin)


def bring_to_own_rate(operation: Operation, ratio: float, on: str) -> None:
    """Set the operation's figure to first planned × ratio and note down how. The record is not saved here."""
    was = first_planned(operation)
    if was.minutes_per_unit is None:
        return
    operation.minutes_per_unit = was.minutes_per_unit * ratio
    operation.origin = Origin.OWN_RATE
    note = {"first": was.minutes_per_unit, "ratio": ratio, "minutes": operation.minutes_per_unit}
    operation.worked = {**(operation.worked or {}), KEY: {**note, "origin": str(was.origin), "on": on}}


def _number(value: Any) -> float | None:
    """A finite number of 0 or more; a record file may hold anything here."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value) or value < 0:
        return None
    return float(value)
