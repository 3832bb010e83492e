"""What comes out of a sum about cutting, and the machine that it is held to."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.units.argument_checks import Quantity, turns_a_minute
from calcs.working.builder import Result
from calcs.working.result import Working

__all__ = ["Cut", "Machine", "Result"]


@dataclass(frozen=True)
class Cut:
    """A cut, worked out: `time` for all passes, holes or strokes together, in minutes. None where it has no meaning.

    The working's last line is the time. `remarks` are whole sentences to be shown beside it.
    """

    time: Quantity
    working: Working
    spindle_speed: Quantity | None = None
    cutting_speed: Quantity | None = None
    feed_rate: Quantity | None = None
    removal_rate: Quantity | None = None
    power: Quantity | None = None
    torque: Quantity | None = None
    passes: int = 1
    remarks: tuple[str, ...] = ()

    @property
    def value(self) -> Quantity:
        """The time."""
        return self.time

    @property
    def minutes(self) -> float:
        """The time as a bare number of minutes."""
        return float(self.time.to("minute").magnitude)


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
            raise ValueError("Give both the lowest and the highest speed of the machine, or neither.")
        if self.speed_low is not None and self.speed_high is not None:
            if self.speeds:
                raise ValueError("A machine has either speed steps or a range from low to high, not both.")
            if turns_a_minute(self.speed_low) > turns_a_minute(self.speed_high):
                raise ValueError("The lowest speed of the machine lies above its highest.")
        if self.power_watts is not None and not 0 < self.power_watts < 1e9:
            raise ValueError("The power of a machine is more than zero watts.")
