"""Time at the lathe with a tool that travels along the work: turning and boring.

Source: [1] time = travel ÷ rate of feed, as in any machining handbook; removal = π·Dm·d·f·N, Dm the mean diameter of
the cut.
"""

from __future__ import annotations

import math

from calcs.cutting.passes import Passes, count_passes, time_of_passes
from calcs.cutting.power import NO_LOAD, load_lines, make_cut
from calcs.cutting.results import Cut
from calcs.cutting.set_up import ONE_PASS, Depths, SetUp
from calcs.cutting.speeds import Spin, spin
from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount
from calcs.units.kinds import FEED, LENGTH
from calcs.working.builder import WorkingBuilder


def turning(diameter: Quantity, length: Quantity, feed: Quantity, set_up: SetUp, depths: Depths = ONE_PASS) -> Cut:
    """Return the time to turn a length down: passes × (travel ÷ (f·N) + return). Formula [1].

    diameter: of the work before the cut; the spindle speed is kept for all passes. feed: for each turn. Depths are
    radial: 1 mm of depth takes 2 mm off the diameter. ValueError where a figure makes no sense.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = turning(Q(50, "mm"), Q(100, "mm"), Q(0.2, "mm"), SetUp(spindle_speed=1000))
    >>> round(cut.minutes, 3)
    0.5
    """
    across = amount(diameter, LENGTH, _("diameter"))
    sums = WorkingBuilder(_("Turning"), diameter)
    done = count_passes(sums, depths)
    if 2 * done.total > across * (1 + 1e-9):
        raise ValueError(_("The depth of cut is more than the radius of the work. Depths are taken on the radius."))
    spun = spin(sums, set_up, across, amount(feed, FEED, _("feed")))
    return _along(sums, set_up, spun, done, across - done.depth, length)


def boring(bore: Quantity, length: Quantity, feed: Quantity, set_up: SetUp, depths: Depths = ONE_PASS) -> Cut:
    """Return the time to bore a hole out to the diameter `bore`, as `turning` does; depths are radial. Formula [1].

    The cutting speed is taken at the finished bore, where it is highest.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut = boring(Q(1, "in"), Q(2, "in"), Q(0.004, "in"), SetUp(spindle_speed=500), Depths(passes=2))
    >>> cut.minutes, str(cut.feed_rate.units)
    (2.0, 'inch / minute')
    """
    across = amount(bore, LENGTH, _("bore"))
    sums = WorkingBuilder(_("Boring"), bore)
    done = count_passes(sums, depths)
    if 2 * done.total > across * (1 + 1e-9):
        raise ValueError(_("The depth of cut is more than the radius of the bore. Depths are taken on the radius."))
    spun = spin(sums, set_up, across, amount(feed, FEED, _("feed")), _("finished bore"))
    return _along(sums, set_up, spun, done, across - done.depth, length)


def _along(sums: WorkingBuilder, set_up: SetUp, spun: Spin, done: Passes, mean: float, length: Quantity) -> Cut:
    """Write down load and time along `length`; `mean`: diameter in mm in the middle of the chip."""
    long = amount(length, LENGTH, _("length of cut"))
    load = NO_LOAD
    if done.depth:
        sums.given("d", _("depth of one pass"), done.depth, "length")
        sizes = f"{sums.show(mean, 'length')} × {sums.show(done.depth, 'length')}"
        numbers, cubic = f"π × {sizes} × {sums.show(spun.rate, 'feed rate')}", math.pi * mean * done.depth * spun.rate
        load = load_lines(sums, set_up, spun.turns, "π·Dm·d·vf", numbers, cubic, _("at the mean diameter of the cut"))
    time = time_of_passes(sums, set_up, long, spun.rate, done.number)
    return make_cut(sums, time, spun, load, done.number)
