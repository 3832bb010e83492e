"""Time at the lathe with a tool that travels across the work: facing and parting.

Sources: [1] at a constant spindle speed t = (Do − Di) ÷ (2·f·N). [2] at a constant surface speed the spindle gets
faster as the diameter shrinks: t = π·(Do² − Di²) ÷ (4·f·V), the integral of [1]; once the spindle is at its highest
speed it goes on at that, by [1].
"""

from __future__ import annotations

import math
from typing import Literal

from calcs.cutting.passes import Passes, back_line, count_passes, time_of_passes
from calcs.cutting.power import NO_LOAD, Load, load_lines, make_cut
from calcs.cutting.results import Cut
from calcs.cutting.set_up import ONE_PASS, Depths, Machine, SetUp
from calcs.cutting.speeds import Spin, hold, in_large, spin, turns_line
from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, optional
from calcs.units.kinds import FEED, LENGTH, SPEED
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full

Constant = Literal["spindle speed", "surface speed"]


def facing(
    diameter: Quantity,
    feed: Quantity,
    set_up: SetUp,
    depths: Depths = ONE_PASS,
    *,
    inner: Quantity | None = None,
    constant: Constant = "spindle speed",
) -> Cut:
    """Return the time to face work from its outer diameter to the centre, or to `inner` where it is hollow.

    constant: which speed stays the same on the way in; "surface speed" needs a cutting speed and a spindle that can
    follow (a machine with a range, or none named). Formulas [1] and [2]. Depths are along the axis.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = facing(Q(60, "mm"), Q(0.7, "mm"), SetUp(spindle_speed=600), inner=Q(30, "mm"))
    >>> round(cut.minutes * 60, 2)
    2.14
    """
    if constant not in ("spindle speed", "surface speed"):
        raise ValueError(_('What stays constant is either the "spindle speed" or the "surface speed".'))
    sums = WorkingBuilder(_("Facing"), diameter)
    out, into = _diameters(diameter, inner)
    done, each = count_passes(sums, depths), amount(feed, FEED, _("feed"))
    if constant == "spindle speed":
        return _across(sums, set_up, out, into, done, spin(sums, set_up, out, each, _("outer diameter")))
    if set_up.spindle_speed is not None or set_up.cutting_speed is None:
        raise ValueError(_("A constant surface speed is a cutting speed: give that, and no spindle speed."))
    return _at_surface_speed(sums, set_up, out, into, done, each)


def parting(
    diameter: Quantity, feed: Quantity, set_up: SetUp, *, inner: Quantity | None = None, blade: Quantity | None = None
) -> Cut:
    """Return the time to part work off, to the centre or into the bore `inner`, at one spindle speed. Formula [1].

    blade: width of the tool; with it the removal rate and the power at the outside are known.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> parting(Q(1, "in"), Q(0.002, "in"), SetUp(spindle_speed=250)).minutes
    1.0
    """
    sums = WorkingBuilder(_("Parting off"), diameter)
    out, into = _diameters(diameter, inner)
    wide = optional(blade, LENGTH, _("width of the blade"))
    spun = spin(sums, set_up, out, amount(feed, FEED, _("feed")))
    return _across(sums, set_up, out, into, Passes(1, wide, wide), spun)


def _diameters(outer: Quantity, inner: Quantity | None) -> tuple[float, float]:
    out, into = amount(outer, LENGTH, _("outer diameter")), optional(inner, LENGTH, _("inner diameter"))
    if into >= out:
        raise ValueError(_("The inner diameter is not smaller than the outer one, so there is nothing to cut."))
    return out, into


def _across(sums: WorkingBuilder, set_up: SetUp, out: float, into: float, done: Passes, spun: Spin) -> Cut:
    """One spindle speed all the way; the depth of `done` is the width of the chip in mm, 0 where it is not known."""
    load = NO_LOAD
    if into:
        sums.given("Di", _("inner diameter"), into, "length")
        numbers = f"({sums.show(out, 'length')} − {sums.show(into, 'length')}) ÷ 2"
        sums.line(_("radius"), "(D − Di) ÷ 2", numbers, (out - into) / 2, "length")
    if done.depth:
        sizes = f"{sums.show(out, 'length')} × {sums.show(done.depth, 'length')}"
        numbers, cubic = f"π × {sizes} × {sums.show(spun.rate, 'feed rate')}", math.pi * out * done.depth * spun.rate
        load = load_lines(sums, set_up, spun.turns, "π·D·d·vf", numbers, cubic, _("at the outside"))
    time = time_of_passes(sums, set_up, (out - into) / 2, spun.rate, done.number)
    return make_cut(sums, time, spun, load, done.number)


def _at_surface_speed(sums: WorkingBuilder, set_up: SetUp, out: float, into: float, done: Passes, feed: float) -> Cut:
    speed = amount(set_up.cutting_speed, SPEED, _("cutting speed"))
    top, bottom = _limits(set_up.machine)
    sums.given("D", _("outer diameter"), out, "length")
    if into:
        sums.given("Di", _("inner diameter"), into, "length")
    sums.given("V", _("surface speed, kept constant"), speed, "speed")
    wanted, spindle = turns_line(sums, speed, out, outside=True)
    start, spindle, much = hold(sums, wanted, spindle, set_up.machine)
    remark = _("At the outside the machine's lowest speed is too fast by {much} %.", much=much)
    sums.given("f", _("feed for each turn"), feed, "feed")
    # Above `first` the spindle is at its lowest speed, below `last` at its highest; between them it follows.
    first = max(into, 1000 * speed / (math.pi * bottom)) if start == bottom else out
    last = min(first, max(into, 1000 * speed / (math.pi * top))) if top < math.inf else into
    parts = [_limited_line(sums, "t0", out, first, feed, bottom)] if first < out else []
    if last < first:
        parts.append(_surface_line(sums, first, last, feed, speed))
    if last > into:
        parts.append(_limited_line(sums, "t2", last, into, feed, top))
    parts += _outside_lines(sums, set_up, feed, start)
    load = _outside_load(sums, set_up, out, feed, start, done)
    formula, numbers = _("times above"), " + ".join(format_in_full(part) for part in parts)
    if done.number > 1:
        formula, numbers = _("passes × (times above)"), f"{done.number} × ({numbers})"
    time = sums.line("t", formula, numbers, done.number * sum(parts), "time")
    spun = Spin(start, speed, spindle, sums.quantity(speed, "speed"), (remark,) if much else ())
    return make_cut(sums, time, spun, load, done.number)


def _outside_load(sums: WorkingBuilder, set_up: SetUp, out: float, feed: float, turns: float, done: Passes) -> Load:
    if not done.depth:
        return NO_LOAD
    sizes = f"{sums.show(out, 'length')} × {sums.show(done.depth, 'length')} × {sums.show(feed, 'feed')}"
    numbers, cubic = f"π × {sizes} × {format_in_full(turns)}", math.pi * out * turns * feed * done.depth
    return load_lines(sums, set_up, turns, "π·D·d·f·N", numbers, cubic, _("at the outside"))


def _outside_lines(sums: WorkingBuilder, set_up: SetUp, feed: float, turns: float) -> list[float]:
    """Write down the minutes outside the work: approach and over-travel, and winding back."""
    extra = optional(set_up.approach, LENGTH, _("approach")) + optional(set_up.overtravel, LENGTH, _("over-travel"))
    if extra:
        per_turn = f"{sums.show(feed, 'feed')} × {format_in_full(turns)}"
        formula, numbers = _("(approach + over-travel) ÷ (f·N), at the outside"), sums.show(extra, "length")
        sums.line("t3", formula, f"{numbers} ÷ ({per_turn})", extra / feed / turns, "time")
    return [minutes for minutes in (extra / feed / turns, back_line(sums, set_up)) if minutes]


def _limits(machine: Machine | None) -> tuple[float, float]:
    """Highest and lowest speed of a spindle that can follow."""
    if machine is None:
        return math.inf, 0.0
    if machine.speeds:
        raise ValueError(
            _("A machine with speed steps cannot keep the surface speed constant; give its range instead.")
        )
    return machine.speed_high or math.inf, machine.speed_low or 0.0


def _surface_line(sums: WorkingBuilder, out: float, into: float, feed: float, speed: float) -> float:
    minutes, per = math.pi * (out**2 - into**2) / (4 * feed * speed * 1000), in_large(sums)
    squares = f"{sums.show(out, 'length')}² − {sums.show(into, 'length')}²"
    below = f"(4 × {sums.show(feed, 'feed')} × {sums.show(speed, 'speed')}) ÷ {per}"
    source = _("integral of dr ÷ (f·N)")
    sums.line("t1", f"π·(D² − Di²) ÷ (4·f·V) ÷ {per}", f"π × ({squares}) ÷ {below}", minutes, "time", source)
    return minutes


def _limited_line(sums: WorkingBuilder, symbol: str, out: float, into: float, feed: float, turns: float) -> float:
    """Write down the time across diameters where the spindle stays at one end of its range."""
    minutes = (out - into) / (2 * feed * turns)
    numbers = f"({sums.show(out, 'length')} − {sums.show(into, 'length')})"
    numbers += f" ÷ (2 × {sums.show(feed, 'feed')} × {format_in_full(turns)})"
    formula = (
        _("(D − Di) ÷ (2·f·N), where the spindle is at its lowest speed")
        if symbol == "t0"
        else _("(D − Di) ÷ (2·f·N), where the spindle is at its highest speed")
    )
    sums.line(symbol, formula, numbers, minutes, "time")
    return minutes
