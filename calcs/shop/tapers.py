"""A taper in every way that it is spoken of, and the tailstock set over for it.

Sources: a taper per foot is the difference of diameters over 12 inches of length (common practice); set-over of the
tailstock = ½·taper·length between centres (common practice, good for small angles).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, degrees, ratio
from calcs.units.figures import format_plain, format_significant
from calcs.units.kinds import LENGTH
from calcs.units.registry import registry
from calcs.working.builder import Result, WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Step, Working


@dataclass(frozen=True)
class Taper:
    """A taper four ways: diameter per length, inches per foot, n of 1:n, and its angles in degrees."""

    rate: float
    per_foot: Quantity
    one_in: float
    included: float
    half: float
    working: Working


def taper_from_sizes(large: Quantity, small: Quantity, length: Quantity) -> Taper:
    """Return the taper between two diameters a length apart: (D − d) ÷ L. ValueError where there is none.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> taper = taper_from_sizes(Q(1, "in"), Q(0.75, "in"), Q(6, "in"))
    >>> round(taper.per_foot.magnitude, 9), round(taper.one_in, 9), round(taper.included, 3)
    (0.5, 24.0, 2.387)
    """
    big, little, long = (
        amount(large, LENGTH, _("large diameter")),
        amount(small, LENGTH, _("small diameter")),
        amount(length, LENGTH, _("length of the taper")),
    )
    if little >= big:
        raise ValueError(_("The small diameter is not smaller than the large one, so there is no taper."))
    sums = WorkingBuilder(_("Taper"), large)
    numbers = f"({sums.show(big, 'length')} − {sums.show(little, 'length')}) ÷ {sums.show(long, 'length')}"
    return _taper(sums, (big - little) / long, "(D − d) ÷ L", numbers)


def taper_from_angle(included: float) -> Taper:
    """Return the taper of an included angle in degrees: 2·tan(½·angle)."""
    angle = degrees(included, _("included angle"), 1e-3, 179)
    rate = 2 * math.tan(math.radians(angle / 2))
    return _taper(WorkingBuilder(_("Taper")), rate, _("2·tan(½·angle)"), f"2 × tan({format_plain(angle / 2)}°)")


def taper_from_per_foot(per_foot: Quantity) -> Taper:
    """Return the taper of so much diameter to the foot of length.

    >>> from calcs.units.registry import registry
    >>> round(taper_from_per_foot(registry().Quantity(0.6, "in")).half, 3)
    1.432
    """
    size = amount(per_foot, LENGTH, _("taper per foot"))
    sums = WorkingBuilder(_("Taper"), per_foot)
    foot = 12 if sums.inch else 304.8
    numbers = f"{sums.show(size, 'length')} ÷ {foot}"
    return _taper(sums, size / 304.8, _("per foot ÷ {foot}", foot=foot), numbers)


def taper_from_ratio(one_in: float) -> Taper:
    """Return the taper 1:n, one of diameter in n of length."""
    number = ratio(one_in, _("n of a taper 1:n"), 0.01, 1e5)
    return _taper(WorkingBuilder(_("Taper")), 1 / number, "1 ÷ n", f"1 ÷ {format_plain(number)}")


def _taper(sums: WorkingBuilder, rate: float, formula: str, numbers: str) -> Taper:
    if not 1e-6 <= rate <= 300:
        raise ValueError(_("That is no taper that could be turned. Check the diameters and the length."))
    half = math.degrees(math.atan(rate / 2))
    each, inches = _("for each unit of length"), format_significant(12 * rate, "in")
    taper, angle = format_in_full(rate), format_in_full(half)
    steps = (
        Step(_("taper"), formula, numbers, rate, each, "", f"{rate:.6f} {each}"),
        Step("1:n", _("1 ÷ taper"), f"1 ÷ {taper}", 1 / rate, "", "", f"1:{format_significant(1 / rate, 'mm')}"),
        Step(_("half angle"), _("arctan(½·taper)"), f"arctan({taper} ÷ 2)", half, "°", "", f"{half:.4f} °"),
        Step(_("included angle"), _("2·half angle"), f"2 × {angle}", 2 * half, "°", "", f"{2 * half:.4f} °"),
        Step(_("per foot"), _("12·taper"), f"12 × {taper}", 12 * rate, "in", "", f"{inches} in"),
    )
    per_foot = registry().Quantity(12 * rate, "inch")
    return Taper(rate, per_foot, 1 / rate, 2 * half, half, Working(sums.title, steps))


def tailstock_set_over(taper: Taper, between_centres: Quantity) -> Result:
    """Return how far the tailstock is set over: ½·taper·length of the whole piece between centres.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(tailstock_set_over(taper_from_per_foot(Q(0.5, "in")), Q(9, "in")).value.magnitude, 4)
    0.1875
    """
    long = amount(between_centres, LENGTH, _("length between centres"))
    sums = WorkingBuilder(_("Set-over of the tailstock"), between_centres)
    numbers = f"{format_in_full(taper.rate)} × {sums.show(long, 'length')} ÷ 2"
    value = sums.line(_("set-over"), _("½·taper·length between centres"), numbers, taper.rate * long / 2, "length")
    return Result(value, sums.working())
