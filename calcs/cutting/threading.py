"""Time for threads: tapping in and out, and cutting a thread with a single-point tool in several passes.

Sources: [1] feed of a thread = pitch (lead, for several starts) for each turn. [2] depth of an ISO 68-1 external
thread to its minor diameter d3 root = 0.613434·P; of an internal one = 0.541266·P (ISO 68-1: H = √3/2·P; 17/24·H
and 5/8·H).
"""

from __future__ import annotations

from dataclasses import replace

from calcs.cutting.passes import count_passes, time_of_passes, travel_line
from calcs.cutting.power import make_cut
from calcs.cutting.results import Cut
from calcs.cutting.set_up import ONE_PASS, Depths, SetUp
from calcs.cutting.speeds import spin
from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, count, optional, ratio
from calcs.units.figures import format_plain
from calcs.units.kinds import FEED, LENGTH, TIME
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full


def tapping(
    diameter: Quantity,
    pitch: Quantity,
    depth: Quantity,
    set_up: SetUp,
    *,
    return_ratio: float = 1.0,
    lead: Quantity | None = None,
    holes: int = 1,
    between_holes: Quantity | None = None,
) -> Cut:
    """Return the time to tap `holes` holes, in at the pitch for each turn and out again. Formula [1].

    return_ratio: speed out ÷ speed in (2 where the head reverses twice as fast). lead: the tap's taper, which
    travels beyond the depth. ValueError for a pitch that the diameter cannot carry.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = tapping(Q(6, "mm"), Q(1, "mm"), Q(20, "mm"), SetUp(spindle_speed=200))
    >>> round(cut.minutes * 60, 6)
    12.0
    """
    across, step = _diameter_and_pitch(diameter, pitch)
    deep = amount(depth, LENGTH, _("depth"))
    faster, number = ratio(return_ratio, _("return ratio"), 0.05, 20), count(holes, _("number of holes"))
    sums = WorkingBuilder(_("Tapping"), diameter)
    source = _("a thread moves one pitch each turn")
    sums.given("P", _("pitch, the feed of each turn"), step, "length", source)
    spun = spin(sums, set_up, across, step)
    travel = travel_line(sums, set_up, deep, optional(lead, LENGTH, _("lead of the tap")), _("lead"))
    between = optional(between_holes, TIME, _("time between holes")) * (number - 1)
    return make_cut(sums, _in_and_out(sums, travel, spun.rate, faster, number, between), spun)


def _in_and_out(
    sums: WorkingBuilder, travel: float, rate: float, faster: float, holes: int, between: float
) -> Quantity:
    into, out = travel / rate, travel / rate / faster
    numbers = f"{sums.show(travel, 'length')} ÷ {sums.show(rate, 'feed rate')}"
    sums.line(_("t in"), _("travel ÷ vf"), numbers, into, "time")
    numbers = f"{format_in_full(into)} ÷ {format_plain(faster)}"
    sums.line(_("t out"), _("t in ÷ return ratio"), numbers, out, "time")
    formula, numbers = _("t in + t out"), f"{format_in_full(into)} + {format_in_full(out)}"
    if holes > 1:
        formula = _("holes × (t in + t out) + moving between")
        numbers = f"{holes} × ({numbers}) + {format_in_full(between)}"
    return sums.line("t", formula, numbers, holes * (into + out) + between, "time")


def threading(
    diameter: Quantity,
    pitch: Quantity,
    length: Quantity,
    set_up: SetUp,
    depths: Depths = ONE_PASS,
    *,
    spring_passes: int = 0,
    starts: int = 1,
) -> Cut:
    """Return the time to cut a thread with a single-point tool: passes × (travel ÷ (N·lead) + return), each start.

    depths: passes as given, or from the depth of thread (0.613·P of an ISO thread where none is given) ÷ that of a
    pass; one of the two is needed. spring_passes go over it again at the same depth. Formulas [1], [2]. ValueError
    for an infeed above the pitch.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> threading(Q(20, "mm"), Q(2, "mm"), Q(40, "mm"), SetUp(spindle_speed=100), Depths(passes=10)).minutes
    2.0
    """
    across, step = _diameter_and_pitch(diameter, pitch)
    long, number = amount(length, LENGTH, _("length of thread")), count(starts, _("number of starts"), 50)
    sums = WorkingBuilder(_("Cutting a thread"), diameter)
    sums.given("P", _("pitch"), step, "length")
    depths = _depths_of_thread(sums, step, depths)
    done = count_passes(sums, depths, spring_passes, _("with the spring passes"))
    spun = spin(sums, set_up, across, step * number)
    time = time_of_passes(sums, set_up, long, spun.rate, done.number)
    if number > 1:
        each = float(time.magnitude)
        numbers = f"{number} × {format_in_full(each)}"
        time = sums.line(_("t all"), _("starts × t"), numbers, number * each, "time")
    return make_cut(sums, time, spun, passes=done.number)


def _depths_of_thread(sums: WorkingBuilder, step: float, depths: Depths) -> Depths:
    """What the passes go to, checked against the pitch; the depth of an ISO thread where none was given."""
    if optional(depths.depth_per_pass, LENGTH, _("depth of one pass")) > step:
        raise ValueError(_("The depth of one pass is more than the pitch; no thread is cut so."))
    if optional(depths.total_depth, LENGTH, _("depth of thread")) > 2 * step:
        raise ValueError(_("The depth of thread is more than twice the pitch; check the two."))
    if depths.passes is None and depths.depth_per_pass is None:
        raise ValueError(_("Write the number of passes, or the depth of one pass."))
    if depths.total_depth is not None or depths.passes is not None:
        return depths
    numbers = f"0.613434 × {sums.show(step, 'length')}"
    deep = sums.line(_("depth"), "0.613434·P", numbers, 0.613434 * step, "length", "ISO 68-1")
    return replace(depths, total_depth=deep)


def _diameter_and_pitch(diameter: Quantity, pitch: Quantity) -> tuple[float, float]:
    """Both in mm; a pitch that would cut the screw through is refused: the thread's core would be gone."""
    across, step = amount(diameter, LENGTH, _("diameter")), amount(pitch, FEED, _("pitch"))
    if 1.226869 * step >= across:
        raise ValueError(_("The pitch is too coarse for the diameter: no core would be left. Check the two."))
    return across, step
