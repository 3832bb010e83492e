"""The drawing of a star: cylinders round one crank pin, the master rod with its link rods, turning with the crank."""

from __future__ import annotations

import math

from builds.arithmetic.engine_drawings import TEMPLATE, EngineDrawing, Label, Point, Round, arm, circle, label, path
from calcs.engines.star_rods import StarRods
from calcs.messages import _
from calcs.units.quantity_text import format_quantity
from calcs.units.registry import LengthUnit, millimetres

_SIZE = 420.0
_MIDDLE: Point = (_SIZE / 2, _SIZE / 2)
_MOST_NUMBERED = 15


def star_words(found: StarRods, angle: float, unit: LengthUnit) -> str:
    """Where the crank and the first piston stand."""
    star = found.geometry
    below = star.crank + star.master - star.height(1, angle)
    place = format_quantity(millimetres(below).to("inch" if unit == "in" else "mm"))
    return _(
        "A star of {number}, crank at {angle}°: the piston of the master rod stands {place} below its top.",
        number=star.cylinders, angle=f"{angle:.4g}", place=place,
    )  # fmt: skip


def star_drawing(found: StarRods, angle: float, unit: LengthUnit) -> EngineDrawing:
    """Every rod and piston, true to scale; cylinder 1 stands upright, the crank turns to the right."""
    star = found.geometry
    numbers = range(1, star.cylinders + 1)
    heights = {number: star.height(number, angle) for number in numbers}
    crown = 0.45 * star.crank
    reach = star.crank + max(star.master, star.pins + star.link) + crown
    scale = 178 / reach
    inner = (reach - 2.4 * star.crank - 2 * crown) * scale
    wide = max(4.0, min(1.7 * star.crank * scale, 1.7 * max(inner, 20) * math.tan(math.pi / star.cylinders)))
    cylinders, bodies, circles, labels = [], [], [], []
    for number in numbers:
        turn = star.bearing(number)
        cylinders.append(barrel(turn, inner, reach * scale + 4, wide + 4))
        bodies.append(barrel(turn, (heights[number] - crown) * scale, (heights[number] + crown) * scale, wide, True))
        pins = rod_of(found, number, angle, heights[number], scale)
        thick = 9.0 if number == 1 else 5.0
        bodies.append(arm(*pins, thick, thick * 0.8))
        circles += [circle(pin, 2.6) for pin in pins]
        labels += number_of(number, turn) if star.cylinders <= _MOST_NUMBERED else []
    pin = at(star.crank_pin(angle), scale)
    bodies.append(arm(_MIDDLE, pin, 8, 6))
    return EngineDrawing(
        TEMPLATE,
        star_words(found, angle, unit),
        f"0 0 {_SIZE:g} {_SIZE:g}",
        f"M{_MIDDLE[0]:g} 26V{_SIZE - 26:g}M26 {_MIDDLE[1]:g}H{_SIZE - 26:g}",
        "".join(cylinders),
        "",
        "".join(bodies),
        (circle(_MIDDLE, 7), circle(pin, star.pins * scale + 6), circle(pin, 5), *circles),
        (ring_of(star.crank * scale),),
        tuple(labels),
    )


def ring_of(r: float) -> Round:
    """The way of the crank pin."""
    return circle(_MIDDLE, r)


def number_of(number: int, turn: float) -> list[Label]:
    """A cylinder's number, outside its head."""
    x, y = polar(turn, 197)
    return [label(x, y + 5, str(number))]


def at(point: Point, scale: float) -> Point:
    """A place of the sum (along the first cylinder, across it) on the sheet, where the first cylinder stands up."""
    along, across = point
    return _MIDDLE[0] + across * scale, _MIDDLE[1] - along * scale


def polar(bearing: float, out: float) -> Point:
    """A place on the sheet so far out from the middle, in the direction of a cylinder."""
    turned = math.radians(bearing)
    return _MIDDLE[0] + out * math.sin(turned), _MIDDLE[1] - out * math.cos(turned)


def barrel(bearing: float, low: float, high: float, wide: float, closed: bool = False) -> str:
    """The two walls and the head of a cylinder, or a piston where it is closed."""
    (x, y), (far_x, far_y) = polar(bearing, low), polar(bearing, high)
    over, down = math.cos(math.radians(bearing)) * wide / 2, math.sin(math.radians(bearing)) * wide / 2
    corners = [(x - over, y - down), (far_x - over, far_y - down), (far_x + over, far_y + down), (x + over, y + down)]
    return path(corners, closed=closed)


def rod_of(found: StarRods, number: int, angle: float, height: float, scale: float) -> tuple[Point, Point]:
    """The two ends of a rod on the sheet."""
    return at(found.geometry.rod_pin(number, angle), scale), polar(found.geometry.bearing(number), height * scale)
