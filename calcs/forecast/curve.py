"""Planned minutes on a learning curve: how far pieces made in a row stay under their plan, and what hangs on the slope.

    planned = set-ups + minutes of the first piece × Σ i^slope, i from the first piece made to the last

The plan's minutes per piece are taken for the first one. The usual slope is that of 95 per cent for each doubling (most
people learn a little); `load`, the derivative of log planned by the slope, says how much more or less learning moves
the sum. A shop's own slope is learned beside its rates (calcs.forecast.rates). The curve is that of single pieces
(J. R. Crawford 1944; from memory), as in calcs.parts.learning_curve.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from calcs.parts.learning_curve import PRIOR_RATE, slope_of

USUAL_SLOPE = slope_of(PRIOR_RATE)
SUMMED_TO = 1024
"""Pieces that are summed one by one; those beyond by the integral, which is as good there."""


@dataclass(frozen=True)
class OnCurve:
    """The curve for some pieces: `shift` is log(planned on the curve ÷ plain), `load` its derivative by the slope."""

    shift: float = 0.0
    load: float = 0.0


NO_CURVE = OnCurve()


def on_curve(setup_minutes: float, piece_minutes: float, made: int, pieces: int) -> OnCurve:
    """Return the curve of `pieces` after `made` ones, all set-ups in `setup_minutes`; minutes and counts 0 or more.

    >>> both = on_curve(0, 10, made=0, pieces=2)
    >>> round(math.exp(both.shift), 3), round(both.load, 2)
    (0.975, 0.34)
    >>> on_curve(30, 10, made=0, pieces=1)
    OnCurve(shift=0.0, load=0.0)
    """
    plain = setup_minutes + piece_minutes * pieces
    if pieces < 1 or not piece_minutes > 0 or made + pieces < 2:
        return NO_CURVE
    (last, last_load), (first, first_load) = _sums(made + pieces), _sums(made)
    planned = setup_minutes + piece_minutes * (last - first)
    return OnCurve(math.log(planned / plain), piece_minutes * (last_load - first_load) / planned)


@cache
def _table() -> list[tuple[float, float]]:
    """Return Σ i^slope and Σ i^slope log i over the pieces 1 to n, for n from 0 on."""
    units, loads = [0.0], [0.0]
    for piece in range(1, SUMMED_TO + 1):
        unit = piece**USUAL_SLOPE
        units.append(units[-1] + unit)
        loads.append(loads[-1] + unit * math.log(piece))
    return list(zip(units, loads, strict=True))


def _sums(pieces: int) -> tuple[float, float]:
    table = _table()
    if pieces <= SUMMED_TO:
        return table[pieces]
    unit, load = table[SUMMED_TO]
    (far, far_load), (near, near_load) = _integral(pieces + 0.5), _integral(SUMMED_TO + 0.5)
    return unit + far - near, load + far_load - near_load


def _integral(end: float) -> tuple[float, float]:
    power = USUAL_SLOPE + 1
    area = end**power / power
    return area, area * (math.log(end) - 1 / power)
