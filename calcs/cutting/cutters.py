"""A milling cutter at work: how it turns and feeds, its lead-in, and the lines that every kind of milling shares.

Sources: [1] lead-in of a cutter cutting with its circumference = √(d·(D − d)). [2] of a cutter that faces a strip:
from its first touch until it cuts the whole width, √(R² − near²) − √(R² − far²), which is ½·(D − √(D² − w²)) when
it stands over the middle and ½·D at full width: geometry of the circle.
"""

from __future__ import annotations

import math

from calcs.cutting.passes import Passes, time_of_passes
from calcs.cutting.power import NO_LOAD, Load, load_lines, make_cut
from calcs.cutting.results import Cut
from calcs.cutting.set_up import SetUp
from calcs.cutting.speeds import Spin, spin
from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, count
from calcs.units.kinds import FEED, LENGTH
from calcs.working.builder import WorkingBuilder


def diameter_of(cutter: Quantity) -> float:
    return amount(cutter, LENGTH, _("diameter of the cutter"))


def cutter_lines(sums: WorkingBuilder, set_up: SetUp, across: float, teeth: int, feed_per_tooth: Quantity) -> Spin:
    """Write down how a cutter turns and feeds."""
    feed, number = amount(feed_per_tooth, FEED, _("feed for each tooth")), count(teeth, _("number of teeth"), 1000)
    return spin(sums, set_up, across, feed, _("diameter of the cutter"), number)


def mill(
    sums: WorkingBuilder,
    set_up: SetUp,
    spun: Spin,
    long: float,
    wide: float,
    done: Passes,
    lead: float = 0.0,
    plunge: float = 0.0,
) -> Cut:
    """Write down load, travel and time of passes that are `long` mm each; `plunge`: minutes before each pass."""
    load = milling_load(sums, set_up, spun, wide, done.depth) if wide and done.depth else NO_LOAD
    time = time_of_passes(sums, set_up, long, spun.rate, done.number, lead, plunge)
    return make_cut(sums, time, spun, load, done.number)


def milling_load(sums: WorkingBuilder, set_up: SetUp, spun: Spin, wide: float, deep: float) -> Load:
    sizes = (sums.show(wide, "length"), sums.show(deep, "length"), sums.show(spun.rate, "feed rate"))
    return load_lines(sums, set_up, spun.turns, "w·d·vf", " × ".join(sizes), wide * deep * spun.rate)


def peripheral_line(sums: WorkingBuilder, across: float, deep: float) -> float:
    """Write down the lead-in in mm of a cutter that cuts with its circumference."""
    if 2 * deep > across * (1 + 1e-9):
        raise ValueError(
            _("The depth of cut is more than the radius of the cutter. Work it out as face milling of that width.")
        )
    long = math.sqrt(deep * (across - deep))
    d, whole = sums.show(deep, "length"), sums.show(across, "length")
    _lead_in_line(sums, "√(d·(D − d))", f"√({d} × ({whole} − {d}))", long)
    return long


def face_line(sums: WorkingBuilder, across: float, strip: float, offset: float = 0.0) -> float:
    """Write down the lead-in over a strip in mm, the cutter's axis `offset` from its middle."""
    radius, far, near = across / 2, strip / 2 + offset, max(0.0, offset - strip / 2)
    if far > radius * (1 + 1e-9):
        raise ValueError(
            _("The cutter does not cover the width there. Take a larger cutter, less offset, or a stepover.")
        )
    inside = math.sqrt(max(0.0, radius**2 - far**2))
    long = math.sqrt(radius**2 - near**2) - inside
    whole, wide = sums.show(across, "length"), sums.show(strip, "length")
    if offset == 0:
        formula, numbers = "½·(D − √(D² − w²))", f"({whole} − √({whole}² − {wide}²)) ÷ 2"
    else:
        r, a, b = (sums.show(size, "length") for size in (radius, near, far))
        formula, numbers = _("√(R² − near²) − √(R² − far²)"), f"√({r}² − {a}²) − √({r}² − {b}²)"
    _lead_in_line(sums, formula, numbers, long)
    return long


def _lead_in_line(sums: WorkingBuilder, formula: str, numbers: str, long: float) -> None:
    sums.line(_("lead-in"), formula, numbers, long, "length", _("geometry of the circle"))
