"""What the forecast is worked out from: a build's plan and log, as plain figures.

Minutes are minutes, counts are whole pieces, shares run from 0 to 1. Zero, unknown and rough are three
different things here: a figure of 0 is a figure, None is no figure, and `rough` marks a guess.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

WHOLE_PART = "making"
"""The kind of the one operation that stands for all the work on a part until it is split."""


@dataclass(frozen=True)
class OperationPlan:
    """One operation of a part's route: what was planned for it and what the log says of it.

    `bench_minutes_counted` are the minutes of the entries up to and including the last one that counted
    pieces; `bench_minutes_open` are the minutes since, spent on pieces not counted yet. With `times_unknown`
    some entry has no known time, so no rate may be learned here. `reworked` is a part of `good`. `piece_minutes` are
    the counts in the order logged: bench minutes since the count before, and the pieces then counted, scrap too.
    Where it `never_scraps`, a slip costs time and never the piece: its yield is known to be 1.

    >>> plan = OperationPlan(1, "turning", 30, 12, unattended_share=0.25)
    >>> plan.bench_minutes_planned(pieces=10)
    112.5
    """

    key: int
    kind: str
    setup_minutes: float
    minutes_per_piece: float | None
    unattended_share: float = 0.0
    rough: bool = False
    good: int = 0
    reworked: int = 0
    scrap: int = 0
    bench_minutes_counted: float = 0.0
    bench_minutes_open: float = 0.0
    unattended_minutes: float = 0.0
    times_unknown: bool = False
    setups_done: int = 0
    added_on: date | None = None
    piece_minutes: tuple[tuple[float, int], ...] = ()
    never_scraps: bool = False

    @property
    def counted(self) -> int:
        """Pieces that were counted at this operation, good and scrap together."""
        return self.good + self.scrap

    @property
    def bench_minutes(self) -> float:
        """All bench minutes logged on this operation."""
        return self.bench_minutes_counted + self.bench_minutes_open

    def bench_minutes_planned(self, pieces: float, setups: float = 1.0) -> float:
        """Return the planned minutes at the bench for so many pieces; 0 where there is no figure per piece."""
        minutes = self.setup_minutes * setups + (self.minutes_per_piece or 0.0) * pieces
        return minutes * (1 - self.unattended_share)


@dataclass(frozen=True)
class PartPlan:
    """One part: how many the build needs, how many spares, and its route in working order.

    `number` says where the part's draws are read, so that they stay as they are whatever becomes of the others.
    `bench_minutes_elsewhere` were logged on the part without naming an operation. `blanks_started` are the
    blanks of its batches, 0 where no batch was opened. What is `bought` and has no route waits for the post, not for
    bench hours.
    """

    key: int
    name: str
    group: str
    quantity: int
    spares: int
    operations: tuple[OperationPlan, ...] = ()
    bench_minutes_elsewhere: float = 0.0
    marked_finished: bool = False
    waiting: bool = False
    blanks_started: int = 0
    bought: bool = False
    number: str = ""

    @property
    def quantity_with_spares(self) -> int:
        """Good pieces to be had of this part: what the build needs and the spares."""
        return self.quantity + self.spares

    @property
    def bench_minutes(self) -> float:
        """All bench minutes logged on this part, with or without an operation."""
        return self.bench_minutes_elsewhere + sum(operation.bench_minutes for operation in self.operations)


@dataclass(frozen=True)
class Stint:
    """Bench minutes of one entry, over the days it covers (both ends included), on an operation or on shop time.

    `part` and `operation` are the keys of what it was spent on, where the entry names them.
    """

    first: date
    last: date
    minutes: float
    kind: str = "operation"
    unattended_minutes: float = 0.0
    part: int | None = None
    operation: int | None = None


@dataclass(frozen=True)
class Closure:
    """Days on which the shop is closed (both ends included), or goes at another pace when one is given."""

    first: date
    last: date
    hours_per_week: float = 0.0


@dataclass(frozen=True)
class MilestonePlan:
    """A milestone: the parts that must be finished for it, and those that must have come so far.

    `up_to` are keys of a part and of one operation of it: the work of its route up to and with that one is needed.
    """

    key: int
    name: str
    part_keys: frozenset[int]
    up_to: tuple[tuple[int, int], ...] = ()
    reached_on: date | None = None

    @property
    def parts_touched(self) -> frozenset[int]:
        """Keys of the parts that it needs, whole or in part."""
        return self.part_keys | {part for part, _operation in self.up_to}


@dataclass(frozen=True)
class BuildPlan:
    """A whole build as the forecast sees it; milestones ahead stand in working order, those `reached` in any.

    `nesting` names the groups that stand inside another: each with the one that holds it.

    Of a build that was finished (`finished_on`) nothing is left, whatever its parts say, and no date lies ahead;
    one that is `resting` has hours left and no date.
    """

    parts: tuple[PartPlan, ...] = ()
    stints: tuple[Stint, ...] = ()
    closures: tuple[Closure, ...] = ()
    milestones: tuple[MilestonePlan, ...] = ()
    started_on: date | None = None
    finished_on: date | None = None
    resting: bool = False
    nesting: tuple[tuple[str, str], ...] = ()
    reached: tuple[MilestonePlan, ...] = ()
