"""A simulated build as its builder's plan and log showed it on some day."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date, timedelta

from calcs.parts.plan import BuildPlan, OperationPlan, PartPlan, Stint
from tests.calibration.coarse import without_counts
from tests.calibration.evenings import History, LoggedEntry
from tests.calibration.world import SimulatedOperation, SimulatedPart, World

FIRST_DAY = date(2020, 1, 6)


def day_of(day: int) -> date:
    return FIRST_DAY + timedelta(days=day)


@dataclass
class _Sums:
    good: int = 0
    scrap: int = 0
    reworked: int = 0
    counted: float = 0.0
    open: float = 0.0
    batches: set[int | None] = field(default_factory=set)
    counts: list[tuple[float, int]] = field(default_factory=list)

    def take(self, entry: LoggedEntry) -> None:
        self.open += entry.minutes
        self.batches.add(entry.batch)
        if entry.good or entry.scrap:
            self.counts.append((self.open, entry.good + entry.scrap))
            self.good, self.scrap = self.good + entry.good, self.scrap + entry.scrap
            self.reworked += entry.reworked
            self.counted, self.open = self.counted + self.open, 0.0


def plan_as_of(history: History, day: int, in_full: bool = False) -> BuildPlan:
    """Return the plan with the log up to and including that day, and nothing that came later.

    With `in_full` everything is counted by operation, whatever the builder of this world writes down.
    """
    sums: dict[int, _Sums] = defaultdict(_Sums)
    stints = []
    for entry in history.entries:
        if entry.day > day:
            continue
        if entry.operation is not None:
            sums[entry.operation].take(entry)
        kind = "operation" if entry.operation is not None else "shop"
        spent_on = {"part": entry.part, "operation": entry.operation}
        stints.append(Stint(day_of(entry.since), day_of(entry.day), entry.minutes, kind, **spent_on))
    blanks: dict[int, int] = defaultdict(int)
    if history.shop.opens_batches:
        for part, number, opened in history.batches:
            blanks[part] += number if opened <= day else 0
    parts = (_part(part, sums, blanks[part.key], day, history.shop.world) for part in history.shop.parts)
    known = tuple(part for part in parts if part.operations)
    if in_full or history.shop.world.logs == "operations":
        return BuildPlan(known, tuple(stints), started_on=FIRST_DAY)
    return BuildPlan(without_counts(known, history, day), tuple(stints), started_on=FIRST_DAY)


def _part(part: SimulatedPart, sums: dict[int, _Sums], blanks: int, day: int, world: World) -> PartPlan:
    known = [one for one in part.operations if one.added_on_day is None or one.added_on_day <= day]
    operations = tuple(_operation(one, sums.get(one.key) or _Sums(), world) for one in known)
    return PartPlan(
        part.key, f"part {part.key}", part.group, part.quantity, part.spares, operations, blanks_started=blanks
    )


def _operation(operation: SimulatedOperation, seen: _Sums, world: World) -> OperationPlan:
    return OperationPlan(
        key=operation.key,
        kind=operation.kind,
        setup_minutes=operation.setup_minutes,
        minutes_per_piece=operation.minutes_per_piece,
        rough=world.said_to_be_rough,
        good=seen.good,
        reworked=seen.reworked,
        scrap=seen.scrap,
        bench_minutes_counted=seen.counted,
        bench_minutes_open=seen.open,
        setups_done=len(seen.batches),
        piece_minutes=tuple(seen.counts),
        added_on=None if operation.added_on_day is None else day_of(operation.added_on_day),
    )
