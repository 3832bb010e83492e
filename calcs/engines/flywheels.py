"""A flywheel: what it holds at a speed, what it gives while it slows a little, and what pulls at its rim.

Inertia m·(D² + d²) ÷ 8 of a plain disc or ring, energy ½·J·ω², energy of a swing J·ω²·c, with c the whole swing of the
speed ÷ the speed; stress of a thin ring that goes round freely σ = ρ·v². Textbook mechanics (derived; the tests do each
by another way). Like any wall under pressure, a rim is never shown without its caution.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.messages import _, gettext_noop
from calcs.shop.cautions import NO_ASSESSMENT, Caution, Cautions
from calcs.shop.stock import mass, round_bar, tube
from calcs.units.argument_checks import Quantity, amount, ratio, turns_a_minute
from calcs.units.kinds import DENSITY, LENGTH, MASS
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working

BURSTING = gettext_noop(
    "A flywheel that bursts throws its pieces through guards and walls. Spokes, joints, keyways, holes, bolts, casting "
    "flaws and cracks weaken it, and none of them is in a sum of a plain ring."
)
WHO_DECIDES = gettext_noop(
    "How fast a wheel may turn is decided by its maker's figure, the rules where you are and whoever is qualified to "
    "inspect it. Stand out of its plane, guard it, and see that nothing can overspeed it."
)


@dataclass(frozen=True)
class Flywheel:
    """A plain disc or ring at a speed. mass with its unit; inertia in kg·m²; energy and given: in joules.

    given: what it gives while its speed swings by the share asked about.
    """

    mass: Quantity
    inertia: float
    energy: float
    given: float
    workings: tuple[Working, ...]


@dataclass(frozen=True)
class Rim:
    """A thin rim at a speed. cautions: shown above the figures; without them there is no Rim. stress in MPa."""

    cautions: Cautions
    speed: Quantity
    stress: float
    working: Working

    def __post_init__(self) -> None:
        if not self.cautions.cautions or _(WHO_DECIDES) not in self.cautions.always:
            raise ValueError(_("The caution about bursting is missing, so there is no figure."))


def flywheel(
    outside: Quantity, width: Quantity, density: Quantity, speed: object, swing: float, inside: Quantity | None = None
) -> Flywheel:
    """Return the mass, the inertia and the energy of a plain disc, or of a rim where `inside` is given.

    speed: rev/min. swing: from the slowest to the fastest, in per cent of the speed, 0.01 to 100. Spokes and boss of a
    rim are left out.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> wheel = flywheel(Q(200, "mm"), Q(20, "mm"), Q(7850, "kg/m**3"), 600, 5)
    >>> round(wheel.mass.magnitude, 4), round(wheel.energy, 2)
    (4.9323, 48.68)
    """
    section = round_bar(outside) if inside is None else tube(outside, inner=inside)
    out = amount(outside, LENGTH, _("outside diameter"))
    into = 0.0 if inside is None else amount(inside, LENGTH, _("inside of the rim"), zero=True)
    turns, share = turns_a_minute(speed, _("speed of the wheel")), ratio(swing, _("swing of the speed"), 0.01, 100)
    heavy = mass(section, width, density)
    kilograms = amount(heavy.value, MASS, _("mass"))
    inertia = kilograms * (out**2 + into**2) / 8e6
    round_speed = 2 * math.pi * turns / 60
    energy = inertia * round_speed**2 / 2
    sums = WorkingBuilder(_("Energy of a flywheel"), outside)
    _write(sums, (out, into, kilograms, turns, share), inertia)
    return Flywheel(heavy.value, inertia, energy, 2 * energy * share / 100, (heavy.working, sums.working()))


def _write(sums: WorkingBuilder, given: tuple[float, float, float, float, float], inertia: float) -> None:
    """The lines; given: diameters in mm, mass in kg, rev/min and the swing in per cent."""
    out, into, heavy, turns, share = given
    weight, across, bored = sums.show(heavy, "mass"), sums.show(out, "length"), sums.show(into, "length")
    per = "12²" if sums.inch else "1000²"
    numbers = f"{weight} × ({across}² + {bored}²) ÷ (8 × {per})"
    sums.line("J", f"m·(D² + d²) ÷ (8 × {per})", numbers, inertia, "inertia")
    n = format_in_full(turns)
    round_speed = 2 * math.pi * turns / 60
    sums.line("ω", _("2π·n ÷ 60, radians a second,"), f"2 × π × {n} ÷ 60", round_speed, "number")
    j, w = sums.show(inertia, "inertia"), format_in_full(round_speed)
    # Pounds weigh: a foot-pound of work is so many pounds and feet a second squared.
    gravity = format_in_full(9.80665 / 0.3048)
    weighs = f" ÷ {gravity}" if sums.inch else ""
    energy = inertia * round_speed**2 / 2
    sums.line("E", "½·J·ω²" + (" ÷ g" if sums.inch else ""), f"{j} × {w}² ÷ 2{weighs}", energy, "work")
    numbers = f"2 × {sums.show(energy, 'work')} × {format_in_full(share)} ÷ 100"
    sums.line(_("given in a swing"), _("2·E × swing, in per cent, ÷ 100"), numbers, 2 * energy * share / 100, "work")


def rim_stress(diameter: Quantity, density: Quantity, speed: object) -> Rim:
    """Return the speed and the stress of a thin rim that goes round at so many rev/min, under its caution.

    diameter: to the middle of the rim; with the outside the figure is on the high side.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(rim_stress(Q(1, "m"), Q(7200, "kg/m**3"), 600).stress, 3)
    7.106
    """
    across, turns = amount(diameter, LENGTH, _("diameter")), turns_a_minute(speed, _("speed of the wheel"))
    dense = amount(density, DENSITY, _("density"))
    fast = math.pi * across * turns / 60_000
    sums = WorkingBuilder(_("Stress of a plain rim"), diameter)
    sums.given("D", _("diameter"), across, "length")
    sums.given("n", _("speed of the wheel"), turns, "turns")
    _write_density(sums, dense)
    per = "12" if sums.inch else "60000"
    numbers = f"π × {sums.show(across, 'length')} × {format_in_full(turns)} ÷ {per}"
    speed_of_rim = sums.line("v", f"π·D·n ÷ {per}", numbers, fast, "piston speed")
    # The stress is in MPa in both systems, so the sum is done in metres a second.
    if sums.inch:
        feet = sums.show(fast, "piston speed")
        sums.line("v", _("in m/s: v × 0.3048 ÷ 60"), f"{feet} × 0.3048 ÷ 60", fast, "number")
    numbers = f"{format_in_full(dense)} × {format_in_full(fast)}² ÷ 1000000"
    stress = dense * fast**2 / 1e6
    sums.line("σ", _("ρ·v² ÷ 1,000,000, ρ in kg/m³,"), numbers, stress, "stress")
    bursting = Caution("flywheels", _(BURSTING), _("common practice"), "seen")
    return Rim(Cautions((bursting,), (_(WHO_DECIDES), _(NO_ASSESSMENT))), speed_of_rim, stress, sums.working())


def _write_density(sums: WorkingBuilder, dense: float) -> None:
    """The density in kg/m³, in which the sum is done."""
    sums.given("ρ", _("density"), dense, "density")
    if sums.inch:
        factor = format_in_full(sums.unit("density").factor)
        numbers = f"{sums.show(dense, 'density')} × {factor}"
        sums.line("ρ", _("in kg/m³"), numbers, dense, "number")


def turns_of_energy(energy: float, power: Quantity, speed: object) -> float:
    """How many turns a power makes of an energy (joules) at a speed.

    >>> from calcs.units.registry import registry
    >>> turns_of_energy(10, registry().Quantity(100, "watt"), 600)
    1.0
    """
    watts = float(power.to("watt").magnitude)
    return energy * turns_a_minute(speed, _("speed of the wheel")) / (60 * watts)
