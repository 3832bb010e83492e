"""What the cylinders of an engine sweep, what is left above the piston, and how fast the piston goes on average.

Compression ratio = (swept + clearance) ÷ clearance of one cylinder; mean piston speed = 2·stroke·rev/min. Both are
definitions (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass

from calcs.messages import _
from calcs.shop.scaling import swept_volume
from calcs.units.argument_checks import Quantity, amount, count, ratio, turns_a_minute
from calcs.units.kinds import LENGTH, VOLUME
from calcs.working.builder import Result, WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working


@dataclass(frozen=True)
class CylinderVolumes:
    """Volumes of an engine. one, whole: swept by one piston and by all; clearance: above one piston at its top.

    clearance and compression are None where neither was given.
    """

    one: Quantity
    whole: Quantity
    clearance: Quantity | None
    compression: float | None
    workings: tuple[Working, ...]


def cylinder_volumes(
    bore: Quantity,
    stroke: Quantity,
    cylinders: int = 1,
    *,
    clearance: Quantity | None = None,
    compression: float | None = None,
) -> CylinderVolumes:
    """Return the swept volumes and, from the clearance or from the compression ratio, the other of the two.

    clearance: volume above one piston at its top, passages and the hole of a plug included. compression: 1.05 to 100.
    ValueError where both are given.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(cylinder_volumes(Q(1, "in"), Q(1, "in"), clearance=Q(0.1, "in**3")).compression, 4)
    8.854
    """
    if clearance is not None and compression is not None:
        raise ValueError(_("Give the clearance or the compression ratio, not both: the one follows from the other."))
    number = count(cylinders, _("number of cylinders"), 1000)
    whole, one = swept_volume(bore, stroke, number), swept_volume(bore, stroke)
    if clearance is None and compression is None:
        return CylinderVolumes(one.value, whole.value, None, None, (whole.working,))
    sums = WorkingBuilder(_("Compression ratio"), bore)
    swept = amount(one.value, VOLUME, _("swept volume"))
    numbers = f"{sums.show(swept * number, 'volume')} ÷ {number}"
    sums.line("V1", _("swept by one: V ÷ cylinders"), numbers, swept, "volume")
    if clearance is not None:
        above = amount(clearance, VOLUME, _("clearance"))
        compression = _ratio_from(sums, swept, above)
    else:
        above = _clearance_from(sums, swept, ratio(compression, _("compression ratio"), 1.05, 100))
    left = sums.quantity(above, "volume")
    return CylinderVolumes(one.value, whole.value, left, compression, (whole.working, sums.working()))


def _ratio_from(sums: WorkingBuilder, swept: float, above: float) -> float:
    sums.given("c", _("clearance above one piston"), above, "volume")
    v, c = sums.show(swept, "volume"), sums.show(above, "volume")
    found = (swept + above) / above
    sums.line(_("compression ratio"), "(V1 + c) ÷ c", f"({v} + {c}) ÷ {c}", found, "number")
    return found


def _clearance_from(sums: WorkingBuilder, swept: float, compression: float) -> float:
    sums.given("R", _("compression ratio"), compression, "number")
    above = swept / (compression - 1)
    numbers = f"{sums.show(swept, 'volume')} ÷ ({format_in_full(compression)} − 1)"
    sums.line("c", _("V1 ÷ (R − 1), left above one piston,"), numbers, above, "volume")
    return above


def mean_piston_speed(stroke: Quantity, speed: object) -> Result:
    """Return the mean speed of a piston: two strokes a turn, in m/s, or in ft/min where the stroke is in inches.

    speed: of the crank, in rev/min or as a quantity.

    >>> from calcs.units.registry import registry
    >>> mean_piston_speed(registry().Quantity(40, "mm"), 3000).value.magnitude
    4.0
    """
    long, turns = amount(stroke, LENGTH, _("stroke")), turns_a_minute(speed, _("speed of the crank"))
    sums = WorkingBuilder(_("Mean piston speed"), stroke)
    sums.given("s", _("stroke"), long, "length")
    sums.given("n", _("speed of the crank"), turns, "turns")
    per = "12" if sums.inch else "60000"
    numbers = f"2 × {sums.show(long, 'length')} × {format_in_full(turns)} ÷ {per}"
    found = 2 * long * turns / 60_000
    return Result(sums.line("v", f"2·s·n ÷ {per}", numbers, found, "piston speed"), sums.working())
