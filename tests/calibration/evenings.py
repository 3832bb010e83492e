"""Working a simulated build off, evening by evening, and the log that its builder keeps of it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from tests.calibration.weeks import evenings
from tests.calibration.world import Shop, SimulatedOperation, SimulatedPart, World, draw_operation, draw_part, draw_shop

LEAST_CHANCE_GOOD = 0.15
PLANNED_HOURS_OF_AN_ADDITION = 2.5


@dataclass
class LoggedEntry:
    """One entry; days are counted from the first. `part` is None for shop time."""

    since: int
    day: int
    minutes: float
    part: int | None = None
    operation: int | None = None
    batch: int | None = None
    good: int = 0
    scrap: int = 0
    reworked: int = 0


@dataclass
class History:
    """A whole build: its parts as they were at the end, batches (part, blanks, day) and the log, oldest first."""

    shop: Shop
    entries: list[LoggedEntry] = field(default_factory=list)
    batches: list[tuple[int, int, int]] = field(default_factory=list)

    @property
    def hours(self) -> float:
        return sum(entry.minutes for entry in self.entries) / 60

    @property
    def last_day(self) -> int:
        return max(entry.day for entry in self.entries)


@dataclass
class Run:
    """One operation worked on the pieces of a batch: a set-up and then piece after piece."""

    part: SimulatedPart
    operation: SimulatedOperation
    pieces: int
    batch: int
    setup_left: float = -1.0
    piece_left: float = 0.0
    done: int = 0
    good: int = 0
    scrap: int = 0
    reworked: int = 0
    noted: tuple[int, int, int] = (0, 0, 0)


@dataclass
class Job:
    """A batch on its way through the route; `place` is the operation it is at."""

    part: SimulatedPart
    place: int
    batch: int
    pieces: int
    run: Run | None = None


def simulate(world: World, seed: int) -> History:
    """Return a whole build, from the first evening to the last piece. The same seed gives the same build."""
    shop = draw_shop(world, seed)
    return worked_off(Bench(shop, History(shop)))


def worked_off(bench: Bench) -> History:
    """Return the history of a bench that works until everything is made."""
    world = bench.shop.world
    for day, hours in evenings(bench.shop, lambda: bench.worked_minutes):
        bench.work(day, 60 * hours)
        if bench.finished:
            break
    if world.lumps_a_month:
        bench.history.entries = _by_month(bench.history.entries)
    return bench.history


class Bench:
    """The builder at work: jobs in hand, the one in front first."""

    def __init__(self, shop: Shop, history: History) -> None:
        self.shop, self.history, self.rng = shop, history, shop.rng
        self.jobs: list[Job] = []
        self.waiting = list(shop.parts)
        self.planned_at_first = len(shop.parts)
        self.worked_minutes = 0.0
        self.shop_minutes_due = 0.0
        self.doubled = False
        self.today = 0
        # A builder takes the parts nearly in the order they stand in the plan.
        order = np.arange(len(self.waiting)) + 4 * self.rng.standard_normal(len(self.waiting))
        self.waiting = [self.waiting[place] for place in np.argsort(order)]

    @property
    def finished(self) -> bool:
        return not self.jobs and not self.waiting

    def work(self, day: int, minutes: float) -> None:
        """Spend an evening: on shop time when some is due, otherwise on the job in front."""
        self.today = day
        minutes = 15.0 * max(1, round(minutes / 15))
        if self.shop_minutes_due > minutes / 2 and self.rng.random() < 0.5:
            self.history.entries.append(LoggedEntry(day, day, minutes))
            self.shop_minutes_due -= minutes
            return
        share = self.shop.shop_share * math.exp(0.7 * self.rng.standard_normal() - 0.245)
        self.shop_minutes_due += minutes * share / (1 - self.shop.shop_share)
        left = minutes
        while left > 0.5 and not self.finished:
            left -= self._work_in_front(left)
        self.worked_minutes += minutes - left
        if self.jobs and self.rng.random() < 0.04:
            self._set_aside()
        if self.jobs and self.rng.random() < self.shop.world.given_up:
            self._give_up_what_is_in_hand()
        self._grow(minutes / 60)

    def _work_in_front(self, left: float) -> float:
        """Work on the run in front until it is through or the evening over; log it. Return the minutes spent."""
        if not self.jobs:
            self._open_batch(self.waiting.pop(0), None)
        job = self.jobs[0]
        run = job.run = job.run or self._start_run(job)
        spent = 0.0
        while spent < left and run.done < run.pieces:
            spent += self._work_on_piece(run, left - spent)
        through = run.done >= run.pieces
        self._log(run, spent, through)
        if through:
            self._pass_on(job, run)
        return spent

    def _start_run(self, job: Job) -> Run:
        operation = job.part.operations[job.place]
        run = Run(job.part, operation, job.pieces, job.batch)
        run.setup_left = operation.setup_minutes * math.exp(operation.log_ratio + 0.2 * self.rng.standard_normal())
        run.piece_left = self._piece_minutes(operation)
        return run

    def _piece_minutes(self, operation: SimulatedOperation) -> float:
        operation.tried += 1
        noise = self.shop.world.piece_log_sd * self.rng.standard_normal()
        learnt = operation.tried**operation.learning_slope
        return operation.minutes_per_piece * learnt * math.exp(operation.log_ratio + noise)

    def _work_on_piece(self, run: Run, left: float) -> float:
        if run.setup_left > 0:
            spent = min(run.setup_left, left)
            run.setup_left -= spent
            return spent
        spent = min(run.piece_left, left)
        run.piece_left -= spent
        if run.piece_left > 1e-9:
            return spent
        run.done += 1
        if self.rng.random() < max(LEAST_CHANCE_GOOD, run.operation.chance_good):
            run.good += 1
            run.reworked += self.rng.random() < 0.03
        else:
            run.scrap += 1
        if run.done < run.pieces:
            run.piece_left = self._piece_minutes(run.operation)
        return spent

    def _log(self, run: Run, spent: float, through: bool) -> None:
        entry = LoggedEntry(self.today, self.today, max(1.0, round(spent)), run.part.key, run.operation.key)
        entry.batch = run.batch if self.shop.opens_batches else None
        at_end = run.operation is run.part.operations[-1]
        if self.shop.world.counted_at_part_end_only and not at_end:
            counts = False
        else:
            counts = through or self.shop.counts_each_evening
        if counts:
            before = run.noted
            run.noted = (run.good, run.scrap, run.reworked)
            entry.good, entry.scrap, entry.reworked = (now - then for now, then in zip(run.noted, before, strict=True))
        self.history.entries.append(entry)

    def _pass_on(self, job: Job, run: Run) -> None:
        job.run, job.pieces = None, run.good
        job.place += 1
        if job.pieces and job.place < len(job.part.operations):
            return
        self.jobs.remove(job)
        part = job.part
        part.good += job.pieces
        if any(other.part is part for other in self.jobs):
            return
        short = part.quantity + part.spares - part.good
        if short > 0:
            self._open_batch(part, short)

    def _open_batch(self, part: SimulatedPart, short: int | None) -> None:
        blanks = part.quantity + part.spares if short is None else short
        if blanks >= 4 and self.rng.random() < 0.25:
            blanks += max(1, round(0.1 * blanks))
        self.history.batches.append((part.key, blanks, self.today))
        self.jobs.insert(0, Job(part, 0, len(self.history.batches), blanks))

    def _set_aside(self) -> None:
        """Something else is more fun: the batch in front waits, often in the middle of an operation."""
        job = self.jobs.pop(0)
        if self.waiting:
            self._open_batch(self.waiting.pop(0), None)
        self.jobs.insert(int(self.rng.integers(1, len(self.jobs) + 1)) if self.jobs else 0, job)

    def _give_up_what_is_in_hand(self) -> None:
        """What was done of the operation in hand since the last count was in vain, and is begun anew."""
        run = self.jobs[0].run
        if run is not None and run.noted == (0, 0, 0):
            run.operation.tried -= run.done + 1
            self.jobs[0].run = None

    def _grow(self, hours: float) -> None:
        """Something was forgotten: one more operation on a part that is not done, or one more part."""
        world = self.shop.world
        additions = int(self.rng.poisson(hours * self.shop.growth / PLANNED_HOURS_OF_AN_ADDITION))
        for _ in range(additions):
            self._add_one()
        begun = self.planned_at_first - len(self.waiting)
        if world.plan_doubles and not self.doubled and begun >= self.planned_at_first / 2:
            self.doubled = True
            for _ in range(self.planned_at_first):
                self._add_part()

    def _add_one(self) -> None:
        open_parts = [*self.waiting, *(job.part for job in self.jobs)]
        if open_parts and self.rng.random() < 0.6:
            part = open_parts[int(self.rng.integers(len(open_parts)))]
            size = 1 / math.sqrt(part.quantity)
            part.operations.append(draw_operation(self.shop, size, self.shop.mix_of(part.group), self.today))
        else:
            self._add_part()

    def _add_part(self) -> None:
        part = draw_part(self.shop, "later", self.today)
        self.shop.parts.append(part)
        self.waiting.append(part)


def _by_month(entries: list[LoggedEntry]) -> list[LoggedEntry]:
    """The same work written down once a month, in whole hours, with what was counted in the month."""
    lumps: dict[tuple[int, int | None, int | None], LoggedEntry] = {}
    for entry in entries:
        month = entry.day // 30
        key = (month, entry.operation, entry.batch)
        lump = lumps.setdefault(
            key, LoggedEntry(30 * month, 30 * month + 29, 0.0, entry.part, entry.operation, entry.batch)
        )
        lump.minutes += entry.minutes
        lump.good, lump.scrap = lump.good + entry.good, lump.scrap + entry.scrap
        lump.reworked += entry.reworked
    for lump in lumps.values():
        lump.minutes = 60.0 * max(1, round(lump.minutes / 60)) if lump.minutes > 25 else 30.0
    return list(lumps.values())
