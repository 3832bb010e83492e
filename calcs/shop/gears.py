"""Spur gears: the blank, the tooth, and how far apart two of them stand.

Sources: ISO 53 and ISO 21771, addendum 1·m, dedendum 1.25·m, depth 2.25·m (from memory); older cutters of full depth
cut 2.157·m (common practice). A diametral pitch is teeth to the inch of pitch diameter: m = 25.4 ÷ DP, by definition.
Cutters are numbered as in the set of eight for involute teeth (common practice).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, count, ratio
from calcs.units.figures import format_plain
from calcs.units.kinds import LENGTH
from calcs.working.builder import Result, WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working

FULL_DEPTH = 2.25
OLD_DEPTH = 2.157
MOST_TEETH = 2000
# Fewest teeth that each cutter of the set of eight is made for, number 1 first.
_CUTTERS = (135, 55, 35, 26, 21, 17, 14, 12)
_UNDERCUT = 17
"""Fewest teeth that a rack of 20° does not cut under: 2 ÷ sin² 20° is 17.1 (plane geometry)."""


@dataclass(frozen=True)
class Gear:
    """A spur gear. cutter: its number in the set of eight, None below 12 teeth.

    thickness: of the tooth, straight across; addendum: from the tip to where the thickness is measured.
    """

    teeth: int
    pitch_diameter: Quantity
    blank: Quantity
    depth: Quantity
    thickness: Quantity
    addendum: Quantity
    cutter: int | None
    working: Working
    remarks: tuple[str, ...]


def spur_gear(module: Quantity, teeth: int, depth: float = FULL_DEPTH) -> Gear:
    """Return the blank and the tooth of a spur gear of so many teeth, 6 to 2000.

    module: pitch diameter for each tooth, a length (25.4 mm ÷ DP). depth: of the tooth, in modules, 2 to 3.

    >>> from calcs.units.registry import registry
    >>> gear = spur_gear(registry().Quantity(1, "mm"), 40)
    >>> gear.blank.magnitude, gear.pitch_diameter.magnitude, gear.depth.magnitude, gear.cutter
    (42.0, 40.0, 2.25, 3)
    """
    size, number = amount(module, LENGTH, _("module")), count(teeth, _("number of teeth"), MOST_TEETH)
    if number < 6:
        raise ValueError(_("A gear of fewer than 6 teeth is no spur gear of this kind."))
    times = ratio(depth, _("depth in modules"), 2, 3)
    sums = WorkingBuilder(_("Spur gear"), module)
    sums.given("m", _("module"), size, "length")
    m, angle = sums.show(size, "length"), f"{format_in_full(90 / number)}°"
    across = sums.line(_("pitch diameter"), _("m·teeth"), f"{m} × {number}", size * number, "length")
    deep = sums.line(
        _("depth"), _("{times}·m", times=format_plain(times)), f"{format_plain(times)} × {m}", times * size, "length"
    )
    step = math.radians(90 / number)
    wide = size * number * math.sin(step)
    thick = sums.line(_("thickness"), _("m·teeth·sin(90° ÷ teeth)"), f"{m} × {number} × sin({angle})", wide, "length")
    high = size + size * number / 2 * (1 - math.cos(step))
    formula = _("m + ½·m·teeth·(1 − cos(90° ÷ teeth))")
    add = sums.line(_("addendum"), formula, f"{m} + {m} × {number} ÷ 2 × (1 − cos({angle}))", high, "length")
    blank = sums.line(_("blank"), _("m·(teeth + 2)"), f"{m} × ({number} + 2)", size * (number + 2), "length")
    return Gear(number, across, blank, deep, thick, add, cutter_number(number), sums.working(), _undercut(number))


def cutter_number(teeth: int) -> int | None:
    """Return the number of the cutter in the set of eight; None below 12 teeth.

    >>> cutter_number(12), cutter_number(40), cutter_number(200), cutter_number(11)
    (8, 3, 1, None)
    """
    return next((number for number, fewest in enumerate(_CUTTERS, 1) if teeth >= fewest), None)


def _undercut(teeth: int) -> tuple[str, ...]:
    if teeth >= _UNDERCUT:
        return ()
    return (_("Below 17 teeth of 20° the roots are cut under where the tool is a rack or a hob."),)


def centre_distance(module: Quantity, teeth: int, others: int) -> Result:
    """Return how far apart the shafts of two spur gears stand: ½·m·(teeth + teeth).

    >>> from calcs.units.registry import registry
    >>> centre_distance(registry().Quantity(1, "mm"), 20, 40).value.magnitude
    30.0
    """
    size = amount(module, LENGTH, _("module"))
    one, two = (count(number, _("number of teeth"), MOST_TEETH) for number in (teeth, others))
    sums = WorkingBuilder(_("Distance of the shafts"), module)
    sums.given("m", _("module"), size, "length")
    numbers = f"{sums.show(size, 'length')} × ({one} + {two}) ÷ 2"
    formula = _("½·m·(teeth of one + teeth of the other)")
    return Result(sums.line(_("distance"), formula, numbers, size * (one + two) / 2, "length"), sums.working())
