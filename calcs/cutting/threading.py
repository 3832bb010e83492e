"""Time for threads: tapping in and out, and cutting a thread with a single-point tool in several passes.

Sources: [1] feed of a thread = pitch (lead, for several starts) for each turn. [2] depth of an ISO 68-1 external
thread to its minor diameter d3 root = 0.613434·P; of an internal one = 0.541266·P (ISO 68-1: H = √3/2·P; 17/24·H
and 5/8·H).
"""

from __future__ import annotations

from calcs.cutting.passes import back_line, count_passes, time_line, travel_line
from calcs.cutting.power import finished
from calcs.cutting.results import Cut, Machine
from calcs.cutting.speeds import feed_rate_line, spin
from calcs.units.argument_checks import Quantity, amount, count, optional, ratio
from calcs.units.figures import format_plain, format_significant
from calcs.units.kinds import FEED, LENGTH, TIME
from calcs.units.registry import registry
from calcs.working.builder import WorkingBuilder


def tapping(
    diameter: Quantity,
    pitch: Quantity,
    depth: Quantity,
    *,
    cutting_speed: Quantity | None = None,
    spindle_speed: Quantity | float | None = None,
    machine: Machine | None = None,
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
    >>> cut = tapping(Q(6, "mm"), Q(1, "mm"), Q(20, "mm"), spindle_speed=200)
    >>> round(cut.minutes * 60, 6)
    12.0
    """
    across, step = amount(diameter, LENGTH, "diameter"), amount(pitch, FEED, "pitch")
    check_pitch(across, step)
    deep = amount(depth, LENGTH, "depth")
    faster = ratio(return_ratio, "return ratio", 0.05, 20)
    number = count(holes, "number of holes")
    sums = WorkingBuilder("Tapping", diameter)
    sums.given("P", "pitch, the feed of each turn", step, "length", "a thread moves one pitch each turn")
    spun = spin(sums, across, cutting_speed, spindle_speed, machine)
    rate, feed_rate = feed_rate_line(sums, step, spun.turns, 1)
    travel = travel_line(sums, deep, None, None, optional(lead, LENGTH, "lead of the tap"), "lead")
    between = optional(between_holes, TIME, "time between holes") * (number - 1)
    time = _in_and_out(sums, travel, rate, faster, number, between)
    return finished(sums, time, spun, feed_rate)


def _in_and_out(
    sums: WorkingBuilder, travel: float, rate: float, faster: float, holes: int, between: float
) -> Quantity:
    into, out = travel / rate, travel / rate / faster
    numbers = f"{sums.show(travel, 'length')} ÷ {sums.show(rate, 'feed rate')}"
    sums.line("t in", "travel ÷ vf", numbers, into, "time")
    sums.line("t out", "t in ÷ return ratio", f"{format_significant(into)} ÷ {format_plain(faster)}", out, "time")
    formula, numbers = "t in + t out", f"{format_significant(into)} + {format_significant(out)}"
    if holes > 1:
        formula, numbers = (
            f"holes × ({formula}) + moving between",
            f"{holes} × ({numbers}) + {format_significant(between)}",
        )
    return sums.line("t", formula, numbers, holes * (into + out) + between, "time")


def threading(
    diameter: Quantity,
    pitch: Quantity,
    length: Quantity,
    *,
    cutting_speed: Quantity | None = None,
    spindle_speed: Quantity | float | None = None,
    machine: Machine | None = None,
    thread_depth: Quantity | None = None,
    depth_per_pass: Quantity | None = None,
    passes: int | None = None,
    spring_passes: int = 0,
    starts: int = 1,
    approach: Quantity | None = None,
    overtravel: Quantity | None = None,
    return_time: Quantity | None = None,
) -> Cut:
    """Return the time to cut a thread with a single-point tool: passes × (travel ÷ (N·lead) + return), each start.

    Passes as given, or from thread_depth (0.613·P of an ISO thread where none is given) ÷ depth_per_pass.
    spring_passes go over it again without more depth. Formulas [1], [2]. ValueError for an infeed above the pitch.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> threading(Q(20, "mm"), Q(2, "mm"), Q(40, "mm"), spindle_speed=100, passes=10).minutes
    2.0
    """
    across, step = amount(diameter, LENGTH, "diameter"), amount(pitch, FEED, "pitch")
    check_pitch(across, step)
    long, number = amount(length, LENGTH, "length of thread"), count(starts, "number of starts", 50)
    sums = WorkingBuilder("Cutting a thread", diameter)
    sums.given("P", "pitch", step, "length")
    deep = _depth_of_thread(sums, step, thread_depth, depth_per_pass, passes)
    done = count_passes(sums, passes, deep, depth_per_pass, extra=spring_passes)
    spun = spin(sums, across, cutting_speed, spindle_speed, machine)
    rate, feed_rate = feed_rate_line(sums, step * number, spun.turns, 1)
    travel = travel_line(sums, long, approach, overtravel)
    back = back_line(sums, return_time)
    time = time_line(sums, travel, rate, done.number, back)
    if number > 1:
        each = done.number * (travel / rate + back)
        time = sums.line("t all", "starts × t", f"{number} × {format_significant(each)}", number * each, "time")
    return finished(sums, time, spun, feed_rate, passes=done.number)


def _depth_of_thread(
    sums: WorkingBuilder, step: float, depth: Quantity | None, each: Quantity | None, passes: int | None
) -> Quantity | None:
    """The depth that the passes go to, checked against the pitch; that of an ISO thread where none was given."""
    if optional(each, LENGTH, "depth of one pass") > step:
        raise ValueError("The depth of one pass is more than the pitch; no thread is cut so.")
    if optional(depth, LENGTH, "depth of thread") > 2 * step:
        raise ValueError("The depth of thread is more than twice the pitch; check the two.")
    if passes is None and each is None:
        raise ValueError("Write the number of passes, or the depth of one pass.")
    if depth is not None or passes is not None:
        return depth
    numbers = f"0.613434 × {sums.show(step, 'length')}"
    return sums.line("depth", "0.613434·P", numbers, 0.613434 * step, "length", "ISO 68-1")


def check_pitch(across: float, step: float) -> None:
    """Refuse a pitch that would cut the screw through: the thread's core would be gone."""
    if 1.226869 * step >= across:
        raise ValueError("The pitch is too coarse for the diameter: no core would be left. Check the two.")


def threads_per_length(count_per_inch: float) -> Quantity:
    """Return the pitch of so many threads to the inch, as a length in inches: 1 ÷ TPI.

    >>> threads_per_length(40).magnitude
    0.025
    """
    number = ratio(count_per_inch, "number of threads to the inch", 0.5, 1000)
    pitch: Quantity = registry().Quantity(1 / number, "inch")
    return pitch
