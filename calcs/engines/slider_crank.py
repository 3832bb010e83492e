"""A crank with its rod and piston: where the piston stands at a crank angle, how fast it goes, how hard it is pushed.

Plane geometry. With r the crank, l the rod, θ the crank angle past the top and sin ψ = r·sin θ ÷ l:
place = r·(1 − cos θ) + l·(1 − cos ψ), speed = u·(sin θ + cos θ·tan ψ),
acceleration = (u² ÷ r)·(cos θ − sin θ·tan ψ + (r ÷ l)·cos² θ ÷ cos³ ψ), u the speed of the crank pin.
The two-term approximation leaves out what is smaller than r ÷ l to the first power (common practice):
r·(1 − cos θ + (r ÷ 4l)·(1 − cos 2θ)), u·(sin θ + (r ÷ 2l)·sin 2θ), (u² ÷ r)·(cos θ + (r ÷ l)·cos 2θ).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, degrees, turns_a_minute
from calcs.units.kinds import LENGTH
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working


@dataclass(frozen=True)
class Motion:
    """A piston at one crank angle: place below its top (mm), speed away from the top (m/s), acceleration (m/s²)."""

    place: float
    speed: float
    acceleration: float


@dataclass(frozen=True)
class Piston:
    """A piston at a crank angle, exactly and by two terms. tilt: of the rod from the cylinder's axis, degrees.

    speeds and accelerations are for a crank pin that goes round at 1 m/s where no speed was given.
    """

    angle: float
    crank: float
    rod: float
    tilt: float
    exact: Motion
    by_two_terms: Motion
    place: Quantity
    speed: Quantity | None
    acceleration: Quantity | None
    working: Working


def piston_at(stroke: Quantity, rod: Quantity, angle: float, speed: object | None = None) -> Piston:
    """Return where a piston stands at a crank angle, and with the crank's speed (rev/min) how it moves there.

    rod: from the crank pin's centre to the piston pin's. angle: degrees of the crank past the piston's top, −360 to
    360. The piston's axis meets the crank's. ValueError for a rod that is no longer than the crank.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> piston = piston_at(Q(40, "mm"), Q(80, "mm"), 90)
    >>> round(piston.place.magnitude, 4), round(piston.by_two_terms.place, 4)
    (22.5403, 22.5)
    """
    crank, long = amount(stroke, LENGTH, _("stroke")) / 2, amount(rod, LENGTH, _("rod"))
    if long <= crank:
        raise ValueError(_("The rod must be longer than the crank, which is half the stroke, or it cannot go round."))
    at = degrees(angle, _("crank angle"), -360, 360) % 360
    turns = None if speed is None else turns_a_minute(speed, _("speed of the crank"))
    pin = 1.0 if turns is None else 2 * math.pi * crank * turns / 60_000
    exact, rough = exact_motion(crank, long, at, pin), two_term_motion(crank, long, at, pin)
    tilt = math.degrees(math.asin(crank / long * math.sin(math.radians(at))))
    sums = WorkingBuilder(_("Piston at a crank angle"), stroke)
    place = _write_place(sums, (crank, long, at), exact, rough)
    if turns is None:
        return Piston(at, crank, long, tilt, exact, rough, place, None, None, sums.working())
    moves, pushed = _write_motion(sums, (crank, long, at, tilt, turns), exact, rough)
    return Piston(at, crank, long, tilt, exact, rough, place, moves, pushed, sums.working())


def exact_motion(crank: float, rod: float, angle: float, pin: float) -> Motion:
    """The piston's motion without any approximation; lengths in mm, angle in degrees, pin: its speed in m/s."""
    turned, share = math.radians(angle), crank / rod
    sine, cosine = math.sin(turned), math.cos(turned)
    upright = math.sqrt(1 - (share * sine) ** 2)
    lean = share * sine / upright
    place = crank * (1 - cosine) + rod * (1 - upright)
    push = cosine - sine * lean + share * cosine**2 / upright**3
    return Motion(place, pin * (sine + cosine * lean), pin**2 * 1000 / crank * push)


def two_term_motion(crank: float, rod: float, angle: float, pin: float) -> Motion:
    """The piston's motion by the two-term approximation; units as `exact_motion`."""
    turned, share = math.radians(angle), crank / rod
    place = crank * (1 - math.cos(turned) + share / 4 * (1 - math.cos(2 * turned)))
    speed = pin * (math.sin(turned) + share / 2 * math.sin(2 * turned))
    return Motion(place, speed, pin**2 * 1000 / crank * (math.cos(turned) + share * math.cos(2 * turned)))


def _write_place(sums: WorkingBuilder, given: tuple[float, float, float], exact: Motion, rough: Motion) -> Quantity:
    """The lines of the place; given: crank and rod in mm, angle in degrees."""
    crank, long, at = given
    r, rod = sums.show(crank, "length"), sums.show(long, "length")
    sums.line("r", _("stroke ÷ 2"), f"{sums.show(2 * crank, 'length')} ÷ 2", crank, "length")
    sums.given("l", _("rod, from centre to centre"), long, "length")
    sums.given("θ", _("crank past the top"), at, "angle")
    a, b = format_in_full(at), format_in_full(2 * at)
    numbers = f"{r} × (1 − cos({a}°)) + {rod} × (1 − √(1 − ({r} × sin({a}°) ÷ {rod})²))"
    place = sums.line("x", "r·(1 − cos θ) + l·(1 − √(1 − (r·sin θ ÷ l)²))", numbers, exact.place, "length")
    numbers = f"{r} × (1 − cos({a}°)) + {r}² ÷ (4 × {rod}) × (1 − cos({b}°))"
    formula = _("r·(1 − cos θ) + r² ÷ 4l·(1 − cos 2θ), by two terms,")
    sums.line("x", formula, numbers, rough.place, "length")
    return place


def _write_motion(
    sums: WorkingBuilder, given: tuple[float, float, float, float, float], exact: Motion, rough: Motion
) -> tuple[Quantity, Quantity]:
    """The lines of speed and acceleration; given: crank and rod in mm, angle and tilt in degrees, rev/min."""
    crank, long, at, tilt, turns = given
    a, b, p = (format_in_full(one) for one in (at, 2 * at, tilt))
    r, rod, n = sums.show(crank, "length"), sums.show(long, "length"), format_in_full(turns)
    sums.given("n", _("speed of the crank"), turns, "turns")
    per, to_push = ("12", "12 ÷ 60²") if sums.inch else ("60000", "1000")
    pin = 2 * math.pi * crank * turns / 60_000
    sums.line("u", _("2π·r·n ÷ {per}, of the crank pin,", per=per), f"2 × π × {r} × {n} ÷ {per}", pin, "piston speed")
    u = sums.show(pin, "piston speed")
    sums.line("ψ", _("arcsin(r·sin θ ÷ l), the tilt of the rod,"), f"arcsin({r} × sin({a}°) ÷ {rod})", tilt, "angle")
    numbers = f"{u} × (sin({a}°) + cos({a}°) × tan({p}°))"
    speed = sums.line("v", "u·(sin θ + cos θ·tan ψ)", numbers, exact.speed, "piston speed")
    numbers = f"{u} × (sin({a}°) + {r} ÷ (2 × {rod}) × sin({b}°))"
    sums.line("v", _("u·(sin θ + r ÷ 2l·sin 2θ), by two terms,"), numbers, rough.speed, "piston speed")
    whole = f"{u}² × {to_push} ÷ {r}"
    numbers = f"{whole} × (cos({a}°) − sin({a}°) × tan({p}°) + {r} ÷ {rod} × cos({a}°)² ÷ cos({p}°)³)"
    formula = "(u² ÷ r)·(cos θ − sin θ·tan ψ + (r ÷ l)·(cos θ)² ÷ (cos ψ)³)"
    push = sums.line("a", formula, numbers, exact.acceleration, "acceleration")
    numbers = f"{whole} × (cos({a}°) + {r} ÷ {rod} × cos({b}°))"
    sums.line("a", _("(u² ÷ r)·(cos θ + r ÷ l·cos 2θ), by two terms,"), numbers, rough.acceleration, "acceleration")
    return speed, push
