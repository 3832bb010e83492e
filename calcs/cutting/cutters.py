"""A milling cutter at work: how it turns and feeds, its lead-in, and the lines that every kind of milling shares.

Sources: [1] lead-in of a cutter cutting with its circumference = √(d·(D − d)). [2] of a cutter that faces a strip:
from its first touch until it cuts the whole width, √(R² − near²) − √(R² − far²), which is ½·(D − √(D² − w²)) when
it stands over the middle and ½·D at full width: geometry of the circle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.cutting.passes import Passes, Way, back_line, time_line, travel_line
from calcs.cutting.power import NO_LOAD, finished, load_lines
from calcs.cutting.results import Cut, Machine
from calcs.cutting.speeds import Spin, feed_rate_line, spin
from calcs.units.argument_checks import Quantity, amount, count
from calcs.units.kinds import FEED
from calcs.working.builder import WorkingBuilder


@dataclass(frozen=True)
class Tool:
    """A cutter at work: its diameter in mm, how it spins, its rate of feed in mm/min and as a quantity."""

    across: float
    spun: Spin
    rate: float
    feed_rate: Quantity


def tool_line(
    sums: WorkingBuilder,
    across: float,
    teeth: int,
    feed_per_tooth: Quantity,
    cutting_speed: Quantity | None,
    spindle_speed: Quantity | float | None,
    machine: Machine | None,
) -> Tool:
    spun = spin(sums, across, cutting_speed, spindle_speed, machine, "diameter of the cutter")
    number = count(teeth, "number of teeth", 1000)
    rate, feed_rate = feed_rate_line(sums, amount(feed_per_tooth, FEED, "feed for each tooth"), spun.turns, number)
    return Tool(across, spun, rate, feed_rate)


def mill(
    sums: WorkingBuilder, tool: Tool, long: float, lead: float, wide: float, done: Passes, way: Way, plunge: float = 0.0
) -> Cut:
    """Write down load, travel and time of passes that are `long` mm each; `plunge`: minutes before each pass."""
    load = NO_LOAD
    if wide and done.depth:
        rate, removal = removal_line(sums, wide, done.depth, tool.rate)
        load = load_lines(sums, removal, rate, way.specific_energy, tool.spun.turns, way.machine)
    travel = travel_line(sums, long, way.approach, way.overtravel, lead)
    extra = back_line(sums, way.return_time) + plunge
    time = time_line(sums, travel, tool.rate, done.number, extra, "plunge and return" if plunge else "return")
    return finished(sums, time, tool.spun, tool.feed_rate, load, done.number)


def removal_line(sums: WorkingBuilder, wide: float, deep: float, rate: float) -> tuple[float, Quantity]:
    numbers = " × ".join((sums.show(wide, "length"), sums.show(deep, "length"), sums.show(rate, "feed rate")))
    return wide * deep * rate, sums.removal("w·d·vf", numbers, wide * deep * rate)


def peripheral_line(sums: WorkingBuilder, across: float, deep: float) -> tuple[float, Quantity]:
    if 2 * deep > across * (1 + 1e-9):
        raise ValueError(
            "The depth of cut is more than the radius of the cutter. Reckon it as face milling of that width."
        )
    long = math.sqrt(deep * (across - deep))
    d, whole = sums.show(deep, "length"), sums.show(across, "length")
    value = sums.line("lead-in", "√(d·(D − d))", f"√({d} × ({whole} − {d}))", long, "length", "geometry of the circle")
    return long, value


def face_line(sums: WorkingBuilder, across: float, strip: float, offset: float) -> float:
    """Write down the lead-in over a strip in mm, the cutter's axis `offset` from its middle."""
    radius, far, near = across / 2, strip / 2 + offset, max(0.0, offset - strip / 2)
    if far > radius * (1 + 1e-9):
        raise ValueError("The cutter does not cover the width there. Take a larger cutter, less offset, or a stepover.")
    inside = math.sqrt(max(0.0, radius**2 - far**2))
    long = math.sqrt(radius**2 - near**2) - inside
    whole, wide = sums.show(across, "length"), sums.show(strip, "length")
    if offset == 0:
        formula, numbers = "½·(D − √(D² − w²))", f"({whole} − √({whole}² − {wide}²)) ÷ 2"
    else:
        r, a, b = (sums.show(size, "length") for size in (radius, near, far))
        formula, numbers = "√(R² − near²) − √(R² − far²)", f"√({r}² − {a}²) − √({r}² − {b}²)"
    sums.line("lead-in", formula, numbers, long, "length", "geometry of the circle")
    return long
