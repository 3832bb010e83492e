"""What comes out of a sum about cutting."""

from __future__ import annotations

from dataclasses import dataclass

from calcs.units.argument_checks import Quantity
from calcs.working.result import Working


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
    def minutes(self) -> float:
        """The time as a bare number of minutes."""
        return float(self.time.to("minute").magnitude)
