"""The rods of a star: one master rod on the crank pin, and link rods on pins round its big end.

A link rod's pin goes round no circle, since the master rod tilts. So the other pistons have other strokes, and reach
their tops a little before or after their turn. Plane geometry: the crank pin at r·(cos θ, sin θ), the master rod tilted
back by β with sin β = r·sin θ ÷ L, a link's pin a further in the direction α − β, and its piston on the line at α, one
link rod away. θ and α count from the master cylinder the way that the crank turns.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from calcs.engines.slider_crank import exact_motion
from calcs.engines.star import MOST_CYLINDERS
from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, count, degrees
from calcs.units.kinds import LENGTH
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working

Point = tuple[float, float]
_GOLDEN = (math.sqrt(5) - 1) / 2


@dataclass(frozen=True)
class StarGeometry:
    """A star's sizes in mm: crank, master rod, circle of the link pins (its radius) and link rods."""

    cylinders: int
    crank: float
    master: float
    pins: float
    link: float

    def bearing(self, number: int) -> float:
        """Where a cylinder stands, in degrees after the first."""
        return 360 / self.cylinders * (number - 1)

    def lean(self, angle: float) -> float:
        """How far the master rod tilts back, in degrees."""
        return math.degrees(math.asin(self.crank / self.master * math.sin(math.radians(angle))))

    def crank_pin(self, angle: float) -> Point:
        """Where the crank pin stands: along the first cylinder, and across it the way the crank turns."""
        return _polar(self.crank, angle)

    def rod_pin(self, number: int, angle: float) -> Point:
        """Where the lower end of a cylinder's rod stands; of the first it is the crank pin."""
        if number == 1:
            return self.crank_pin(angle)
        (x, y), (out, over) = self.crank_pin(angle), _polar(self.pins, self.bearing(number) - self.lean(angle))
        return x + out, y + over

    def height(self, number: int, angle: float) -> float:
        """How far a piston pin is from the crank's centre. ValueError where the link rod does not reach the line."""
        along, across = self.in_line(number, angle)
        left = (self.master if number == 1 else self.link) ** 2 - across**2
        if left <= 0:
            raise ValueError(_("The link rods are too short: on the way round one of them does not reach its piston."))
        return along + math.sqrt(left)

    def in_line(self, number: int, angle: float) -> Point:
        """Where the lower end of a rod stands along its cylinder's line, and across it."""
        x, y = self.rod_pin(number, angle)
        cosine, sine = _polar(1, self.bearing(number))
        return x * cosine + y * sine, y * cosine - x * sine


@dataclass(frozen=True)
class StarPiston:
    """One piston of a star at a crank angle, lengths in mm, angles in degrees of the crank.

    below: under its own top; even: where it would be if every rod stood on the crank pin itself; stroke: its own; late:
    how long after its even turn it comes to its top, below zero where before.
    """

    number: int
    below: float
    even: float
    stroke: float
    late: float

    @property
    def error(self) -> float:
        """How much further down than even it stands, in mm."""
        return self.below - self.even


@dataclass(frozen=True)
class StarRods:
    """A star at a crank angle: its sizes, its pistons, and the working of the second one."""

    geometry: StarGeometry
    angle: float
    pistons: tuple[StarPiston, ...]
    working: Working


def star_rods(
    stroke: Quantity, master: Quantity, pins: Quantity, cylinders: int, angle: float, link: Quantity | None = None
) -> StarRods:
    """Return where the pistons of a star stand at a crank angle, and how far that is from even.

    master: its rod from centre to centre. pins: radius of the circle of link pins. link: a link rod from centre to
    centre, master less pins where left out. ValueError for what cannot go round.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> star = star_rods(Q(40, "mm"), Q(80, "mm"), Q(16, "mm"), 5, 0)
    >>> [round(piston.late, 2) for piston in star.pistons]
    [0.0, 1.9, 2.66, -2.66, -1.9]
    """
    at = degrees(angle, _("crank angle"), -360, 360) % 360
    geometry = _geometry(stroke, master, pins, cylinders, link)
    pistons = tuple(_piston(geometry, number, at) for number in range(1, geometry.cylinders + 1))
    sums = WorkingBuilder(_("Piston 2, on its link rod"), stroke)
    _write(sums, geometry, at, pistons[1].below)
    return StarRods(geometry, at, pistons, sums.working())


def _geometry(
    stroke: Quantity, master: Quantity, pins: Quantity, cylinders: int, link: Quantity | None
) -> StarGeometry:
    crank, long = amount(stroke, LENGTH, _("stroke")) / 2, amount(master, LENGTH, _("master rod"))
    out, number = amount(pins, LENGTH, _("circle of the link pins")), count(cylinders, _("number of cylinders"), 29)
    if not 3 <= number <= MOST_CYLINDERS:
        raise ValueError(_("A star has three cylinders or more."))
    if long <= crank:
        raise ValueError(_("The rod must be longer than the crank, which is half the stroke, or it cannot go round."))
    if out >= long:
        raise ValueError(_("The link pins must lie nearer to the crank pin than the master rod is long."))
    short = long - out if link is None else amount(link, LENGTH, _("link rod"))
    return StarGeometry(number, crank, long, out, short)


def _piston(star: StarGeometry, number: int, angle: float) -> StarPiston:
    turn = star.bearing(number)
    for tried in range(0, 360, 10):
        star.height(number, tried)
    top = _highest(lambda at: star.height(number, at), turn - 60, turn + 60)
    bottom = _highest(lambda at: -star.height(number, at), turn + 120, turn + 240)
    highest = star.height(number, top)
    even = exact_motion(star.crank, star.master, angle - turn, 1.0).place
    late = 0.0 if number == 1 else top - turn
    return StarPiston(number, highest - star.height(number, angle), even, highest - star.height(number, bottom), late)


def _highest(height: Callable[[float], float], low: float, high: float) -> float:
    """Where a function with one peak between low and high is highest, by the golden section."""
    near, far = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    one, two = height(near), height(far)
    while high - low > 1e-6:
        if one > two:
            high, far, two = far, near, one
            near = high - _GOLDEN * (high - low)
            one = height(near)
        else:
            low, near, one = near, far, two
            far = low + _GOLDEN * (high - low)
            two = height(far)
    return (low + high) / 2


def _polar(out: float, angle: float) -> Point:
    turned = math.radians(angle)
    return out * math.cos(turned), out * math.sin(turned)


def _write(sums: WorkingBuilder, star: StarGeometry, at: float, below: float) -> None:
    """The lines of the second piston."""
    r, rod, a, link = (sums.show(one, "length") for one in (star.crank, star.master, star.pins, star.link))
    lean, bearing = star.lean(at), star.bearing(2)
    t, b, turned = (format_in_full(one) for one in (at, bearing, bearing - lean))
    sums.line("r", _("stroke ÷ 2"), f"{sums.show(2 * star.crank, 'length')} ÷ 2", star.crank, "length")
    sums.given("θ", _("crank past the first piston's top"), at, "angle")
    sums.given("a", _("circle of the link pins, its radius"), star.pins, "length")
    sums.line("α", _("360° ÷ cylinders"), f"360 ÷ {star.cylinders}", bearing, "angle")
    sums.line("β", _("arcsin(r·sin θ ÷ master rod)"), f"arcsin({r} × sin({t}°) ÷ {rod})", lean, "angle")
    x, y = star.rod_pin(2, at)
    sums.line("x", _("r·cos θ + a·cos(α − β), its pin,"), f"{r} × cos({t}°) + {a} × cos({turned}°)", x, "length")
    sums.line("y", "r·sin θ + a·sin(α − β)", f"{r} × sin({t}°) + {a} × sin({turned}°)", y, "length")
    across, up = (sums.show(one, "length") for one in (x, y))
    along, over = star.in_line(2, at)
    numbers = f"{across} × cos({b}°) + {up} × sin({b}°)"
    sums.line("p", _("x·cos α + y·sin α, along its cylinder,"), numbers, along, "length")
    sums.line("q", "y·cos α − x·sin α", f"{up} × cos({b}°) − {across} × sin({b}°)", over, "length")
    height = star.height(2, at)
    numbers = f"{sums.show(along, 'length')} + √({link}² − ({sums.show(over, 'length')})²)"
    sums.line("h", _("p + √(link rod² − q²), from the crank's centre,"), numbers, height, "length")
    sums.given("H", _("the highest it comes, found by turning"), height + below, "length")
    numbers = f"{sums.show(height + below, 'length')} − {sums.show(height, 'length')}"
    sums.line(_("below its top"), "H − h", numbers, below, "length")
