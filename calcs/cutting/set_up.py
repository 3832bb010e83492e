"""How a cut is set up: the machine, its speed, the way of the tool before and behind the cut, and how deep it goes."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.messages import _
from calcs.units.argument_checks import Quantity, turns_a_minute


@dataclass(frozen=True)
class Machine:
    """What a machine's spindle can do: steps in rev/min, or a range from low to high; its power in watts.

    All may be left out: then nothing is held. ValueError for steps and a range together, or for figures that are
    no speeds.

    >>> Machine(speeds=(600, 150, 300)).speeds
    (150.0, 300.0, 600.0)
    """

    speeds: tuple[float, ...] = ()
    speed_low: float | None = None
    speed_high: float | None = None
    power_watts: float | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "speeds", tuple(sorted(turns_a_minute(one) for one in self.speeds)))
        if (self.speed_low is None) != (self.speed_high is None):
            raise ValueError(_("Give both the lowest and the highest speed of the machine, or neither."))
        if self.speed_low is not None and self.speed_high is not None:
            if self.speeds:
                raise ValueError(_("A machine has either speed steps or a range from low to high, not both."))
            if turns_a_minute(self.speed_low) > turns_a_minute(self.speed_high):
                raise ValueError(_("The lowest speed of the machine lies above its highest."))
        if self.power_watts is not None and not 0 < self.power_watts < 1e9:
            raise ValueError(_("The power of a machine is more than zero watts."))


@dataclass(frozen=True)
class SetUp:
    """How machine and tool are set, as far as it is given. What a process has no use for, it leaves aside.

    cutting_speed or spindle_speed: one of the two; for a shaper, double strokes a minute are its spindle speed.
    machine: what it has, the speed is held to. approach, overtravel: the way of the tool before and behind the cut.
    return_time: winding back after each pass. specific_energy: energy for each volume (J/mm³), or a specific force
    (MPa), which is the same; with it the power is known.
    """

    cutting_speed: Quantity | None = None
    spindle_speed: Quantity | float | None = None
    machine: Machine | None = None
    approach: Quantity | None = None
    overtravel: Quantity | None = None
    return_time: Quantity | None = None
    specific_energy: Quantity | None = None


@dataclass(frozen=True)
class Depths:
    """How deep a cut goes, as far as it is given: all of it, one pass, and in how many passes."""

    total_depth: Quantity | None = None
    depth_per_pass: Quantity | None = None
    passes: int | None = None


NO_SET_UP, ONE_PASS = SetUp(), Depths()
