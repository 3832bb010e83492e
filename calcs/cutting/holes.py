"""Time for holes: drilling with its point and its pecks, and reaming.

Sources: [1] time = travel ÷ rate of feed. [2] the point adds ½·D ÷ tan(½·point angle) to the travel: geometry of a
cone; 0.300·D for 118°. Removal of a drill = (π/4)·D²·vf.
"""

from __future__ import annotations

import math

from calcs.cutting.passes import time_line, travel_line
from calcs.cutting.power import NO_LOAD, finished, load_lines
from calcs.cutting.results import Cut, Machine, Result
from calcs.cutting.speeds import feed_rate_line, spin
from calcs.units.argument_checks import Quantity, amount, count, degrees, optional
from calcs.units.figures import format_plain, format_significant
from calcs.units.kinds import FEED, LENGTH, TIME
from calcs.working.builder import WorkingBuilder

MOST_PECKS = 1000


def point_length(diameter: Quantity, point_angle: float = 118.0) -> Result:
    """Return how far the point of a drill reaches beyond its full diameter. Formula [2].

    point_angle: degrees between the lips, over 0 and up to 180 (a flat end, which adds nothing).

    >>> from calcs.units.registry import registry
    >>> round(point_length(registry().Quantity(10, "mm")).value.magnitude, 3)
    3.004
    """
    across = amount(diameter, LENGTH, "diameter")
    sums = WorkingBuilder("Point of a drill", diameter)
    sums.given("D", "diameter", across, "length")
    _, value = _point_line(sums, across, point_angle)
    return Result(value, sums.working())


def drilling(
    diameter: Quantity,
    depth: Quantity,
    feed: Quantity,
    *,
    cutting_speed: Quantity | None = None,
    spindle_speed: Quantity | float | None = None,
    machine: Machine | None = None,
    point_angle: float | None = 118.0,
    peck: Quantity | None = None,
    peck_time: Quantity | None = None,
    holes: int = 1,
    between_holes: Quantity | None = None,
    approach: Quantity | None = None,
    overtravel: Quantity | None = None,
    specific_energy: Quantity | None = None,
) -> Cut:
    """Return the time to drill `holes` holes of that depth (at full diameter, or the plate's thickness). [1], [2].

    point_angle: degrees; None adds nothing for the point. peck: depth of each peck; after every peck but the last
    the drill goes out and in again, which takes peck_time. between_holes: moving from one hole to the next.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = drilling(Q(15, "mm"), Q(30, "mm"), Q(0.15, "mm"), cutting_speed=Q(50, "m/min"), point_angle=None)
    >>> round(cut.minutes * 60, 1)
    11.3
    """
    across, deep = amount(diameter, LENGTH, "diameter"), amount(depth, LENGTH, "depth")
    sums = WorkingBuilder("Drilling", diameter)
    spun = spin(sums, across, cutting_speed, spindle_speed, machine)
    rate, feed_rate = feed_rate_line(sums, amount(feed, FEED, "feed"), spun.turns, 1)
    cubic = math.pi / 4 * across**2 * rate
    numbers = f"π ÷ 4 × {sums.show(across, 'length')}² × {sums.show(rate, 'feed rate')}"
    removal = sums.removal("(π ÷ 4)·D²·vf", numbers, cubic)
    load = load_lines(sums, removal, cubic, specific_energy, spun.turns, machine)
    point = _point_line(sums, across, point_angle)[0] if point_angle is not None else 0.0
    travel = travel_line(sums, deep, approach, overtravel, point, "point")
    pecking = _peck_line(sums, deep + point, peck, peck_time)
    time = _holes_line(sums, travel, rate, (pecking, "out and in"), holes, between_holes)
    return finished(sums, time, spun, feed_rate, load)


def reaming(
    diameter: Quantity,
    depth: Quantity,
    feed: Quantity,
    *,
    cutting_speed: Quantity | None = None,
    spindle_speed: Quantity | float | None = None,
    machine: Machine | None = None,
    drilled: Quantity | None = None,
    out_at_feed: bool = False,
    holes: int = 1,
    between_holes: Quantity | None = None,
    approach: Quantity | None = None,
    overtravel: Quantity | None = None,
    specific_energy: Quantity | None = None,
) -> Cut:
    """Return the time to ream `holes` holes. Formula [1].

    drilled: diameter of the hole before, for the removal rate. out_at_feed: the reamer comes out at the same feed,
    still turning forwards, which takes as long again. The reamer's lead counts as over-travel.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> reaming(Q(10, "mm"), Q(40, "mm"), Q(0.2, "mm"), spindle_speed=200, out_at_feed=True).minutes
    2.0
    """
    across, deep = amount(diameter, LENGTH, "diameter"), amount(depth, LENGTH, "depth")
    before = optional(drilled, LENGTH, "diameter of the drilled hole")
    if before >= across:
        raise ValueError("The drilled hole is not smaller than the reamer, so there is nothing to ream.")
    sums = WorkingBuilder("Reaming", diameter)
    spun = spin(sums, across, cutting_speed, spindle_speed, machine)
    rate, feed_rate = feed_rate_line(sums, amount(feed, FEED, "feed"), spun.turns, 1)
    load = NO_LOAD
    if before:
        cubic = math.pi / 4 * (across**2 - before**2) * rate
        squares = f"({sums.show(across, 'length')}² − {sums.show(before, 'length')}²)"
        removal = sums.removal("(π ÷ 4)·(D² − d²)·vf", f"π ÷ 4 × {squares} × {sums.show(rate, 'feed rate')}", cubic)
        load = load_lines(sums, removal, cubic, specific_energy, spun.turns, machine)
    travel = travel_line(sums, deep, approach, overtravel)
    out = _out_line(sums, travel, rate) if out_at_feed else 0.0
    time = _holes_line(sums, travel, rate, (out, "t out"), holes, between_holes)
    return finished(sums, time, spun, feed_rate, load)


def _out_line(sums: WorkingBuilder, travel: float, rate: float) -> float:
    numbers = f"{sums.show(travel, 'length')} ÷ {sums.show(rate, 'feed rate')}"
    sums.line("t out", "travel ÷ vf, out at the same feed", numbers, travel / rate, "time")
    return travel / rate


def _point_line(sums: WorkingBuilder, across: float, point_angle: float) -> tuple[float, Quantity]:
    angle = degrees(point_angle, "point angle", 1, 180)
    long = across / 2 / math.tan(math.radians(angle / 2)) if angle < 180 else 0.0
    numbers = f"{sums.show(across, 'length')} ÷ 2 ÷ tan({format_plain(angle / 2)}°)"
    return long, sums.line("point", "½·D ÷ tan(½·point angle)", numbers, long, "length", "geometry of a cone")


def _peck_line(sums: WorkingBuilder, deep: float, peck: Quantity | None, peck_time: Quantity | None) -> float:
    """Write down the minutes that going out and in again takes, for all pecks of one hole."""
    if peck is None:
        return 0.0
    each = amount(peck, LENGTH, "depth of a peck")
    number = math.ceil(deep / each - 1e-9)
    if number > MOST_PECKS:
        raise ValueError(f"That would be more than {MOST_PECKS} pecks a hole. Write a larger depth for each peck.")
    minutes = optional(peck_time, TIME, "time of a peck") if peck_time is not None else 3 / 60
    source = "" if peck_time is not None else "assumed: 3 s for each return, where none is given"
    numbers = f"{sums.show(deep, 'length')} ÷ {sums.show(each, 'length')}, rounded up"
    sums.line("pecks", "(depth + point) ÷ depth of a peck", numbers, max(1, number), "number")
    back = (max(1, number) - 1) * minutes
    numbers = f"({max(1, number)} − 1) × {format_significant(minutes)}"
    sums.line("out and in", "(pecks − 1) × time of a peck", numbers, back, "time", source)
    return back


def _holes_line(
    sums: WorkingBuilder,
    travel: float,
    rate: float,
    extra: tuple[float, str],
    holes: int,
    between_holes: Quantity | None,
) -> Quantity:
    number = count(holes, "number of holes")
    between = optional(between_holes, TIME, "time between holes") * (number - 1)
    if number == 1:
        return time_line(sums, travel, rate, 1, *extra)
    one = travel / rate + extra[0]
    time_line(sums, travel, rate, 1, *extra)
    formula, numbers = "holes × t", f"{number} × {format_significant(one)}"
    if between:
        formula, numbers = f"{formula} + moving between", f"{numbers} + {format_significant(between)}"
    return sums.line("t all", formula, numbers, number * one + between, "time")
