"""Time at the mill: with the circumference of the cutter, with its face, along a slot, in a pocket.

Sources: [1] time = travel ÷ rate of feed; removal = width·depth·vf. [2], [3] the lead-in of the cutter, see
`calcs.cutting.cutters`; the same in Groover, *Fundamentals of Modern Manufacturing*, ch. 22.
"""

from __future__ import annotations

import math
from dataclasses import replace

from calcs.cutting.cutters import cutter_lines, diameter_of, face_line, mill, milling_load, peripheral_line
from calcs.cutting.passes import count_passes
from calcs.cutting.power import make_cut
from calcs.cutting.results import Cut
from calcs.cutting.set_up import ONE_PASS, Depths, SetUp
from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, optional, ratio
from calcs.units.figures import format_plain
from calcs.units.kinds import LENGTH, VOLUME
from calcs.working.builder import WorkingBuilder


def peripheral_milling(
    cutter: Quantity,
    teeth: int,
    feed_per_tooth: Quantity,
    length: Quantity,
    set_up: SetUp,
    depths: Depths,
    *,
    width: Quantity | None = None,
    cutter_width: Quantity | None = None,
) -> Cut:
    """Return the time to mill a length with the circumference of a cutter (slab milling, or an end mill's side).

    Depth: square to the cutter's axis, and needed; width: along it (for the removal rate), not above cutter_width.
    The lead-in [2] of one pass is added; over-travel is none unless given. Formulas [1], [2].

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = peripheral_milling(Q(70, "mm"), 5, Q(0.25, "mm"), Q(400, "mm"), SetUp(Q(60, "m/min")),
    ...                          Depths(Q(6.5, "mm")), width=Q(50, "mm"))
    >>> round(cut.minutes, 3), round(cut.removal_rate.to("mm³/min").magnitude)
    (1.232, 110840)
    """
    sums = WorkingBuilder(_("Peripheral milling"), cutter)
    across = diameter_of(cutter)
    long, wide = amount(length, LENGTH, _("length of cut")), optional(width, LENGTH, _("width of cut"))
    widest = optional(cutter_width, LENGTH, _("width of the cutter"))
    if widest and wide > widest * (1 + 1e-9):
        raise ValueError(_("The width of cut is more than the width of the cutter."))
    amount(depths.total_depth, LENGTH, _("total depth"))
    done = count_passes(sums, depths)
    spun = cutter_lines(sums, set_up, across, teeth, feed_per_tooth)
    return mill(sums, set_up, spun, long, wide, done, peripheral_line(sums, across, done.depth))


def face_milling(
    cutter: Quantity,
    teeth: int,
    feed_per_tooth: Quantity,
    length: Quantity,
    width: Quantity,
    set_up: SetUp,
    depths: Depths = ONE_PASS,
    *,
    offset: Quantity | None = None,
    stepover: Quantity | None = None,
) -> Cut:
    """Return the time to face a length × width with the end of a cutter. Formulas [1], [3].

    offset: how far the cutter's axis stands from the middle of the width. stepover: for work wider than the cutter,
    the width of each path; the paths lie side by side. Over-travel is none unless given: for a cutter that runs
    clear of the work give ½·D. ValueError for a width that the cutter does not cover.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = face_milling(Q(3, "in"), 5, Q(0.006, "in"), Q(12, "in"), Q(2, "in"), SetUp(Q(250, "ft/min")),
    ...                    Depths(Q(0.15, "in")))
    >>> round(cut.minutes, 2), round(cut.removal_rate.magnitude, 3)
    (1.3, 2.865)
    """
    sums = WorkingBuilder(_("Face milling"), cutter)
    across = diameter_of(cutter)
    long, wide = amount(length, LENGTH, _("length of cut")), amount(width, LENGTH, _("width of cut"))
    done = count_passes(sums, depths)
    paths, strip = _paths(sums, across, wide, optional(stepover, LENGTH, _("stepover")))
    spun = cutter_lines(sums, set_up, across, teeth, feed_per_tooth)
    lead = face_line(sums, across, strip, optional(offset, LENGTH, _("offset")) if paths == 1 else 0.0)
    return mill(sums, set_up, spun, long, strip, replace(done, number=done.number * paths), lead)


def slot_milling(
    cutter: Quantity,
    teeth: int,
    feed_per_tooth: Quantity,
    length: Quantity,
    depth: Quantity,
    set_up: SetUp,
    depths: Depths = ONE_PASS,
    *,
    closed: bool = False,
    plunge_share: float = 0.5,
) -> Cut:
    """Return the time to mill a slot as wide as the cutter and `depth` deep. Formulas [1], [3].

    An open slot has the cutter's lead-in ½·D; a closed one (a keyway) is measured over its round ends, the axis
    travels D less, and each pass begins with a plunge of its depth at plunge_share of the rate of feed.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = slot_milling(Q(6, "mm"), 2, Q(0.05, "mm"), Q(97, "mm"), Q(3, "mm"), SetUp(spindle_speed=1000))
    >>> round(cut.minutes, 9)
    1.0
    """
    sums, across = WorkingBuilder(_("Milling a slot"), cutter), diameter_of(cutter)
    long = amount(length, LENGTH, _("length of the slot"))
    amount(depth, LENGTH, _("depth of the slot"))
    share = ratio(plunge_share, _("share of the feed when plunging"), 0.01, 1)
    if closed and long < across:
        raise ValueError(_("A closed slot is not shorter than the cutter is wide. Measure it over its round ends."))
    done = count_passes(sums, replace(depths, total_depth=depth))
    spun = cutter_lines(sums, set_up, across, teeth, feed_per_tooth)
    if not closed:
        return mill(sums, set_up, spun, long, across, done, face_line(sums, across, across))
    plunge = done.depth / (spun.rate * share)
    numbers = f"{sums.show(done.depth, 'length')} ÷ ({format_plain(share)} × {sums.show(spun.rate, 'feed rate')})"
    sums.line(_("plunge"), _("depth of one pass ÷ (share × vf)"), numbers, plunge, "time")
    return mill(sums, set_up, spun, long - across, across, done, plunge=plunge)


def pocket_milling(
    cutter: Quantity,
    teeth: int,
    feed_per_tooth: Quantity,
    volume: Quantity,
    set_up: SetUp,
    *,
    stepover: Quantity,
    depth_per_pass: Quantity,
) -> Cut:
    """Return the time to clear a volume: t = volume ÷ (stepover × depth of one pass × rate of feed). Formula [1].

    It holds the cutter to be in the cut all the time; corners and moves in the air come on top.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = pocket_milling(Q(10, "mm"), 2, Q(0.05, "mm"), Q(10, "cm³"), SetUp(spindle_speed=1000),
    ...                      stepover=Q(5, "mm"), depth_per_pass=Q(2, "mm"))
    >>> round(cut.minutes, 9)
    10.0
    """
    sums, across = WorkingBuilder(_("Milling a pocket"), cutter), diameter_of(cutter)
    cubic = amount(volume, VOLUME, _("volume of the pocket"))
    wide, deep = amount(stepover, LENGTH, _("stepover")), amount(depth_per_pass, LENGTH, _("depth of one pass"))
    _check_stepover(across, wide)
    spun = cutter_lines(sums, set_up, across, teeth, feed_per_tooth)
    load, rate = milling_load(sums, set_up, spun, wide, deep), wide * deep * spun.rate
    if cubic / rate > 1e7:
        raise ValueError(_("That would take many years. Check the volume, the stepover and the depth of one pass."))
    numbers = f"{sums.show(cubic, 'volume')} ÷ {sums.show(rate, 'removal')}"
    return make_cut(sums, sums.line("t", _("volume ÷ Q"), numbers, cubic / rate, "time"), spun, load)


def _paths(sums: WorkingBuilder, across: float, wide: float, stepover: float) -> tuple[int, float]:
    """Paths side by side, and the width of one."""
    _check_stepover(across, stepover)
    if wide <= across * (1 + 1e-9) and not stepover:
        return 1, min(wide, across)
    if not stepover:
        raise ValueError(_("The width is more than the cutter's diameter. Give a stepover, or take a larger cutter."))
    number = max(1, math.ceil(wide / stepover - 1e-9))
    if number > 1000:
        raise ValueError(_("That would be more than 1000 paths side by side. Take a wider stepover."))
    numbers = _("{size} ÷ {each}, rounded up", size=sums.show(wide, "length"), each=sums.show(stepover, "length"))
    sums.line(_("paths"), _("width ÷ stepover"), numbers, number, "number")
    return number, min(stepover, wide)


def _check_stepover(across: float, stepover: float) -> None:
    if stepover > across * (1 + 1e-9):
        raise ValueError(_("The stepover is wider than the cutter, which would leave ridges standing."))
