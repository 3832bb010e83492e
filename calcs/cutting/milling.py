"""Time at the mill: with the circumference of the cutter, with its face, along a slot, in a pocket.

Sources: [1] time = travel ÷ rate of feed; removal = width·depth·vf. [2], [3] the lead-in of the cutter, see
`calcs.cutting.cutters`; the same in Groover, *Fundamentals of Modern Manufacturing*, ch. 22.
"""

from __future__ import annotations

import math

from calcs.cutting.cutters import face_line, mill, peripheral_line, removal_line, tool_line
from calcs.cutting.passes import Passes, Way, count_passes
from calcs.cutting.power import finished, load_lines
from calcs.cutting.results import Cut, Machine, Result
from calcs.units.argument_checks import Quantity, amount, optional, ratio
from calcs.units.figures import format_plain
from calcs.units.kinds import LENGTH, VOLUME
from calcs.working.builder import WorkingBuilder


def peripheral_lead_in(cutter: Quantity, depth: Quantity) -> Result:
    """Return √(d·(D − d)), the travel before a cutter is at its full depth. Formula [2].

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> peripheral_lead_in(Q(100, "mm"), Q(2, "mm")).value.magnitude
    14.0
    """
    across, deep = amount(cutter, LENGTH, "diameter of the cutter"), amount(depth, LENGTH, "depth of cut")
    sums = WorkingBuilder("Lead-in of the cutter", cutter)
    _, value = peripheral_line(sums, across, deep)
    return Result(value, sums.working())


def peripheral_milling(
    cutter: Quantity,
    teeth: int,
    feed_per_tooth: Quantity,
    length: Quantity,
    *,
    total_depth: Quantity,
    depth_per_pass: Quantity | None = None,
    passes: int | None = None,
    width: Quantity | None = None,
    cutter_width: Quantity | None = None,
    cutting_speed: Quantity | None = None,
    spindle_speed: Quantity | float | None = None,
    machine: Machine | None = None,
    approach: Quantity | None = None,
    overtravel: Quantity | None = None,
    return_time: Quantity | None = None,
    specific_energy: Quantity | None = None,
) -> Cut:
    """Return the time to mill a length with the circumference of a cutter (slab milling, or an end mill's side).

    Depth: square to the cutter's axis; width: along it (for the removal rate), not above cutter_width. The lead-in
    [2] of one pass is added; over-travel is none unless given. Formulas [1], [2].

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = peripheral_milling(Q(70, "mm"), 5, Q(0.25, "mm"), Q(400, "mm"), total_depth=Q(6.5, "mm"),
    ...                          width=Q(50, "mm"), cutting_speed=Q(60, "m/min"))
    >>> round(cut.minutes, 3), round(cut.removal_rate.to("mm³/min").magnitude)
    (1.232, 110840)
    """
    sums = WorkingBuilder("Milling with the circumference", cutter)
    across = amount(cutter, LENGTH, "diameter of the cutter")
    long, wide = amount(length, LENGTH, "length of cut"), optional(width, LENGTH, "width of cut")
    _check_width(wide, optional(cutter_width, LENGTH, "width of the cutter"))
    amount(total_depth, LENGTH, "total depth")
    done = count_passes(sums, passes, total_depth, depth_per_pass)
    tool = tool_line(sums, across, teeth, feed_per_tooth, cutting_speed, spindle_speed, machine)
    lead, _ = peripheral_line(sums, across, done.depth)
    way = Way(approach, overtravel, return_time, specific_energy, machine)
    return mill(sums, tool, long, lead, wide, done, way)


def face_milling(
    cutter: Quantity,
    teeth: int,
    feed_per_tooth: Quantity,
    length: Quantity,
    width: Quantity,
    *,
    offset: Quantity | None = None,
    stepover: Quantity | None = None,
    total_depth: Quantity | None = None,
    depth_per_pass: Quantity | None = None,
    passes: int | None = None,
    cutting_speed: Quantity | None = None,
    spindle_speed: Quantity | float | None = None,
    machine: Machine | None = None,
    approach: Quantity | None = None,
    overtravel: Quantity | None = None,
    return_time: Quantity | None = None,
    specific_energy: Quantity | None = None,
) -> Cut:
    """Return the time to face a length × width with the end of a cutter. Formulas [1], [3].

    offset: how far the cutter's axis stands from the middle of the width. stepover: for work wider than the cutter,
    the width of each path; the paths lie side by side. Over-travel is none unless given: for a cutter that runs
    clear of the work give ½·D. ValueError for a width that the cutter does not cover.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = face_milling(Q(3, "in"), 5, Q(0.006, "in"), Q(12, "in"), Q(2, "in"), total_depth=Q(0.15, "in"),
    ...                    cutting_speed=Q(250, "ft/min"))
    >>> round(cut.minutes, 2), round(cut.removal_rate.magnitude, 3)
    (1.3, 2.865)
    """
    sums = WorkingBuilder("Face milling", cutter)
    across = amount(cutter, LENGTH, "diameter of the cutter")
    long, wide = amount(length, LENGTH, "length of cut"), amount(width, LENGTH, "width of cut")
    done = count_passes(sums, passes, total_depth, depth_per_pass)
    paths, strip = _paths(sums, across, wide, optional(stepover, LENGTH, "stepover"))
    tool = tool_line(sums, across, teeth, feed_per_tooth, cutting_speed, spindle_speed, machine)
    lead = face_line(sums, across, strip, optional(offset, LENGTH, "offset") if paths == 1 else 0.0)
    way = Way(approach, overtravel, return_time, specific_energy, machine)
    return mill(sums, tool, long, lead, strip, Passes(done.number * paths, done.depth, done.total), way)


def slot_milling(
    cutter: Quantity,
    teeth: int,
    feed_per_tooth: Quantity,
    length: Quantity,
    depth: Quantity,
    *,
    depth_per_pass: Quantity | None = None,
    passes: int | None = None,
    closed: bool = False,
    plunge_share: float = 0.5,
    cutting_speed: Quantity | None = None,
    spindle_speed: Quantity | float | None = None,
    machine: Machine | None = None,
    approach: Quantity | None = None,
    overtravel: Quantity | None = None,
    return_time: Quantity | None = None,
    specific_energy: Quantity | None = None,
) -> Cut:
    """Return the time to mill a slot as wide as the cutter. Formulas [1], [3].

    An open slot has the cutter's lead-in ½·D; a closed one (a keyway) is measured over its round ends, the axis
    travels D less, and each pass begins with a plunge of its depth at plunge_share of the rate of feed.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = slot_milling(Q(6, "mm"), 2, Q(0.05, "mm"), Q(97, "mm"), Q(3, "mm"), spindle_speed=1000)
    >>> round(cut.minutes, 9)
    1.0
    """
    sums = WorkingBuilder("Milling a slot", cutter)
    across = amount(cutter, LENGTH, "diameter of the cutter")
    long = amount(length, LENGTH, "length of the slot")
    amount(depth, LENGTH, "depth of the slot")
    share = ratio(plunge_share, "share of the feed when plunging", 0.01, 1)
    if closed and long < across:
        raise ValueError("A closed slot is not shorter than the cutter is wide. Measure it over its round ends.")
    done = count_passes(sums, passes, depth, depth_per_pass)
    tool = tool_line(sums, across, teeth, feed_per_tooth, cutting_speed, spindle_speed, machine)
    way = Way(approach, overtravel, return_time, specific_energy, machine)
    if not closed:
        lead = face_line(sums, across, across, 0.0)
        return mill(sums, tool, long, lead, across, done, way)
    plunge = done.depth / (tool.rate * share)
    numbers = f"{sums.show(done.depth, 'length')} ÷ ({format_plain(share)} × {sums.show(tool.rate, 'feed rate')})"
    sums.line("plunge", "depth of one pass ÷ (share × vf)", numbers, plunge, "time")
    return mill(sums, tool, long - across, 0.0, across, done, way, plunge)


def pocket_milling(
    cutter: Quantity,
    teeth: int,
    feed_per_tooth: Quantity,
    volume: Quantity,
    *,
    stepover: Quantity,
    depth_per_pass: Quantity,
    cutting_speed: Quantity | None = None,
    spindle_speed: Quantity | float | None = None,
    machine: Machine | None = None,
    specific_energy: Quantity | None = None,
) -> Cut:
    """Return the time to clear a volume: t = volume ÷ (stepover × depth of one pass × rate of feed). Formula [1].

    It holds the cutter to be in the cut all the time; corners and moves in the air come on top.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = pocket_milling(Q(10, "mm"), 2, Q(0.05, "mm"), Q(10, "cm³"), stepover=Q(5, "mm"),
    ...                      depth_per_pass=Q(2, "mm"), spindle_speed=1000)
    >>> round(cut.minutes, 9)
    10.0
    """
    sums = WorkingBuilder("Milling a pocket", cutter)
    across, cubic = amount(cutter, LENGTH, "diameter of the cutter"), amount(volume, VOLUME, "volume of the pocket")
    wide, deep = amount(stepover, LENGTH, "stepover"), amount(depth_per_pass, LENGTH, "depth of one pass")
    if wide > across * (1 + 1e-9):
        raise ValueError("The stepover is wider than the cutter, which would leave ridges standing.")
    tool = tool_line(sums, across, teeth, feed_per_tooth, cutting_speed, spindle_speed, machine)
    rate, removal = removal_line(sums, wide, deep, tool.rate)
    load = load_lines(sums, removal, rate, specific_energy, tool.spun.turns, machine)
    minutes = cubic / rate
    if minutes > 1e7:
        raise ValueError("That would take many years. Check the volume, the stepover and the depth of one pass.")
    numbers = f"{sums.show(cubic, 'volume')} ÷ {sums.show(rate, 'removal')}"
    time = sums.line("t", "volume ÷ Q", numbers, minutes, "time")
    return finished(sums, time, tool.spun, tool.feed_rate, load)


def _paths(sums: WorkingBuilder, across: float, wide: float, stepover: float) -> tuple[int, float]:
    """Paths side by side, and the width of one."""
    if stepover > across * (1 + 1e-9):
        raise ValueError("The stepover is wider than the cutter, which would leave ridges standing.")
    if wide <= across * (1 + 1e-9) and not stepover:
        return 1, min(wide, across)
    if not stepover:
        raise ValueError("The width is more than the cutter's diameter. Give a stepover, or take a larger cutter.")
    number = max(1, math.ceil(wide / stepover - 1e-9))
    if number > 1000:
        raise ValueError("That would be more than 1000 paths side by side. Take a wider stepover.")
    numbers = f"{sums.show(wide, 'length')} ÷ {sums.show(stepover, 'length')}, rounded up"
    sums.line("paths", "width ÷ stepover", numbers, number, "number")
    return number, min(stepover, wide)


def _check_width(wide: float, cutter: float) -> None:
    if cutter and wide > cutter * (1 + 1e-9):
        raise ValueError("The width of cut is more than the width of the cutter.")
