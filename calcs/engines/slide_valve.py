"""A plain slide valve with outside admission: what its lap and lead make of the steam.

The valve stands t·sin(θ + δ) from its middle, t half its travel, θ the crank past the dead centre, δ the angle of
advance (common practice; the tilt of the eccentric's long rod is left out). Steam comes in while that is more than the
steam lap, goes out while it is less than minus the exhaust lap. At the dead centre the port is open by the lead:
sin δ = (lap + lead) ÷ t.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.engines.slider_crank import exact_motion
from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, ratio
from calcs.units.kinds import LENGTH
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working


@dataclass(frozen=True)
class SlideValve:
    """Events of one end of the cylinder, in degrees of the crank past that end's dead centre.

    advance: of the eccentric beyond a right angle ahead of the crank. admission may lie before the dead centre (below
    zero). share: of the stroke made by the piston at the cut-off, by a rod that never tilts; outward and inward: the
    same at either end with the rod that was given, or None. opening: the most that the port is opened.
    """

    advance: float
    admission: float
    cut_off: float
    release: float
    compression: float
    share: float
    outward: float | None
    inward: float | None
    opening: Quantity
    working: Working


def slide_valve(
    travel: Quantity, lap: Quantity, lead: Quantity, exhaust_lap: Quantity | None = None, rods: float | None = None
) -> SlideValve:
    """Return the angle of advance and the four events of a slide valve.

    lap: by which the valve covers the steam port beyond its edge in the middle. exhaust_lap: the same inside, none
    where left out. rods: length of the connecting rod in cranks, 1.5 to 100. ValueError where the valve never opens.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> valve = slide_valve(Q(10, "mm"), Q(2, "mm"), Q(0.5, "mm"))
    >>> round(valve.advance, 3), round(valve.cut_off, 3)
    (30.0, 126.422)
    """
    half = amount(travel, LENGTH, _("travel of the valve")) / 2
    covers, open_by = amount(lap, LENGTH, _("lap"), zero=True), amount(lead, LENGTH, _("lead"), zero=True)
    inside = 0.0 if exhaust_lap is None else amount(exhaust_lap, LENGTH, _("exhaust lap"), zero=True)
    if covers + open_by >= half or inside >= half:
        raise ValueError(_("Lap and lead together must be less than half the travel, or the port never opens so far."))
    advance = math.degrees(math.asin((covers + open_by) / half))
    steam, exhaust = (math.degrees(math.asin(one / half)) for one in (covers, inside))
    cut_off = 180 - advance - steam
    ends: tuple[float | None, float | None] = (None, None)
    if rods is not None:
        long = ratio(rods, _("length of the rod in cranks"), 1.5, 100)
        ends = share_of_stroke(cut_off, long), 1 - share_of_stroke(cut_off + 180, long)
    sums = WorkingBuilder(_("Slide valve"), travel)
    share = share_of_stroke(cut_off)
    opening = _write(sums, (half, covers, open_by, inside), (advance, steam, exhaust), share)
    release, compression = 180 - advance + exhaust, 360 - advance - exhaust
    return SlideValve(advance, steam - advance, cut_off, release, compression, share, *ends, opening, sums.working())


@dataclass(frozen=True)
class LapForCutOff:
    """The steam lap that cuts off where it was asked, and the angle of advance in degrees that goes with it."""

    lap: Quantity
    advance: float
    working: Working


def lap_for_cut_off(travel: Quantity, share: float, lead: Quantity) -> LapForCutOff:
    """Return the lap and the angle of advance of a valve that cuts off at a share of the stroke, 0.05 to 0.99.

    The rod is taken never to tilt. From δ + σ = 180° − cut-off and t·(sin δ − sin σ) = lead. ValueError where no lap
    gives such a cut-off with that lead.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> found = lap_for_cut_off(Q(10, "mm"), 0.75, Q(0, "mm"))
    >>> round(found.lap.magnitude, 6), round(found.advance, 6)
    (2.5, 30.0)
    """
    half = amount(travel, LENGTH, _("travel of the valve")) / 2
    open_by, made = amount(lead, LENGTH, _("lead"), zero=True), ratio(share, _("cut-off"), 0.05, 0.99)
    cut_off = math.degrees(math.acos(1 - 2 * made))
    middle = (180 - cut_off) / 2
    over = open_by / (2 * half * math.cos(math.radians(middle)))
    spread = math.degrees(math.asin(min(over, 1.0)))
    if over > 1 or spread > middle:
        raise ValueError(_("With so much lead no lap cuts off so late: give it less lead or an earlier cut-off."))
    sums = WorkingBuilder(_("Lap for a cut-off"), travel)
    t, i, m = sums.show(half, "length"), sums.show(open_by, "length"), format_in_full(middle)
    sums.line("t", _("travel ÷ 2"), f"{sums.show(2 * half, 'length')} ÷ 2", half, "length")
    numbers = f"arccos(1 − 2 × {format_in_full(made)})"
    sums.line(_("cut-off"), _("arccos(1 − 2 × share of the stroke)"), numbers, cut_off, "angle")
    sums.line("μ", _("(180° − cut-off) ÷ 2"), f"(180 − {format_in_full(cut_off)}) ÷ 2", middle, "angle")
    numbers = f"arcsin({i} ÷ (2 × {t} × cos({m}°)))"
    sums.line("ν", _("arcsin(lead ÷ (2·t·cos μ))"), numbers, spread, "angle")
    n = format_in_full(spread)
    sums.line("δ", _("μ + ν, the advance,"), f"{m} + {n}", middle + spread, "angle")
    lap = half * math.sin(math.radians(middle - spread))
    found = sums.line(_("lap"), "t·sin(μ − ν)", f"{t} × sin({format_in_full(middle - spread)}°)", lap, "length")
    return LapForCutOff(found, middle + spread, sums.working())


def share_of_stroke(angle: float, rods: float | None = None) -> float:
    """How much of the stroke is made at a crank angle past the top; `rods` as for `slide_valve`, None for no tilt.

    >>> share_of_stroke(90), round(share_of_stroke(90, 4), 4)
    (0.5, 0.5635)
    """
    if rods is None:
        return (1 - round(math.cos(math.radians(angle)), 15)) / 2
    return exact_motion(1.0, rods, angle, 1.0).place / 2


def _write(
    sums: WorkingBuilder, sizes: tuple[float, float, float, float], angles: tuple[float, float, float], share: float
) -> Quantity:
    """The lines; sizes: half travel, lap, lead and exhaust lap in mm; angles: δ, σ and ε in degrees."""
    half, covers = sizes[:2]
    t, e, i, x = (sums.show(one, "length") for one in sizes)
    d, s, o = (format_in_full(one) for one in angles)
    sums.line("t", _("travel ÷ 2"), f"{sums.show(2 * half, 'length')} ÷ 2", half, "length")
    sums.line("δ", _("arcsin((lap + lead) ÷ t), the advance,"), f"arcsin(({e} + {i}) ÷ {t})", angles[0], "angle")
    sums.line("σ", _("arcsin(lap ÷ t)"), f"arcsin({e} ÷ {t})", angles[1], "angle")
    sums.line("ε", _("arcsin(exhaust lap ÷ t)"), f"arcsin({x} ÷ {t})", angles[2], "angle")
    cut_off = 180 - angles[0] - angles[1]
    sums.line(_("admission"), "σ − δ", f"{s} − {d}", angles[1] - angles[0], "angle")
    sums.line(_("cut-off"), "180° − δ − σ", f"180 − {d} − {s}", cut_off, "angle")
    sums.line(_("release"), "180° − δ + ε", f"180 − {d} + {o}", 180 - angles[0] + angles[2], "angle")
    sums.line(_("compression"), "360° − δ − ε", f"360 − {d} − {o}", 360 - angles[0] - angles[2], "angle")
    numbers = f"100 × (1 − cos({format_in_full(cut_off)}°)) ÷ 2"
    sums.line(_("share of the stroke"), _("(1 − cos(cut-off)) ÷ 2, with no tilt,"), numbers, share * 100, "per cent")
    return sums.line(_("widest opening"), _("t − lap"), f"{t} − {e}", half - covers, "length")
