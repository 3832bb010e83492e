"""Spindle speed, cutting speed and feed, and the speed held to what the machine has.

Source of the formulas: [1] V = π·D·N/1000 (metres) or π·D·N/12 (feet), feed rate = f·N, or fz·z·N for z teeth:
ISO 3002-1 and -3; the same in any machining handbook.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.cutting.results import Machine, Result
from calcs.units.argument_checks import Quantity, amount, count, turns_a_minute
from calcs.units.figures import format_significant
from calcs.units.kinds import FEED, FEED_RATE, LENGTH, SPEED, TIME
from calcs.working.builder import WorkingBuilder

MOST_TURNS = 1e6
HANDBOOK = "ISO 3002: V = π·D·N"


@dataclass(frozen=True)
class Spin:
    """How a spindle turns in a sum: rev/min and m/min as numbers and as quantities, and what to say about it."""

    turns: float
    speed: float
    spindle_speed: Quantity
    cutting_speed: Quantity
    remarks: tuple[str, ...] = ()


def spindle_speed(cutting_speed: Quantity, diameter: Quantity, machine: Machine | None = None) -> Result:
    """Return the spindle speed in rpm for a cutting speed at a diameter, held to the machine if there is one.

    cutting_speed: length in a time; diameter: length. ValueError for anything else. Formula [1]. A machine with
    steps runs at the next lower one, or at its lowest; the working says by how much that is too fast.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(spindle_speed(Q(50, "m/min"), Q(15, "mm")).value.magnitude)
    1061
    >>> spindle_speed(Q(60, "ft/min"), Q(5, "in"), Machine(speeds=(25, 40, 60))).value.magnitude
    40.0
    """
    across, speed = amount(diameter, LENGTH, "diameter"), amount(cutting_speed, SPEED, "cutting speed")
    sums = WorkingBuilder("Spindle speed", diameter, cutting_speed)
    sums.given("D", "diameter", across, "length")
    sums.given("V", "cutting speed", speed, "speed")
    wanted = turns_for(speed, across)
    value = _line_of_turns(sums, wanted, across, speed)
    _, value, remarks = _hold(sums, wanted, value, machine)
    return Result(value, sums.working(), remarks)


def cutting_speed(diameter: Quantity, spindle_speed: Quantity | float) -> Result:
    """Return the speed at the circumference, in m/min or ft/min as the diameter was given. Formula [1].

    >>> from calcs.units.registry import registry
    >>> round(cutting_speed(registry().Quantity(50, "mm"), 700).value.magnitude, 3)
    109.956
    """
    across, turns = amount(diameter, LENGTH, "diameter"), turns_a_minute(spindle_speed)
    sums = WorkingBuilder("Cutting speed", diameter)
    sums.given("D", "diameter", across, "length")
    sums.given("N", "spindle speed", turns, "turns")
    return Result(_line_of_speed(sums, turns, across), sums.working())


def feed_rate(feed: Quantity, spindle_speed: Quantity | float, teeth: int = 1) -> Result:
    """Return the rate of feed: feed for each turn (or each tooth, times the teeth) × turns a minute. Formula [1].

    >>> from calcs.units.registry import registry
    >>> round(feed_rate(registry().Quantity(0.25, "mm"), 200, teeth=16).value.magnitude, 6)
    800.0
    """
    each, turns = amount(feed, FEED, "feed"), turns_a_minute(spindle_speed)
    sums = WorkingBuilder("Feed rate", feed)
    _, value = feed_rate_line(sums, each, turns, count(teeth, "number of teeth", 1000))
    return Result(value, sums.working())


def feed_per_turn(feed_rate: Quantity, spindle_speed: Quantity | float, teeth: int = 1) -> Result:
    """Return the feed for each turn, or for each tooth where there are several, from the rate of feed. Formula [1].

    >>> from calcs.units.registry import registry
    >>> feed_per_turn(registry().Quantity(120, "mm/min"), 500).value.magnitude
    0.24
    """
    rate, turns = amount(feed_rate, FEED_RATE, "rate of feed"), turns_a_minute(spindle_speed)
    number = count(teeth, "number of teeth", 1000)
    sums = WorkingBuilder("Feed for each turn" if number == 1 else "Feed for each tooth", feed_rate)
    sums.given("vf", "rate of feed", rate, "feed rate")
    sums.given("N", "spindle speed", turns, "turns")
    if number == 1:
        numbers = f"{sums.show(rate, 'feed rate')} ÷ {format_significant(turns)}"
        return Result(sums.line("f", "vf ÷ N", numbers, rate / turns, "feed", HANDBOOK), sums.working())
    numbers = f"{sums.show(rate, 'feed rate')} ÷ ({number} × {format_significant(turns)})"
    value = sums.line("fz", "vf ÷ (z·N)", numbers, rate / turns / number, "tooth feed", HANDBOOK)
    return Result(value, sums.working())


def speed_for_time(diameter: Quantity, length: Quantity, feed: Quantity, time: Quantity) -> Result:
    """Return the cutting speed at which one pass of that length takes the time wanted: V = π·D·L ÷ (f·t).

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(speed_for_time(Q(150, "mm"), Q(400, "mm"), Q(0.3, "mm"), Q(5, "min")).value.magnitude, 1)
    125.7
    """
    across, long = amount(diameter, LENGTH, "diameter"), amount(length, LENGTH, "length")
    each, minutes = amount(feed, FEED, "feed"), amount(time, TIME, "time")
    sums = WorkingBuilder("Cutting speed for a time", diameter)
    turns = long / each / minutes
    numbers = f"{sums.show(long, 'length')} ÷ ({sums.show(each, 'feed')} × {format_significant(minutes)})"
    sums.line("N", "L ÷ (f·t)", numbers, turns, "turns", HANDBOOK)
    return Result(_line_of_speed(sums, turns, across), sums.working())


def spin(
    sums: WorkingBuilder,
    across: float,
    cutting_speed: Quantity | None,
    spindle_speed: Quantity | float | None,
    machine: Machine | None,
    words: str = "diameter",
) -> Spin:
    """Write down how fast the spindle turns, from one of the two speeds, and at what speed that cuts."""
    if (cutting_speed is None) == (spindle_speed is None):
        raise ValueError("Give either the cutting speed or the spindle speed, one of the two.")
    sums.given("D", words, across, "length")
    if cutting_speed is not None:
        speed = amount(cutting_speed, SPEED, "cutting speed")
        sums.given("V", "cutting speed", speed, "speed")
        wanted = turns_for(speed, across)
        value = _line_of_turns(sums, wanted, across, speed)
    else:
        wanted = turns_a_minute(spindle_speed)
        value = sums.line("N", "spindle speed", "", wanted, "turns")
    held, value, remarks = _hold(sums, wanted, value, machine)
    real = _line_of_speed(sums, held, across) if held != wanted or cutting_speed is None else cutting_speed
    return Spin(held, math.pi * across * held / 1000, value, real, remarks)


def feed_rate_line(sums: WorkingBuilder, each: float, turns: float, teeth: int) -> tuple[float, Quantity]:
    """Write down the rate of feed in mm/min; `each` is the feed of a turn or of a tooth, in mm."""
    rate = each * teeth * turns
    if not 1e-9 < rate < 1e9:
        raise ValueError("This feed at this speed comes to a rate of feed that no machine has.")
    if teeth == 1:
        sums.given("f", "feed for each turn", each, "feed")
        numbers = f"{sums.show(each, 'feed')} × {format_significant(turns, 'rev/min')}"
        return rate, sums.line("vf", "f·N", numbers, rate, "feed rate", HANDBOOK)
    sums.given("fz", "feed for each tooth", each, "tooth feed")
    numbers = f"{sums.show(each, 'tooth feed')} × {teeth} × {format_significant(turns, 'rev/min')}"
    return rate, sums.line("vf", "fz·z·N", numbers, rate, "feed rate", HANDBOOK)


def turns_for(speed: float, across: float) -> float:
    """Turns a minute for m/min at a diameter in mm; ValueError above a million."""
    turns = 1000 * speed / (math.pi * across)
    if turns > MOST_TURNS:
        raise ValueError("That is more than a million turns a minute. Check the diameter and the cutting speed.")
    return turns


def _line_of_turns(sums: WorkingBuilder, turns: float, across: float, speed: float) -> Quantity:
    per = 12 if sums.inch else 1000
    numbers = f"{per} × {sums.show(speed, 'speed')} ÷ (π × {sums.show(across, 'length')})"
    return sums.line("N", f"{per}·V ÷ (π·D)", numbers, turns, "turns", HANDBOOK)


def _line_of_speed(sums: WorkingBuilder, turns: float, across: float) -> Quantity:
    per = 12 if sums.inch else 1000
    numbers = f"π × {sums.show(across, 'length')} × {format_significant(turns, 'rev/min')} ÷ {per}"
    return sums.line("V", f"π·D·N ÷ {per}", numbers, math.pi * across * turns / 1000, "speed", HANDBOOK)


def _hold(
    sums: WorkingBuilder, wanted: float, value: Quantity, machine: Machine | None
) -> tuple[float, Quantity, tuple[str, ...]]:
    """Hold the speed wanted to what the machine has, and write that down."""
    if machine is None or not (machine.speeds or machine.speed_high):
        return wanted, value, ()
    held, words = held_speed(wanted, machine)
    if held == wanted:
        return wanted, value, ()
    value = sums.line("N held", words, "", held, "turns")
    if held <= wanted:
        return held, value, ()
    much = format_significant((held / wanted - 1) * 100)
    remark = f"The machine's lowest speed, {format_significant(held, 'rev/min')} rev/min, is too fast by {much} %."
    return held, value, (remark,)


def held_speed(wanted: float, machine: Machine) -> tuple[float, str]:
    """Return the speed the machine runs at instead of the one wanted, in rev/min, and why in words.

    >>> held_speed(500, Machine(speeds=(100, 300, 600)))
    (300.0, 'the next lower speed that the machine has')
    >>> held_speed(50, Machine(speed_low=100, speed_high=2000))
    (100, 'the lowest speed that the machine has, too fast by 100 %')
    """
    lowest = machine.speeds[0] if machine.speeds else machine.speed_low
    highest = machine.speeds[-1] if machine.speeds else machine.speed_high
    if lowest is None or highest is None:
        return wanted, ""
    # A step that only rounding keeps from being reached counts as reached.
    room = wanted * (1 + 1e-9)
    if room < lowest:
        return (
            lowest,
            f"the lowest speed that the machine has, too fast by {format_significant((lowest / wanted - 1) * 100)} %",
        )
    if wanted > highest:
        return highest, "the highest speed that the machine has"
    if not machine.speeds:
        return wanted, ""
    return max(step for step in machine.speeds if step <= room), "the next lower speed that the machine has"
