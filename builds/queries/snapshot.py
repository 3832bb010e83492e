"""A build's plan and log, read once: the figures that every page, the board, the commands and the charts start from."""

from collections import defaultdict
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property

from builds.models import Assembly, Batch, Build, Entry, Milestone, Operation, Part
from builds.models.choices import Source
from builds.models.own_rate import first_planned
from builds.queries.plan.work_out import SUM_OF_KIND, gone_stale
from calcs.parts.count import PieceCount, count_pieces
from calcs.parts.plan import BuildPlan, Closure, MilestonePlan, OperationPlan, PartPlan, Stint


@dataclass
class Tally:
    """What the log says of one operation, or of a part where no operation was named. Minutes and pieces."""

    good: int = 0
    reworked: int = 0
    scrap: int = 0
    counted_minutes: int = 0
    open_minutes: int = 0
    unattended_minutes: int = 0
    times_unknown: bool = False
    entries: int = 0
    batches: set[int | None] = field(default_factory=set)
    last_on: date | None = None
    # Bench minutes since the count before, and the pieces then counted, in the order logged: learning is read from it.
    piece_minutes: list[tuple[float, int]] = field(default_factory=list)

    @property
    def bench_minutes(self) -> int:
        return self.counted_minutes + self.open_minutes

    def take(self, row: "LogRow") -> None:
        """Add one entry. They come oldest first, since minutes before a count belong to the pieces counted."""
        self.entries += 1
        self.last_on = row.worked_on
        self.open_minutes += row.bench_minutes or 0
        self.unattended_minutes += row.unattended_minutes
        self.times_unknown |= row.bench_minutes is None
        self.batches.add(row.batch_id)
        if row.good or row.scrap:
            self.good += row.good
            self.reworked += row.reworked
            self.scrap += row.scrap
            self.piece_minutes.append((float(self.open_minutes), row.good + row.scrap))
            self.counted_minutes += self.open_minutes
            self.open_minutes = 0


@dataclass(frozen=True)
class LogRow:
    """One kept entry, as far as sums need it."""

    pk: int
    worked_on: date
    since_on: date | None
    part_id: int | None
    operation_id: int | None
    batch_id: int | None
    activity: str
    bench_minutes: int | None
    bench_is: str
    unattended_minutes: int
    good: int
    reworked: int
    scrap: int
    scrap_reason: str


LOG_COLUMNS = tuple(LogRow.__dataclass_fields__)


@dataclass(frozen=True)
class OperationRow:
    operation: Operation
    tally: Tally
    plan: OperationPlan

    @property
    def can_be_worked_out(self) -> bool:
        """Whether there is a sum for this kind of operation; lapping and fitting have none."""
        return self.operation.kind in SUM_OF_KIND or self.operation.worked is not None

    @property
    def stale(self) -> str:
        """What has changed since its time was worked out, as a sentence; empty where nothing has."""
        return gone_stale(self.operation)


@dataclass(frozen=True)
class PartRow:
    """A part with its route, what was logged on it, and where its pieces stand."""

    part: Part
    operations: tuple[OperationRow, ...]
    elsewhere: Tally
    batches: tuple[Batch, ...]
    plan: PartPlan
    count: PieceCount
    marked_finished: bool

    @property
    def bench_minutes(self) -> int:
        return self.elsewhere.bench_minutes + sum(line.tally.bench_minutes for line in self.operations)

    @property
    def quantity_made(self) -> bool:
        return self.count.quantity_made

    @property
    def begun(self) -> bool:
        return self.elsewhere.entries > 0 or any(line.tally.entries for line in self.operations)

    @property
    def unestimated(self) -> bool:
        """Whether nobody has said yet how long this part takes. A bought part takes no bench time."""
        if self.quantity_made or self.plan.marked_finished:
            return False
        return all(line.plan.minutes_per_piece is None for line in self.operations)

    @property
    def next_operation(self) -> Operation | None:
        """The first operation that has not passed the pieces the build needs."""
        if self.quantity_made:
            return None
        return next(
            (
                line.operation
                for line, passed in zip(self.operations, self.count.passed, strict=True)
                if passed < self.part.quantity
            ),
            None,
        )


@dataclass(frozen=True)
class BuildSnapshot:
    """Everything that is known of a build on a day. Entries after `as_of`, and what joined the plan after it, are out.

    `rows` are the kept entries, oldest first. Takes nine queries, whatever the build's size.
    """

    build: Build
    as_of: date
    assemblies: tuple[Assembly, ...]
    parts: tuple[PartRow, ...]
    rows: tuple[LogRow, ...]
    closures: tuple[Closure, ...]
    milestones: tuple[Milestone, ...]

    @cached_property
    def by_part(self) -> dict[int, PartRow]:
        return {line.part.pk: line for line in self.parts}

    @cached_property
    def stints(self) -> tuple[Stint, ...]:
        """The headline hours by day: operations, and the shop time that this build counts."""
        return tuple(
            Stint(
                first=row.since_on or row.worked_on,
                last=row.worked_on,
                minutes=row.bench_minutes or 0,
                kind="shop" if row.activity else "operation",
                unattended_minutes=row.unattended_minutes,
            )
            for row in self.rows
            if not row.activity or row.activity in self.build.counted
        )

    @property
    def headline_minutes(self) -> int:
        return round(sum(stint.minutes for stint in self.stints))

    @property
    def unattended_minutes(self) -> int:
        return sum(row.unattended_minutes for row in self.rows)

    @property
    def parts_made(self) -> int:
        return sum(line.quantity_made for line in self.parts)

    def build_plan(self) -> BuildPlan:
        """The same as plain figures, for the arithmetic."""
        return BuildPlan(
            parts=tuple(line.plan for line in self.parts),
            stints=self.stints,
            closures=self.closures,
            milestones=tuple(
                MilestonePlan(m.pk, m.name, self._milestone_parts(m))
                for m in self.milestones
                if m.reached_on is None or m.reached_on > self.as_of
            ),
            started_on=self.build.started_on or (self.rows[0].worked_on if self.rows else None),
        )

    def _milestone_parts(self, milestone: Milestone) -> frozenset[int]:
        below: dict[int | None, list[int]] = defaultdict(list)
        for assembly in self.assemblies:
            below[assembly.parent_id].append(assembly.pk)
        wanted, waiting = set(), [a.pk for a in milestone.assemblies.all()]
        while waiting:
            pk = waiting.pop()
            if pk not in wanted:
                wanted.add(pk)
                waiting.extend(below[pk])
        named = {part.pk for part in milestone.parts.all()}
        return frozenset(
            line.part.pk for line in self.parts if line.part.pk in named or line.part.assembly_id in wanted
        )


@dataclass(frozen=True)
class Records:
    """What the database holds of a build up to a day, read once, so that the snapshots of many days can be made of it."""

    build: Build
    until: date
    rows: tuple[LogRow, ...]
    parts: tuple[Part, ...]
    operations: tuple[Operation, ...]
    batches: tuple[Batch, ...]
    assemblies: tuple[Assembly, ...]
    closures: tuple[Closure, ...]
    milestones: tuple[Milestone, ...]


def read_snapshot(build: Build, as_of: date) -> BuildSnapshot:
    """Read a build as it stood at the end of a day. Nine queries."""
    return snapshot_of(read_records(build, as_of), as_of)


def read_records(build: Build, until: date) -> Records:
    """Read everything that a snapshot of that day or an earlier one is made of. Nine queries."""
    parts = tuple(Part.objects.filter(build=build).select_related("material", "sheet", "assembly"))
    by_key = {part.pk: part for part in parts}
    listed = Operation.objects.filter(part__build=build).select_related("machine").order_by("number")
    # A part that somebody adds between the two queries is left for the next reading.
    operations = tuple(operation for operation in listed if operation.part_id in by_key)
    for operation in operations:
        # Its material is read with the part; asking each operation for its part would be a query each.
        operation.part = by_key[operation.part_id]
    return Records(
        build=build,
        until=until,
        rows=read_log_rows(build, until),
        parts=parts,
        operations=operations,
        batches=tuple(Batch.objects.filter(part__build=build, started_on__lte=until).order_by("number")),
        assemblies=tuple(build.assemblies.all()),
        closures=tuple(Closure(c.from_on, c.to_on, c.hours_per_week) for c in build.closures.all()),
        milestones=tuple(build.milestones.prefetch_related("parts", "assemblies")),
    )


def snapshot_of(records: Records, as_of: date) -> BuildSnapshot:
    """The build as it stood at the end of a day, which is not later than what was read. No queries."""
    if as_of > records.until:
        raise ValueError("A snapshot is made of records that were read up to its day.")
    rows = tuple(row for row in records.rows if row.worked_on <= as_of)
    by_operation: dict[int, Tally] = defaultdict(Tally)
    by_part: dict[int, Tally] = defaultdict(Tally)
    for row in rows:
        if row.operation_id is not None:
            by_operation[row.operation_id].take(row)
        elif row.part_id is not None:
            by_part[row.part_id].take(row)
    operations: dict[int, list[Operation]] = defaultdict(list)
    yet_to_join = set[int]()
    for operation in records.operations:
        if operation.added_on is None or operation.added_on <= as_of:
            operations[operation.part_id].append(operation)
        else:
            yet_to_join.add(operation.part_id)
    # A part whose whole route is of later days was no part of the plan yet, unless the log knows it.
    yet_to_join -= {*operations, *(row.part_id for row in rows if row.part_id is not None)}
    batches: dict[int, list[Batch]] = defaultdict(list)
    for batch in records.batches:
        if batch.started_on <= as_of:
            batches[batch.part_id].append(batch)
    return BuildSnapshot(
        build=records.build,
        as_of=as_of,
        assemblies=records.assemblies,
        parts=tuple(
            _part_line(part, operations[part.pk], by_operation, by_part[part.pk], batches[part.pk], as_of)
            for part in records.parts
            if part.pk not in yet_to_join
        ),
        rows=rows,
        closures=records.closures,
        milestones=records.milestones,
    )


def read_log_rows(build: Build, as_of: date) -> tuple[LogRow, ...]:
    """The kept entries up to a day, oldest first. One query."""
    kept = Entry.objects.filter(build=build, removed_at__isnull=True, worked_on__lte=as_of)
    return tuple(LogRow(*row) for row in kept.order_by("worked_on", "pk").values_list(*LOG_COLUMNS))


def _part_line(
    part: Part,
    operations: list[Operation],
    tallies: dict[int, Tally],
    elsewhere: Tally,
    batches: list[Batch],
    as_of: date,
) -> PartRow:
    lines = tuple(_operation_line(operation, tallies.get(operation.pk) or Tally()) for operation in operations)
    finished = part.finished_on is not None and part.finished_on <= as_of
    plan = PartPlan(
        key=part.pk,
        name=str(part),
        group=str(part.assembly_id or ""),
        quantity=part.quantity,
        spares=part.spares,
        operations=tuple(line.plan for line in lines),
        bench_minutes_elsewhere=elsewhere.bench_minutes,
        # A part that is only bought waits for the post, not for bench hours.
        marked_finished=finished or (part.source == Source.BOUGHT and not operations),
        waiting=part.waiting_since_on is not None and part.waiting_since_on <= as_of,
        blanks_started=sum(batch.blanks for batch in batches),
    )
    count = count_pieces(replace(plan, marked_finished=finished))
    return PartRow(part, lines, elsewhere, tuple(batches), plan, count, finished)


def _operation_line(operation: Operation, tally: Tally) -> OperationRow:
    # The log is held against what was first planned: a figure at the shop's own rate has the ratio in it already.
    first = first_planned(operation)
    plan = OperationPlan(
        key=operation.pk,
        kind=operation.kind,
        setup_minutes=operation.setup_minutes,
        minutes_per_piece=first.minutes_per_piece(operation.amount),
        unattended_share=operation.unattended_share,
        rough=first.origin == "rough",
        good=tally.good,
        reworked=tally.reworked,
        scrap=tally.scrap,
        bench_minutes_counted=tally.counted_minutes,
        bench_minutes_open=tally.open_minutes,
        unattended_minutes=tally.unattended_minutes,
        times_unknown=tally.times_unknown,
        setups_done=len(tally.batches),
        added_on=operation.added_on,
        piece_minutes=tuple(tally.piece_minutes),
    )
    return OperationRow(operation, tally, plan)
