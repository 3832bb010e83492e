"""Removal rate, power at the cutter, torque, and the finish that the feed leaves.

Sources of the formulas: [1] P = u·Q, torque = P/(2π·N): mechanics; the specific cutting energy u is a figure of
experience (see calcs/shop/tables/specific_energies.csv). [2] Rt = f²/(8·r): geometry of a round nose, valid while the
feed is small beside it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.cutting.results import Cut
from calcs.cutting.set_up import SetUp
from calcs.cutting.speeds import STILL, Spin
from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount
from calcs.units.figures import format_significant
from calcs.units.kinds import ENERGY, FEED, LENGTH
from calcs.working.builder import Result, WorkingBuilder
from calcs.working.exactly_enough import format_in_full


@dataclass(frozen=True)
class Load:
    """What a cut asks of the machine, as far as it is known, and what to say about it."""

    removal: Quantity | None = None
    power: Quantity | None = None
    torque: Quantity | None = None
    remarks: tuple[str, ...] = ()


NO_LOAD = Load()


def theoretical_finish(feed: Quantity, nose_radius: Quantity) -> Result:
    """Return the height of the ridges that a round-nosed tool leaves, Rt = f² ÷ (8·r). Formula [2].

    ValueError where the feed is above the nose's radius: the formula no longer holds there.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(theoretical_finish(Q(0.2, "mm"), Q(0.8, "mm")).value.magnitude, 3)
    6.25
    """
    each, nose = amount(feed, FEED, _("feed")), amount(nose_radius, LENGTH, _("nose radius"))
    if each > nose:
        raise ValueError(_("The feed is larger than the tool's nose radius; this formula holds for smaller feeds."))
    sums = WorkingBuilder(_("Theoretical finish"), feed)
    sums.given("f", _("feed for each turn"), each, "feed")
    sums.given("r", _("nose radius of the tool"), nose, "length")
    per = "1,000,000" if sums.inch else "1000"
    numbers = f"{per} × {sums.show(each, 'feed')}² ÷ (8 × {sums.show(nose, 'length')})"
    source = _("geometry of a round nose")
    return Result(sums.line("Rt", f"{per}·f² ÷ (8·r)", numbers, each**2 / (8 * nose), "finish", source), sums.working())


def torque_line(sums: WorkingBuilder, watts: float, turns: float) -> Quantity:
    """Write down the torque of so many watts at so many turns a minute: P ÷ (2π·N), the units' factor put in."""
    per = "63,025" if sums.inch else "9.549"
    numbers = f"{per} × {sums.show(watts, 'power')} ÷ {format_in_full(turns)}"
    return sums.line("M", f"{per}·P ÷ N", numbers, watts * 60 / (2 * math.pi * turns), "torque", "P ÷ (2π·N)")


def load_lines(
    sums: WorkingBuilder, set_up: SetUp, turns: float, formula: str, numbers: str, cubic: float, note: str = ""
) -> Load:
    """Write down what is removed, `cubic` in mm³/min, and what that asks of the machine."""
    return power_lines(sums, set_up, sums.removal(formula, numbers, cubic, note), cubic, turns)


def power_lines(
    sums: WorkingBuilder, set_up: SetUp, removal: Quantity, cubic: float, turns: float | None = None
) -> Load:
    """Write down power and torque of `cubic` mm³/min where the specific energy is known; say when it is too much."""
    if set_up.specific_energy is None:
        return Load(removal)
    energy = amount(set_up.specific_energy, ENERGY, _("specific energy"))
    sums.given("u", _("specific cutting energy"), energy, "energy")
    watts, per = energy * cubic / 60, ("", "") if sums.inch else ("·1000 ÷ 60", " × 1000 ÷ 60")
    numbers = f"{sums.show(energy, 'energy')} × {sums.show(cubic, 'removal')}{per[1]}"
    power = sums.line("P", f"u·Q{per[0]}", numbers, watts, "power", _("power = specific energy × removal rate"))
    moment = torque_line(sums, watts, turns) if turns else None
    has = set_up.machine.power_watts if set_up.machine else None
    if has is None or watts <= has:
        return Load(removal, power, moment)
    remark = _(
        "This takes {takes} W at the cutter and the machine has {has} W: take less depth, feed or speed.",
        takes=format_significant(watts),
        has=format_significant(has),
    )
    return Load(removal, power, moment, (remark,))


def make_cut(sums: WorkingBuilder, time: Quantity, spun: Spin = STILL, load: Load = NO_LOAD, passes: int = 1) -> Cut:
    """The cut, when the last line of its working, the time, has been written down."""
    return Cut(
        time,
        sums.working(),
        spun.spindle_speed,
        spun.cutting_speed,
        spun.feed_rate,
        load.removal,
        load.power,
        load.torque,
        passes,
        spun.remarks + load.remarks,
    )
