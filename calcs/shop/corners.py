"""Across the corners of a square, hexagon or octagon, and the sine bar. Source: plane geometry."""

from __future__ import annotations

import math

from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, degrees
from calcs.units.kinds import LENGTH
from calcs.working.builder import Result, WorkingBuilder
from calcs.working.exactly_enough import format_in_full

SIDES = (4, 6, 8)


def across_corners(flats: Quantity, sides: int) -> Result:
    """Return how far it is across the corners: flats ÷ cos(180° ÷ sides). sides: 4, 6 or 8; ValueError for others.

    >>> from calcs.units.registry import registry
    >>> round(across_corners(registry().Quantity(10, "mm"), 6).value.magnitude, 3)
    11.547
    """
    size = amount(flats, LENGTH, _("size across the flats"))
    half = _half_step(sides)
    sums = WorkingBuilder(_("Across the corners"), flats)
    sums.given(_("flats"), _("size across the flats"), size, "length")
    numbers = f"{sums.show(size, 'length')} ÷ cos({format_in_full(half)}°)"
    formula = _("flats ÷ cos(180° ÷ {sides})", sides=sides)
    return Result(
        sums.line(_("corners"), formula, numbers, size / math.cos(math.radians(half)), "length"), sums.working()
    )


def across_flats(corners: Quantity, sides: int) -> Result:
    """Return the largest size across the flats that a round bar gives: diameter·cos(180° ÷ sides).

    >>> from calcs.units.registry import registry
    >>> round(across_flats(registry().Quantity(10, "mm"), 4).value.magnitude, 4)
    7.0711
    """
    size = amount(corners, LENGTH, _("diameter of the bar"))
    half = _half_step(sides)
    sums = WorkingBuilder(_("Across the flats"), corners)
    sums.given(_("bar"), _("diameter of the bar"), size, "length")
    numbers = f"{sums.show(size, 'length')} × cos({format_in_full(half)}°)"
    formula = _("bar·cos(180° ÷ {sides})", sides=sides)
    flats = size * math.cos(math.radians(half))
    return Result(sums.line(_("flats"), formula, numbers, flats, "length"), sums.working())


def depth_of_flat(bar: Quantity, flats: Quantity) -> Result:
    """Return how deep each flat is cut into a round bar: ½·(bar − flats). ValueError where the bar is no larger."""
    across, size = amount(bar, LENGTH, _("diameter of the bar")), amount(flats, LENGTH, _("size across the flats"))
    if size >= across:
        raise ValueError(_("The bar is not larger than the size across the flats, so there is nothing to cut."))
    sums = WorkingBuilder(_("Depth of each flat"), bar)
    numbers = f"({sums.show(across, 'length')} − {sums.show(size, 'length')}) ÷ 2"
    return Result(sums.line(_("depth"), _("½·(bar − flats)"), numbers, (across - size) / 2, "length"), sums.working())


def _half_step(sides: int) -> float:
    if not isinstance(sides, int) or sides not in SIDES:
        raise ValueError(_("The sides are 4, 6 or 8."))
    return 180 / sides


def sine_bar(length: Quantity, angle: float) -> Result:
    """Return the height of the blocks under one roller: length·sin(angle). angle: more than 0, up to 60 degrees.

    length: between the rollers' middles.

    >>> from calcs.units.registry import registry
    >>> round(sine_bar(registry().Quantity(5, "in"), 30).value.magnitude, 9)
    2.5
    """
    size, turned = amount(length, LENGTH, _("length of the sine bar")), degrees(angle, _("angle"), 1e-3, 60)
    sums = WorkingBuilder(_("Sine bar"), length)
    sums.given("L", _("length between the rollers"), size, "length")
    numbers = f"{sums.show(size, 'length')} × sin({format_in_full(turned)}°)"
    height = size * math.sin(math.radians(turned))
    return Result(sums.line(_("height"), _("L·sin(angle)"), numbers, height, "length"), sums.working())


def angle_of_sine_bar(length: Quantity, height: Quantity) -> Result:
    """Return the angle in degrees that blocks of a height give: arcsin(height ÷ length). ValueError if too high."""
    size, blocks = amount(length, LENGTH, _("length of the sine bar")), amount(height, LENGTH, _("height"))
    if blocks >= size:
        raise ValueError(_("The blocks are not lower than the sine bar is long."))
    sums = WorkingBuilder(_("Sine bar"), length)
    sums.given("L", _("length between the rollers"), size, "length")
    sums.given(_("height"), _("of the blocks"), blocks, "length")
    numbers = f"arcsin({sums.show(blocks, 'length')} ÷ {sums.show(size, 'length')})"
    angle = math.degrees(math.asin(blocks / size))
    return Result(sums.line(_("angle"), _("arcsin(height ÷ L)"), numbers, angle, "angle"), sums.working())
