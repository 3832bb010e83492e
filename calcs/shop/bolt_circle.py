"""Bolt circles: the coordinates of holes spaced evenly. Source: plane geometry."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, count, degrees
from calcs.units.kinds import LENGTH
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working

Direction = Literal["anticlockwise", "clockwise"]


@dataclass(frozen=True)
class Hole:
    """One hole of a circle: its bearing in degrees and its place from the datum."""

    bearing: float
    x: Quantity
    y: Quantity


@dataclass(frozen=True)
class BoltCircle:
    """The holes in order, the distance from one to the next (None for one hole), and the working."""

    holes: tuple[Hole, ...]
    chord: Quantity | None
    working: Working


def bolt_circle(
    radius: Quantity,
    holes: int,
    *,
    centre: tuple[Quantity, Quantity] | None = None,
    first: float = 0.0,
    direction: Direction = "anticlockwise",
) -> BoltCircle:
    """Return the coordinates of holes spaced evenly on a circle: x = x0 + r·cos, y = y0 + r·sin of the bearing.

    first: angle of the first hole in degrees, from the x axis (3 o'clock) anticlockwise; direction: the way the
    others follow. centre: (x0, y0), the datum itself where left out. ValueError for no holes or no radius.

    >>> from calcs.units.registry import registry
    >>> circle = bolt_circle(registry().Quantity(1, "in"), 4, first=90)
    >>> [(round(hole.x.magnitude, 6) + 0, round(hole.y.magnitude, 6) + 0) for hole in circle.holes]
    [(0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (1.0, 0.0)]
    """
    out = amount(radius, LENGTH, _("radius"))
    number = count(holes, _("number of holes"), 1000)
    start = degrees(first, _("angle of the first hole"), -360, 360)
    if direction not in ("anticlockwise", "clockwise"):
        raise ValueError(_("The direction is anticlockwise or clockwise."))
    sums = WorkingBuilder(_("Bolt circle"), radius)
    sums.given("r", _("radius"), out, "length")
    x0, y0 = (0.0, 0.0) if centre is None else (_place(centre[0]), _place(centre[1]))
    turn = (1 if direction == "anticlockwise" else -1) * 360 / number
    sums.line(_("step"), _("360° ÷ holes"), f"360 ÷ {number}", 360 / number, "angle")
    made = tuple(_hole(sums, n, start + turn * n, out, x0, y0) for n in range(number))
    chord = None
    if number > 1:
        numbers = f"2 × {sums.show(out, 'length')} × sin({format_in_full(180 / number)}°)"
        across = 2 * out * math.sin(math.pi / number)
        chord = sums.line(_("chord"), _("2·r·sin(180° ÷ holes), from hole to hole,"), numbers, across, "length")
    return BoltCircle(made, chord, sums.working())


def _hole(sums: WorkingBuilder, number: int, bearing: float, out: float, x0: float, y0: float) -> Hole:
    angle = math.radians(bearing)
    # The sine of 180° is zero, not a millionth of a millionth.
    x, y = (round(out * f(angle) + at, 9) for f, at in ((math.cos, x0), (math.sin, y0)))
    radius, b = sums.show(out, "length"), format_in_full(bearing % 360)
    numbers = [f"{sums.show(at, 'length')} + {radius} × {f}({b}°)" for f, at in (("cos", x0), ("sin", y0))]
    qx = sums.line(f"x{number + 1}", _("x0 + r·cos(angle)"), numbers[0], x, "length")
    qy = sums.line(f"y{number + 1}", _("y0 + r·sin(angle)"), numbers[1], y, "length")
    return Hole(bearing % 360, qx, qy)


def _place(value: Quantity) -> float:
    """A coordinate: a length that may be negative or zero."""
    size = getattr(value, "magnitude", None)
    if isinstance(size, (int, float)) and size < 0:
        return -amount(-value, LENGTH, _("place of the centre"), zero=True)
    return amount(value, LENGTH, _("place of the centre"), zero=True)
