"""A hot-air engine with a displacer and a power piston: its volumes by crank angle, and how much it squeezes the air.

Both are taken to move as a crank with a very long rod moves them. θ counts from the power piston's innermost place; the
displacer leads it by φ, and at θ + φ = 0 it fills the hot end: hot = ½·D·(1 − cos(θ + φ)), cold = ½·D·(1 + cos(θ + φ)),
and the power cylinder adds ½·P·(1 − cos θ) to the cold side. D and P are what the two sweep. Derived; a lead of about
90° is common practice.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.messages import _
from calcs.shop.scaling import swept_volume
from calcs.units.argument_checks import Quantity, amount, degrees
from calcs.units.kinds import LENGTH, VOLUME
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working


@dataclass(frozen=True)
class AirSpaces:
    """The air at one crank angle, in mm³: in the hot end, in the cold end, in the power cylinder, and in all."""

    angle: float
    hot: float
    cold: float
    power: float
    whole: float


@dataclass(frozen=True)
class HotAirEngine:
    """A hot-air engine. displacer, piston, dead: what the two sweep and what neither reaches, in mm³.

    compression: most air space ÷ least.
    """

    displacer: float
    piston: float
    dead: float
    lead: float
    compression: float
    now: AirSpaces
    working: Working

    def spaces(self, angle: float) -> AirSpaces:
        """The air at a crank angle past the power piston's innermost place, in degrees."""
        turned, moved = math.radians(angle), math.radians(angle + self.lead)
        hot = self.displacer / 2 * (1 - math.cos(moved))
        cold = self.displacer / 2 * (1 + math.cos(moved))
        power = self.piston / 2 * (1 - math.cos(turned))
        return AirSpaces(angle, hot, cold, power, hot + cold + power + self.dead)


def hot_air_engine(
    displacer: tuple[Quantity, Quantity],
    piston: tuple[Quantity, Quantity],
    angle: float,
    lead: float = 90.0,
    dead: Quantity | None = None,
) -> HotAirEngine:
    """Return the air spaces of a hot-air engine at a crank angle.

    displacer, piston: bore and stroke of each. lead: degrees by which the displacer is ahead, 0 to 180. dead: the air
    that neither sweeps (round the displacer, in passages and clearances), none where left out.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> engine = hot_air_engine((Q(20, "mm"), Q(20, "mm")), (Q(20, "mm"), Q(10, "mm")), 0)
    >>> engine.compression, round(engine.now.hot / engine.displacer, 6)
    (1.5, 0.5)
    """
    at, ahead = degrees(angle, _("crank angle"), -360, 360) % 360, degrees(lead, _("lead"), 0, 180)
    moved, pushed = (amount(swept_volume(*one).value, VOLUME, _("swept volume")) for one in (displacer, piston))
    left = 0.0 if dead is None else amount(dead, VOLUME, _("dead space"), zero=True)
    compression = (left + moved + pushed) / (left + moved)
    bare = HotAirEngine(moved, pushed, left, ahead, compression, AirSpaces(at, 0, 0, 0, 0), Working(""))
    sums = WorkingBuilder(_("Air spaces of a hot-air engine"), displacer[0])
    _write(sums, (displacer, piston), bare, now := bare.spaces(at))
    return HotAirEngine(moved, pushed, left, ahead, compression, now, sums.working())


def _write(
    sums: WorkingBuilder, sizes: tuple[tuple[Quantity, Quantity], ...], engine: HotAirEngine, now: AirSpaces
) -> None:
    per = "" if sums.inch else " ÷ 1000"
    for symbol, (bore, stroke), swept in zip("DP", sizes, (engine.displacer, engine.piston), strict=True):
        across, long = (sums.show(amount(one, LENGTH, _("size")), "length") for one in (bore, stroke))
        formula = _("(π ÷ 4)·bore²·stroke") + per
        sums.line(symbol, formula, f"π ÷ 4 × {across}² × {long}{per}", swept, "volume")
    d, p, left = (sums.show(one, "volume") for one in (engine.displacer, engine.piston, engine.dead))
    sums.given("θ", _("crank past the power piston's innermost place"), now.angle, "angle")
    sums.given("φ", _("lead of the displacer"), engine.lead, "angle")
    t, f = format_in_full(now.angle), format_in_full(now.angle + engine.lead)
    sums.line(_("hot end"), "½·D·(1 − cos(θ + φ))", f"{d} ÷ 2 × (1 − cos({f}°))", now.hot, "volume")
    sums.line(_("cold end"), "½·D·(1 + cos(θ + φ))", f"{d} ÷ 2 × (1 + cos({f}°))", now.cold, "volume")
    sums.line(_("power cylinder"), "½·P·(1 − cos θ)", f"{p} ÷ 2 × (1 − cos({t}°))", now.power, "volume")
    parts = " + ".join(sums.show(one, "volume") for one in (now.hot, now.cold, now.power, engine.dead))
    sums.line(_("all the air"), _("hot + cold + power + dead"), parts, now.whole, "volume")
    numbers = f"({left} + {d} + {p}) ÷ ({left} + {d})"
    formula = _("(dead + D + P) ÷ (dead + D)")
    sums.line(_("compression ratio"), formula, numbers, engine.compression, "number")
