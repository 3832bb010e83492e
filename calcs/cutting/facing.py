"""Time at the lathe with a tool that travels across the work: facing and parting.

Sources: [1] at a constant spindle speed t = (Do − Di) ÷ (2·f·N). [2] at a constant surface speed the spindle gets
faster as the diameter shrinks: t = π·(Do² − Di²) ÷ (4·f·V), the integral of [1]; once the spindle is at its highest
speed it goes on at that, by [1].
"""

from __future__ import annotations

import math
from typing import Literal

from calcs.cutting.passes import Passes, Way, back_line, count_passes, time_line, travel_line
from calcs.cutting.power import NO_LOAD, Load, finished, load_lines
from calcs.cutting.results import Cut, Machine
from calcs.cutting.speeds import Spin, feed_rate_line, spin, turns_for
from calcs.units.argument_checks import Quantity, amount, optional
from calcs.units.figures import format_significant
from calcs.units.kinds import FEED, LENGTH, SPEED
from calcs.working.builder import WorkingBuilder

Constant = Literal["spindle speed", "surface speed"]


def facing(
    outer: Quantity,
    feed: Quantity,
    *,
    inner: Quantity | None = None,
    cutting_speed: Quantity | None = None,
    spindle_speed: Quantity | float | None = None,
    constant: Constant = "spindle speed",
    machine: Machine | None = None,
    total_depth: Quantity | None = None,
    depth_per_pass: Quantity | None = None,
    passes: int | None = None,
    approach: Quantity | None = None,
    overtravel: Quantity | None = None,
    return_time: Quantity | None = None,
    specific_energy: Quantity | None = None,
) -> Cut:
    """Return the time to face work from its outer diameter to the centre, or to `inner` where it is hollow.

    constant: which speed stays the same on the way in; "surface speed" needs a cutting speed and a spindle that can
    follow (a machine with a range, or none named). Formulas [1] and [2]. Depths are along the axis.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = facing(Q(60, "mm"), Q(0.7, "mm"), inner=Q(30, "mm"), spindle_speed=600)
    >>> round(cut.minutes * 60, 2)
    2.14
    """
    if constant not in ("spindle speed", "surface speed"):
        raise ValueError('What stays constant is either the "spindle speed" or the "surface speed".')
    sums = WorkingBuilder("Facing", outer)
    out, into = _diameters(outer, inner)
    done = count_passes(sums, passes, total_depth, depth_per_pass)
    way = Way(approach, overtravel, return_time, specific_energy, machine)
    if constant == "surface speed":
        if spindle_speed is not None or cutting_speed is None:
            raise ValueError("A constant surface speed is a cutting speed: give that, and no spindle speed.")
        return _at_surface_speed(sums, out, into, amount(feed, FEED, "feed"), cutting_speed, done, way)
    spun = spin(sums, out, cutting_speed, spindle_speed, machine, "outer diameter")
    return _across(sums, spun, out, into, amount(feed, FEED, "feed"), done.depth, done, way)


def parting(
    diameter: Quantity,
    feed: Quantity,
    *,
    inner: Quantity | None = None,
    blade: Quantity | None = None,
    cutting_speed: Quantity | None = None,
    spindle_speed: Quantity | float | None = None,
    machine: Machine | None = None,
    approach: Quantity | None = None,
    overtravel: Quantity | None = None,
    specific_energy: Quantity | None = None,
) -> Cut:
    """Return the time to part work off, to the centre or into the bore `inner`, at one spindle speed. Formula [1].

    blade: width of the tool; with it the removal rate and the power at the outside are known.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> parting(Q(1, "in"), Q(0.002, "in"), spindle_speed=250).minutes
    1.0
    """
    sums = WorkingBuilder("Parting off", diameter)
    out, into = _diameters(diameter, inner)
    wide = optional(blade, LENGTH, "width of the blade")
    spun = spin(sums, out, cutting_speed, spindle_speed, machine)
    way = Way(approach, overtravel, None, specific_energy, machine)
    return _across(sums, spun, out, into, amount(feed, FEED, "feed"), wide, Passes(1, 0, 0), way)


def _diameters(outer: Quantity, inner: Quantity | None) -> tuple[float, float]:
    out, into = amount(outer, LENGTH, "outer diameter"), optional(inner, LENGTH, "inner diameter")
    if into >= out:
        raise ValueError("The inner diameter is not smaller than the outer one, so there is nothing to cut.")
    return out, into


def _radius_line(sums: WorkingBuilder, out: float, into: float) -> float:
    if not into:
        return out / 2
    sums.given("Di", "inner diameter", into, "length")
    numbers = f"({sums.show(out, 'length')} − {sums.show(into, 'length')}) ÷ 2"
    sums.line("radius", "(D − Di) ÷ 2", numbers, (out - into) / 2, "length")
    return (out - into) / 2


def _across(
    sums: WorkingBuilder, spun: Spin, out: float, into: float, feed: float, wide: float, done: Passes, way: Way
) -> Cut:
    """One spindle speed all the way; `wide` is the width of the chip in mm, 0 where it is not known."""
    rate, feed_rate = feed_rate_line(sums, feed, spun.turns, 1)
    load = NO_LOAD
    long = _radius_line(sums, out, into)
    if wide:
        cubic = math.pi * out * wide * rate
        numbers = f"π × {sums.show(out, 'length')} × {sums.show(wide, 'length')} × {sums.show(rate, 'feed rate')}"
        removal = sums.removal("π·D·d·vf", numbers, cubic, "at the outside")
        load = load_lines(sums, removal, cubic, way.specific_energy, spun.turns, way.machine)
    travel = travel_line(sums, long, way.approach, way.overtravel)
    time = time_line(sums, travel, rate, done.number, back_line(sums, way.return_time))
    return finished(sums, time, spun, feed_rate, load, done.number)


def _at_surface_speed(
    sums: WorkingBuilder, out: float, into: float, feed: float, cutting_speed: Quantity, done: Passes, way: Way
) -> Cut:
    speed = amount(cutting_speed, SPEED, "cutting speed")
    top, bottom = _limits(way.machine)
    sums.given("D", "outer diameter", out, "length")
    if into:
        sums.given("Di", "inner diameter", into, "length")
    sums.given("V", "surface speed, kept constant", speed, "speed")
    start, spindle, remarks = _start_line(sums, speed, out, top, bottom)
    sums.given("f", "feed for each turn", feed, "feed")
    # Above `first` the spindle is at its lowest speed, below `last` at its highest; between them it follows.
    first = max(into, 1000 * speed / (math.pi * bottom)) if start == bottom else out
    last = min(first, max(into, 1000 * speed / (math.pi * top))) if top < math.inf else into
    parts = [_limited_line(sums, "t0", out, first, feed, bottom)] if first < out else []
    if last < first:
        parts.append(_surface_line(sums, first, last, feed, speed))
    if last > into:
        parts.append(_limited_line(sums, "t2", last, into, feed, top))
    extra = optional(way.approach, LENGTH, "approach") + optional(way.overtravel, LENGTH, "over-travel")
    if extra:
        parts.append(_outside_line(sums, extra, feed, start))
    if back := back_line(sums, way.return_time):
        parts.append(back)
    load = _outside_load(sums, out, feed, start, done, way)
    numbers = " + ".join(format_significant(part) for part in parts)
    formula = "times above"
    if done.number > 1:
        formula, numbers = "passes × (times above)", f"{done.number} × ({numbers})"
    time = sums.line("t", formula, numbers, done.number * sum(parts), "time")
    spun = Spin(start, speed, spindle, sums.quantity(speed, "speed"), remarks)
    return finished(sums, time, spun, None, load, done.number)


def _outside_load(sums: WorkingBuilder, out: float, feed: float, turns: float, done: Passes, way: Way) -> Load:
    if not done.depth:
        return NO_LOAD
    cubic = math.pi * out * turns * feed * done.depth
    numbers = f"π × {sums.show(out, 'length')} × {sums.show(done.depth, 'length')} × {sums.show(feed, 'feed')}"
    removal = sums.removal("π·D·d·f·N", f"{numbers} × {format_significant(turns, 'rev/min')}", cubic, "at the outside")
    return load_lines(sums, removal, cubic, way.specific_energy, turns, way.machine)


def _start_line(
    sums: WorkingBuilder, speed: float, out: float, top: float, bottom: float
) -> tuple[float, Quantity, tuple[str, ...]]:
    """Write down how fast the spindle turns at the outside."""
    turns = turns_for(speed, out)
    per = 12 if sums.inch else 1000
    numbers = f"{per} × {sums.show(speed, 'speed')} ÷ (π × {sums.show(out, 'length')})"
    value = sums.line("N", f"{per}·V ÷ (π·D), at the outside", numbers, turns, "turns")
    if bottom <= turns <= top:
        return turns, value, ()
    if turns > top:
        return top, sums.line("N held", "the highest speed that the machine has", "", top, "turns"), ()
    much = format_significant((bottom / turns - 1) * 100)
    words = f"the lowest speed that the machine has, too fast by {much} %"
    remark = f"At the outside the machine's lowest speed is too fast by {much} %."
    return bottom, sums.line("N held", words, "", bottom, "turns"), (remark,)


def _outside_line(sums: WorkingBuilder, extra: float, feed: float, turns: float) -> float:
    numbers = f"{sums.show(extra, 'length')} ÷ ({sums.show(feed, 'feed')} × {format_significant(turns, 'rev/min')})"
    sums.line("t3", "(approach + over-travel) ÷ (f·N), at the outside", numbers, extra / feed / turns, "time")
    return extra / feed / turns


def _limits(machine: Machine | None) -> tuple[float, float]:
    """Highest and lowest speed of a spindle that can follow."""
    if machine is None:
        return math.inf, 0.0
    if machine.speeds:
        raise ValueError("A machine with speed steps cannot keep the surface speed constant; give its range instead.")
    return machine.speed_high or math.inf, machine.speed_low or 0.0


def _surface_line(sums: WorkingBuilder, out: float, into: float, feed: float, speed: float) -> float:
    minutes = math.pi * (out**2 - into**2) / (4 * feed * speed * 1000)
    squares = f"{sums.show(out, 'length')}² − {sums.show(into, 'length')}²"
    below = f"(4 × {sums.show(feed, 'feed')} × {sums.show(speed, 'speed')}) ÷ {12 if sums.inch else 1000}"
    formula = f"π·(D² − Di²) ÷ (4·f·V) ÷ {12 if sums.inch else 1000}"
    sums.line("t1", formula, f"π × ({squares}) ÷ {below}", minutes, "time", "integral of dr ÷ (f·N)")
    return minutes


def _limited_line(sums: WorkingBuilder, symbol: str, out: float, into: float, feed: float, turns: float) -> float:
    """Write down the time across diameters where the spindle stays at one end of its range."""
    minutes = (out - into) / (2 * feed * turns)
    numbers = f"({sums.show(out, 'length')} − {sums.show(into, 'length')})"
    numbers += f" ÷ (2 × {sums.show(feed, 'feed')} × {format_significant(turns, 'rev/min')})"
    end = "lowest" if symbol == "t0" else "highest"
    sums.line(symbol, f"(D − Di) ÷ (2·f·N), where the spindle is at its {end} speed", numbers, minutes, "time")
    return minutes
