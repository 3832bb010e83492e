"""Removal rate, power at the cutter, torque, force, and the finish that the feed leaves.

Sources of the formulas: [1] P = u·Q, torque = P/(2π·N), force = P/V: mechanics; the specific cutting energy u is a
figure of experience (see calcs/tables/specific_energies.csv). [2] Rt = f²/(8·r): geometry of a round nose, valid
while the feed is small beside it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.cutting.results import Cut, Machine, Result
from calcs.cutting.speeds import Spin
from calcs.units.argument_checks import Quantity, amount, ratio, turns_a_minute
from calcs.units.figures import format_plain, format_significant
from calcs.units.kinds import ENERGY, FEED, LENGTH, POWER, REMOVAL, SPEED
from calcs.working.builder import WorkingBuilder

ENERGY_LAW = "power = specific energy × removal rate"


@dataclass(frozen=True)
class Load:
    """What a cut asks of the machine, as far as it is known, and what to say about it."""

    removal: Quantity | None = None
    power: Quantity | None = None
    torque: Quantity | None = None
    remarks: tuple[str, ...] = ()


NO_LOAD = Load()


def cutting_power(removal_rate: Quantity, specific_energy: Quantity, efficiency: float = 1.0) -> Result:
    """Return the power that a removal rate takes: P = u·Q ÷ η, in W or hp as the rate was given. Formula [1].

    specific_energy: energy for each volume (J/mm³, hp·min/in³) or, which is the same, a specific force (MPa).
    efficiency: 1 for the power at the cutter; the drive's efficiency for the power at the motor.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> power = cutting_power(Q(3, "mm") * Q(0.2, "mm") * Q(120, "m/min"), Q(3100, "MPa"), 0.8)
    >>> round(power.value.to("kW").magnitude, 3)
    4.65
    """
    rate = amount(removal_rate, REMOVAL, "removal rate")
    energy = amount(specific_energy, ENERGY, "specific energy")
    share = ratio(efficiency, "efficiency", 0.01, 1)
    sums = WorkingBuilder("Power", removal_rate)
    sums.given("Q", "removal rate", rate, "removal")
    _, value = power_line(sums, rate, energy, share)
    return Result(value, sums.working())


def torque(power: Quantity, spindle_speed: Quantity | float) -> Result:
    """Return the torque of a power at a spindle speed: M = P ÷ (2π·N), in N·m or lbf·in. Formula [1].

    >>> from calcs.units.registry import registry
    >>> round(torque(registry().Quantity(128, "W"), 400).value.magnitude, 2)
    3.06
    """
    watts, turns = amount(power, POWER, "power"), turns_a_minute(spindle_speed)
    sums = WorkingBuilder("Torque", power)
    sums.given("P", "power", watts, "power")
    return Result(torque_line(sums, watts, turns), sums.working())


def cutting_force(power: Quantity, cutting_speed: Quantity) -> Result:
    """Return the force along the cut: F = P ÷ V, in N or lbf. Formula [1].

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(cutting_force(Q(128, "W"), Q(15.4, "m/min")).value.magnitude)
    499
    """
    watts, speed = amount(power, POWER, "power"), amount(cutting_speed, SPEED, "cutting speed")
    sums = WorkingBuilder("Cutting force", power)
    sums.given("P", "power", watts, "power")
    sums.given("V", "cutting speed", speed, "speed")
    per = 33_000 if sums.inch else 60
    numbers = f"{per} × {sums.show(watts, 'power')} ÷ {sums.show(speed, 'speed')}"
    return Result(sums.line("F", f"{per}·P ÷ V", numbers, watts / speed * 60, "force"), sums.working())


def removal_rate(cutting_speed: Quantity, feed: Quantity, depth: Quantity) -> Result:
    """Return what turning removes in a time: Q = V·f·d, the speed taken at the middle of the cut.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(removal_rate(Q(1.8, "m/s"), Q(0.3, "mm"), Q(2.6, "mm")).value.to("mm³/s").magnitude)
    1404
    """
    speed, each = amount(cutting_speed, SPEED, "cutting speed"), amount(feed, FEED, "feed")
    deep = amount(depth, LENGTH, "depth of cut")
    sums = WorkingBuilder("Removal rate", feed, depth)
    numbers = f"{sums.show(speed, 'speed')} × {sums.show(each, 'feed')} × {sums.show(deep, 'length')}"
    if sums.inch:
        numbers = f"12 × {numbers}"
    formula = "12·V·f·d" if sums.inch else "V·f·d"
    return Result(sums.line("Q", formula, numbers, speed * 1000 * each * deep, "removal"), sums.working())


def theoretical_finish(feed: Quantity, nose_radius: Quantity) -> Result:
    """Return the height of the ridges that a round-nosed tool leaves, Rt = f² ÷ (8·r). Formula [2].

    ValueError where the feed is above the nose's radius: the formula no longer holds there.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(theoretical_finish(Q(0.2, "mm"), Q(0.8, "mm")).value.magnitude, 3)
    6.25
    """
    each, nose = amount(feed, FEED, "feed"), amount(nose_radius, LENGTH, "nose radius")
    if each > nose:
        raise ValueError("The feed is larger than the tool's nose radius; this formula holds for smaller feeds.")
    sums = WorkingBuilder("Theoretical finish", feed)
    sums.given("f", "feed for each turn", each, "feed")
    sums.given("r", "nose radius of the tool", nose, "length")
    per = "1,000,000" if sums.inch else "1000"
    numbers = f"{per} × {sums.show(each, 'feed')}² ÷ (8 × {sums.show(nose, 'length')})"
    value = sums.line("Rt", f"{per}·f² ÷ (8·r)", numbers, each**2 / (8 * nose), "finish", "geometry of a round nose")
    return Result(value, sums.working())


def power_line(sums: WorkingBuilder, rate: float, energy: float, efficiency: float = 1.0) -> tuple[float, Quantity]:
    """Write down the power in watts for mm³/min and J/mm³."""
    sums.given("u", "specific cutting energy", energy, "energy")
    watts = energy * rate / 60 / efficiency
    formula, numbers = "u·Q", f"{sums.show(energy, 'energy')} × {sums.show(rate, 'removal')}"
    if not sums.inch:
        formula, numbers = f"{formula}·1000 ÷ 60", f"{numbers} × 1000 ÷ 60"
    if efficiency != 1:
        formula, numbers = f"{formula} ÷ η", f"{numbers} ÷ {format_plain(efficiency)}"
    return watts, sums.line("P", formula, numbers, watts, "power", ENERGY_LAW)


def torque_line(sums: WorkingBuilder, watts: float, turns: float) -> Quantity:
    """Write down the torque of so many watts at so many turns a minute: P ÷ (2π·N), the units' factor put in."""
    per = "63,025" if sums.inch else "9.549"
    numbers = f"{per} × {sums.show(watts, 'power')} ÷ {format_significant(turns, 'rev/min')}"
    return sums.line("M", f"{per}·P ÷ N", numbers, watts * 60 / (2 * math.pi * turns), "torque", "P ÷ (2π·N)")


def load_lines(
    sums: WorkingBuilder,
    removal: Quantity,
    cubic: float,
    specific_energy: Quantity | None,
    turns: float | None = None,
    machine: Machine | None = None,
) -> Load:
    """Write down power and torque of `cubic` mm³/min where the specific energy is known; say when it is too much."""
    if specific_energy is None:
        return Load(removal)
    watts, power = power_line(sums, cubic, amount(specific_energy, ENERGY, "specific energy"))
    moment = torque_line(sums, watts, turns) if turns else None
    has = machine.power_watts if machine else None
    if has is None or watts <= has:
        return Load(removal, power, moment)
    remark = (
        f"This takes {format_significant(watts)} W at the cutter and the machine has {format_significant(has)} W: "
        "take less depth, feed or speed."
    )
    return Load(removal, power, moment, (remark,))


def finished(
    sums: WorkingBuilder, time: Quantity, spun: Spin, feed_rate: Quantity | None, load: Load = NO_LOAD, passes: int = 1
) -> Cut:
    """The cut as it stands when its time has been written down."""
    return Cut(
        time,
        sums.working(),
        spun.spindle_speed,
        spun.cutting_speed,
        feed_rate,
        load.removal,
        load.power,
        load.torque,
        passes,
        spun.remarks + load.remarks,
    )
