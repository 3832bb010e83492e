"""Spindle speed, cutting speed and feed, and the speed held to what the machine has.

Source of the formulas: [1] V = π·D·N/1000 (metres) or π·D·N/12 (feet), feed rate = f·N, or fz·z·N for z teeth:
ISO 3002-1 and -3; the same in any machining handbook.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from calcs.cutting.set_up import Machine, SetUp
from calcs.messages import _, gettext_noop
from calcs.units.argument_checks import Quantity, amount, turns_a_minute
from calcs.units.figures import format_significant
from calcs.units.kinds import LENGTH, SPEED
from calcs.working.builder import Result, WorkingBuilder
from calcs.working.exactly_enough import format_in_full

MOST_TURNS = 1e6
HANDBOOK = "ISO 3002: V = π·D·N"

REACHED_WITHIN = 0.02
"""A speed of the machine this near to the one wanted counts as reached (common practice: a cutting speed is no better
known than that), so that 199 rev/min wanted run at the step of 200 and not at the next lower one."""

Held = Literal["as wanted", "lowest", "highest", "next lower", "within reach"]
HELD_WORDS: dict[Held, str] = {
    "lowest": gettext_noop("the lowest speed that the machine has, too fast by {much} %"),
    "highest": gettext_noop("the highest speed that the machine has"),
    "next lower": gettext_noop("the next lower speed that the machine has"),
    "within reach": gettext_noop("the speed of the machine within 2 % of it"),
}


@dataclass(frozen=True)
class Spin:
    """How a machine runs in a sum: rev/min, m/min and mm/min of feed, also as quantities, and what to say about it."""

    turns: float = 0.0
    speed: float = 0.0
    spindle_speed: Quantity | None = None
    cutting_speed: Quantity | None = None
    remarks: tuple[str, ...] = ()
    rate: float = 0.0
    feed_rate: Quantity | None = None


STILL = Spin()


def spindle_speed(cutting_speed: Quantity, diameter: Quantity, machine: Machine | None = None) -> Result:
    """Return the spindle speed in rpm for a cutting speed at a diameter, held to the machine if there is one.

    cutting_speed: length in a time; diameter: length. ValueError for anything else. Formula [1]. A machine with
    steps runs at the one that `held_speed` names; the working says by how much its lowest is too fast.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(spindle_speed(Q(50, "m/min"), Q(15, "mm")).value.magnitude)
    1061
    >>> spindle_speed(Q(60, "ft/min"), Q(5, "in"), Machine(speeds=(25, 40, 60))).value.magnitude
    40.0
    """
    across, speed = amount(diameter, LENGTH, _("diameter")), amount(cutting_speed, SPEED, _("cutting speed"))
    sums = WorkingBuilder(_("Spindle speed"), diameter, cutting_speed)
    sums.given("D", _("diameter"), across, "length")
    sums.given("V", _("cutting speed"), speed, "speed")
    _held, value, remarks = _hold_turns(sums, *turns_line(sums, speed, across), machine)
    return Result(value, sums.working(), remarks)


def spin(sums: WorkingBuilder, set_up: SetUp, across: float, feed: float, words: str = "", teeth: int = 1) -> Spin:
    """Write down how fast the spindle turns, from one of the two speeds, at what speed that cuts, and the feed.

    across: diameter in mm at which the speed is taken. feed: mm for each turn, or for each tooth of several.
    """
    if (set_up.cutting_speed is None) == (set_up.spindle_speed is None):
        raise ValueError(_("Give either the cutting speed or the spindle speed, one of the two."))
    sums.given("D", words or _("diameter"), across, "length")
    if set_up.cutting_speed is not None:
        speed = amount(set_up.cutting_speed, SPEED, _("cutting speed"))
        sums.given("V", _("cutting speed"), speed, "speed")
        wanted, value = turns_line(sums, speed, across)
    else:
        wanted = turns_a_minute(set_up.spindle_speed)
        value = sums.line("N", _("spindle speed"), "", wanted, "turns")
    turns, value, remarks = _hold_turns(sums, wanted, value, set_up.machine)
    as_asked = set_up.cutting_speed if turns == wanted else None
    real = _speed_line(sums, turns, across) if as_asked is None else as_asked
    rate, feed_rate = _feed_line(sums, feed, turns, teeth)
    return Spin(turns, math.pi * across * turns / 1000, value, real, remarks, rate, feed_rate)


def _feed_line(sums: WorkingBuilder, each: float, turns: float, teeth: int) -> tuple[float, Quantity]:
    """Write down the rate of feed in mm/min; `each` is the feed of a turn or of a tooth, in mm."""
    rate = each * teeth * turns
    if not 1e-9 < rate < 1e9:
        raise ValueError(_("This feed at this speed comes to a feed rate that no machine has."))
    if teeth == 1:
        sums.given("f", _("feed for each turn"), each, "feed")
        numbers = f"{sums.show(each, 'feed')} × {format_in_full(turns)}"
        return rate, sums.line("vf", "f·N", numbers, rate, "feed rate", HANDBOOK)
    sums.given("fz", _("feed for each tooth"), each, "tooth feed")
    numbers = f"{sums.show(each, 'tooth feed')} × {teeth} × {format_in_full(turns)}"
    return rate, sums.line("vf", "fz·z·N", numbers, rate, "feed rate", HANDBOOK)


def in_large(sums: WorkingBuilder) -> int:
    """How many of the small lengths make a large one: mm in a metre, or inches in a foot."""
    return 12 if sums.inch else 1000


def turns_line(sums: WorkingBuilder, speed: float, across: float, *, outside: bool = False) -> tuple[float, Quantity]:
    """Write down the turns a minute for m/min at a diameter in mm, or `outside` work; ValueError above a million."""
    turns = 1000 * speed / (math.pi * across)
    if turns > MOST_TURNS:
        raise ValueError(_("That is more than a million rev/min. Check the diameter and the cutting speed."))
    per = in_large(sums)
    numbers = f"{per} × {sums.show(speed, 'speed')} ÷ (π × {sums.show(across, 'length')})"
    formula = f"{per}·V ÷ (π·D)"
    if outside:
        return turns, sums.line("N", _("{formula}, at the outside", formula=formula), numbers, turns, "turns")
    return turns, sums.line("N", formula, numbers, turns, "turns", HANDBOOK)


def _speed_line(sums: WorkingBuilder, turns: float, across: float) -> Quantity:
    per = in_large(sums)
    numbers = f"π × {sums.show(across, 'length')} × {format_in_full(turns)} ÷ {per}"
    return sums.line("V", f"π·D·N ÷ {per}", numbers, math.pi * across * turns / 1000, "speed", HANDBOOK)


def hold(
    sums: WorkingBuilder,
    wanted: float,
    value: Quantity,
    machine: Machine | None,
    words: Mapping[Held, str] = HELD_WORDS,
    kind: str = "turns",
) -> tuple[float, Quantity, str]:
    """Hold the speed wanted to what the machine has and write that down; the text is by how many % it is too fast."""
    held, why = held_speed(wanted, machine) if machine is not None else (wanted, "as wanted")
    if held == wanted:
        return wanted, value, ""
    much = format_significant((held / wanted - 1) * 100)
    value = sums.line(_("N held"), _(words[why], much=much), "", held, kind)
    return held, value, much if why == "lowest" else ""


def _hold_turns(
    sums: WorkingBuilder, wanted: float, value: Quantity, machine: Machine | None
) -> tuple[float, Quantity, tuple[str, ...]]:
    held, value, much = hold(sums, wanted, value, machine)
    if not much:
        return held, value, ()
    turns = format_significant(held, "rev/min")
    remark = _("The machine's lowest speed, {turns} rev/min, is too fast by {much} %.", turns=turns, much=much)
    return held, value, (remark,)


def held_speed(wanted: float, machine: Machine) -> tuple[float, Held]:
    """Return the speed the machine runs at instead of the one wanted, in rev/min, and which of its speeds that is.

    With steps it is the next lower one, or the one above where that is within 2 % of the speed wanted. Every page that
    names a speed of a machine asks here.

    >>> held_speed(500, Machine(speeds=(100, 300, 600)))
    (300.0, 'next lower')
    >>> held_speed(199, Machine(speeds=(130, 200)))
    (200.0, 'within reach')
    >>> held_speed(50, Machine(speed_low=100, speed_high=2000))
    (100, 'lowest')
    """
    lowest = machine.speeds[0] if machine.speeds else machine.speed_low
    highest = machine.speeds[-1] if machine.speeds else machine.speed_high
    if lowest is None or highest is None:
        return wanted, "as wanted"
    reach = wanted * (1 + REACHED_WITHIN)
    if reach < lowest:
        return lowest, "lowest"
    if wanted > highest:
        return highest, "highest"
    held = max(wanted, lowest)
    if machine.speeds:
        held = max(step for step in machine.speeds if step <= reach)
    if held > wanted:
        return held, "within reach"
    return held, "as wanted" if held == wanted else "next lower"
