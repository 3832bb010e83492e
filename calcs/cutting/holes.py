"""Time for holes: drilling with its point and its pecks, and reaming.

Sources: [1] time = travel ÷ rate of feed. [2] the point adds ½·D ÷ tan(½·point angle) to the travel: geometry of a
cone; 0.300·D for 118°. Removal of a drill = (π/4)·D²·vf.
"""

from __future__ import annotations

import math

from calcs.cutting.passes import time_line, travel_line
from calcs.cutting.power import NO_LOAD, load_lines, make_cut
from calcs.cutting.results import Cut
from calcs.cutting.set_up import SetUp
from calcs.cutting.speeds import spin
from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, count, degrees, optional
from calcs.units.figures import format_plain
from calcs.units.kinds import FEED, LENGTH, TIME
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full

MOST_PECKS = 1000


def drilling(
    diameter: Quantity,
    depth: Quantity,
    feed: Quantity,
    set_up: SetUp,
    *,
    point_angle: float | None = 118.0,
    peck: Quantity | None = None,
    peck_time: Quantity | None = None,
    holes: int = 1,
    between_holes: Quantity | None = None,
) -> Cut:
    """Return the time to drill `holes` holes of that depth (at full diameter, or the plate's thickness). [1], [2].

    point_angle: degrees between the lips, up to 180 (a flat end); None adds nothing for the point. peck: depth of
    each peck; after every peck but the last the drill goes out and in again, which takes peck_time. between_holes:
    moving from one hole to the next.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = drilling(Q(15, "mm"), Q(30, "mm"), Q(0.15, "mm"), SetUp(Q(50, "m/min")), point_angle=None)
    >>> round(cut.minutes * 60, 1)
    11.3
    """
    across, deep = amount(diameter, LENGTH, _("diameter")), amount(depth, LENGTH, _("depth"))
    sums = WorkingBuilder(_("Drilling"), diameter)
    spun = spin(sums, set_up, across, amount(feed, FEED, _("feed")))
    numbers = f"π ÷ 4 × {sums.show(across, 'length')}² × {sums.show(spun.rate, 'feed rate')}"
    load = load_lines(sums, set_up, spun.turns, "(π ÷ 4)·D²·vf", numbers, math.pi / 4 * across**2 * spun.rate)
    point = _point_line(sums, across, point_angle) if point_angle is not None else 0.0
    travel = travel_line(sums, set_up, deep, point, _("point"))
    pecking = _peck_line(sums, deep + point, peck, peck_time)
    time = _holes_line(sums, travel, spun.rate, pecking, _("out and in"), holes, between_holes)
    return make_cut(sums, time, spun, load)


def reaming(
    diameter: Quantity,
    depth: Quantity,
    feed: Quantity,
    set_up: SetUp,
    *,
    drilled: Quantity | None = None,
    out_at_feed: bool = False,
    holes: int = 1,
    between_holes: Quantity | None = None,
) -> Cut:
    """Return the time to ream `holes` holes. Formula [1].

    drilled: diameter of the hole before, for the removal rate. out_at_feed: the reamer comes out at the same feed,
    still turning forwards, which takes as long again. The reamer's lead counts as over-travel.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> reaming(Q(10, "mm"), Q(40, "mm"), Q(0.2, "mm"), SetUp(spindle_speed=200), out_at_feed=True).minutes
    2.0
    """
    across, deep = amount(diameter, LENGTH, _("diameter")), amount(depth, LENGTH, _("depth"))
    before = optional(drilled, LENGTH, _("diameter of the drilled hole"))
    if before >= across:
        raise ValueError(_("The drilled hole is not smaller than the reamer, so there is nothing to ream."))
    sums = WorkingBuilder(_("Reaming"), diameter)
    spun = spin(sums, set_up, across, amount(feed, FEED, _("feed")))
    load = NO_LOAD
    if before:
        squares = f"({sums.show(across, 'length')}² − {sums.show(before, 'length')}²)"
        numbers = f"π ÷ 4 × {squares} × {sums.show(spun.rate, 'feed rate')}"
        cubic = math.pi / 4 * (across**2 - before**2) * spun.rate
        load = load_lines(sums, set_up, spun.turns, "(π ÷ 4)·(D² − d²)·vf", numbers, cubic)
    travel = travel_line(sums, set_up, deep)
    out = _out_line(sums, travel, spun.rate) if out_at_feed else 0.0
    time = _holes_line(sums, travel, spun.rate, out, _("t out"), holes, between_holes)
    return make_cut(sums, time, spun, load)


def _out_line(sums: WorkingBuilder, travel: float, rate: float) -> float:
    numbers = f"{sums.show(travel, 'length')} ÷ {sums.show(rate, 'feed rate')}"
    sums.line(_("t out"), _("travel ÷ vf, out at the same feed"), numbers, travel / rate, "time")
    return travel / rate


def _point_line(sums: WorkingBuilder, across: float, point_angle: float) -> float:
    angle = degrees(point_angle, _("point angle"), 1, 180)
    long = across / 2 / math.tan(math.radians(angle / 2)) if angle < 180 else 0.0
    numbers = f"{sums.show(across, 'length')} ÷ 2 ÷ tan({format_plain(angle / 2)}°)"
    sums.line(_("point"), _("½·D ÷ tan(½·point angle)"), numbers, long, "length", _("geometry of a cone"))
    return long


def _peck_line(sums: WorkingBuilder, deep: float, peck: Quantity | None, peck_time: Quantity | None) -> float:
    """Write down the minutes that going out and in again takes, for all pecks of one hole."""
    if peck is None:
        return 0.0
    each = amount(peck, LENGTH, _("depth of a peck"))
    number = max(1, math.ceil(deep / each - 1e-9))
    if number > MOST_PECKS:
        raise ValueError(
            _("That would be more than {most} pecks a hole. Write a larger depth for each peck.", most=MOST_PECKS)
        )
    minutes = optional(peck_time, TIME, _("time of a peck")) if peck_time is not None else 3 / 60
    source = "" if peck_time is not None else _("assumed: 3 s for each return, where none is given")
    numbers = _("{size} ÷ {each}, rounded up", size=sums.show(deep, "length"), each=sums.show(each, "length"))
    sums.line(_("pecks"), _("(depth + point) ÷ depth of a peck"), numbers, number, "number")
    back = (number - 1) * minutes
    numbers = f"({number} − 1) × {format_in_full(minutes)}"
    sums.line(_("out and in"), _("(pecks − 1) × time of a peck"), numbers, back, "time", source)
    return back


def _holes_line(
    sums: WorkingBuilder,
    travel: float,
    rate: float,
    extra: float,
    words: str,
    holes: int,
    between_holes: Quantity | None,
) -> Quantity:
    """Write down the time of one hole, with `extra` minutes for what `words` say, and of all of them."""
    number = count(holes, _("number of holes"))
    between = optional(between_holes, TIME, _("time between holes")) * (number - 1)
    time = time_line(sums, travel, rate, 1, extra, words)
    if number == 1:
        return time
    one = travel / rate + extra
    formula, numbers = _("holes × t"), f"{number} × {format_in_full(one)}"
    if between:
        formula, numbers = _("holes × t + moving between"), f"{numbers} + {format_in_full(between)}"
    return sums.line(_("t all"), formula, numbers, number * one + between, "time")
