"""Time at the lathe with a tool that travels along the work: turning and boring.

Source: [1] time = travel ÷ rate of feed, as in any machining handbook; removal = π·Dm·d·f·N, Dm the mean diameter of
the cut.
"""

from __future__ import annotations

import math

from calcs.cutting.passes import Passes, Way, back_line, count_passes, time_line, travel_line
from calcs.cutting.power import NO_LOAD, finished, load_lines
from calcs.cutting.results import Cut, Machine
from calcs.cutting.speeds import Spin, feed_rate_line, spin
from calcs.units.argument_checks import Quantity, amount
from calcs.units.kinds import FEED, LENGTH
from calcs.working.builder import WorkingBuilder


def turning(
    diameter: Quantity,
    length: Quantity,
    feed: Quantity,
    *,
    cutting_speed: Quantity | None = None,
    spindle_speed: Quantity | float | None = None,
    machine: Machine | None = None,
    total_depth: Quantity | None = None,
    depth_per_pass: Quantity | None = None,
    passes: int | None = None,
    approach: Quantity | None = None,
    overtravel: Quantity | None = None,
    return_time: Quantity | None = None,
    specific_energy: Quantity | None = None,
) -> Cut:
    """Return the time to turn a length down: passes × (travel ÷ (f·N) + return). Formula [1].

    diameter: of the work before the cut; the spindle speed is kept for all passes. feed: for each turn. Depths are
    radial: 1 mm of depth takes 2 mm off the diameter. return_time: winding back after each pass. Give either the
    cutting speed or the spindle speed. ValueError where a figure makes no sense.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = turning(Q(50, "mm"), Q(100, "mm"), Q(0.2, "mm"), spindle_speed=1000)
    >>> round(cut.minutes, 3)
    0.5
    """
    across = amount(diameter, LENGTH, "diameter")
    sums = WorkingBuilder("Turning", diameter)
    done = count_passes(sums, passes, total_depth, depth_per_pass)
    if 2 * done.total > across * (1 + 1e-9):
        raise ValueError("The depth of cut is more than the radius of the work. Depths are taken on the radius.")
    spun = spin(sums, across, cutting_speed, spindle_speed, machine)
    way = Way(approach, overtravel, return_time, specific_energy, machine)
    return _along(sums, spun, done, across - done.depth, length, feed, way)


def boring(
    bore: Quantity,
    length: Quantity,
    feed: Quantity,
    *,
    cutting_speed: Quantity | None = None,
    spindle_speed: Quantity | float | None = None,
    machine: Machine | None = None,
    total_depth: Quantity | None = None,
    depth_per_pass: Quantity | None = None,
    passes: int | None = None,
    approach: Quantity | None = None,
    overtravel: Quantity | None = None,
    return_time: Quantity | None = None,
    specific_energy: Quantity | None = None,
) -> Cut:
    """Return the time to bore a hole out to the diameter `bore`, as `turning` does; depths are radial. Formula [1].

    The cutting speed is taken at the finished bore, where it is highest.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = boring(Q(1, "in"), Q(2, "in"), Q(0.004, "in"), spindle_speed=500, passes=2)
    >>> cut.minutes, str(cut.feed_rate.units)
    (2.0, 'inch / minute')
    """
    across = amount(bore, LENGTH, "bore")
    sums = WorkingBuilder("Boring", bore)
    done = count_passes(sums, passes, total_depth, depth_per_pass)
    if 2 * done.total > across * (1 + 1e-9):
        raise ValueError("The depth of cut is more than the radius of the bore. Depths are taken on the radius.")
    spun = spin(sums, across, cutting_speed, spindle_speed, machine, "finished bore")
    way = Way(approach, overtravel, return_time, specific_energy, machine)
    return _along(sums, spun, done, across - done.depth, length, feed, way)


def _along(
    sums: WorkingBuilder, spun: Spin, done: Passes, mean: float, length: Quantity, feed: Quantity, way: Way
) -> Cut:
    long = amount(length, LENGTH, "length of cut")
    rate, feed_rate = feed_rate_line(sums, amount(feed, FEED, "feed"), spun.turns, 1)
    load = NO_LOAD
    if done.depth:
        cubic = math.pi * mean * done.depth * rate
        mean_and_depth = f"{sums.show(mean, 'length')} × {sums.show(done.depth, 'length')}"
        numbers = f"π × {mean_and_depth} × {sums.show(rate, 'feed rate')}"
        sums.given("d", "depth of one pass", done.depth, "length")
        removal = sums.removal("π·Dm·d·vf", numbers, cubic, "at the mean diameter of the cut")
        load = load_lines(sums, removal, cubic, way.specific_energy, spun.turns, way.machine)
    travel = travel_line(sums, long, way.approach, way.overtravel)
    time = time_line(sums, travel, rate, done.number, back_line(sums, way.return_time))
    return finished(sums, time, spun, feed_rate, load, done.number)
