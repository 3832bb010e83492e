"""What is known of a build on a day: its parts and operations, each with what the log says of it."""

from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from builds.models import Assembly, Batch, Build, Milestone, Operation, Part
from builds.models.total import LogRow, Tally
from builds.queries.log.account import BenchAccount, account_of
from builds.queries.plan.build_state import StateOnDay, state_on
from builds.queries.plan.work_out import gone_stale
from builds.queries.snapshot.records import read_log_rows
from calcs.cutting.processes import PROCESS_OF_KIND
from calcs.parts.count import PieceCount
from calcs.parts.plan import BuildPlan, Closure, MilestonePlan, OperationPlan, PartPlan, Stint
from calcs.parts.remaining import nothing_left, open_part, pieces_to_pass


@dataclass(frozen=True)
class OperationRow:
    operation: Operation
    tally: Tally
    plan: OperationPlan

    @property
    def can_be_worked_out(self) -> bool:
        """Whether there is a sum for this kind of operation; lapping and fitting have none."""
        return self.operation.kind in PROCESS_OF_KIND or self.operation.worked is not None

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

    @property
    def bench_minutes(self) -> int:
        return self.elsewhere.bench_minutes + sum(row.tally.bench_minutes for row in self.operations)

    @property
    def quantity_made(self) -> bool:
        return self.count.quantity_made

    @property
    def begun(self) -> bool:
        return self.elsewhere.entries > 0 or any(row.tally.entries for row in self.operations)

    @property
    def unestimated(self) -> bool:
        """Whether nobody has said yet how long this part takes. A bought part takes no bench time."""
        if self.quantity_made or nothing_left(self.plan):
            return False
        return all(row.plan.minutes_per_piece is None for row in self.operations)

    @cached_property
    def to_pass(self) -> tuple[int, ...]:
        """Good pieces that have still to pass each operation, spares among them."""
        return pieces_to_pass(self.plan, self.count)

    @property
    def planned_minutes_left(self) -> float:
        """Bench minutes that the route as it stands now plans for the rest: at the own rates it was brought to."""
        now = (replace(row.plan, minutes_per_piece=row.operation.minutes_per_piece) for row in self.operations)
        rest = open_part(replace(self.plan, operations=tuple(now)))
        return 0.0 if rest is None else rest.planned_minutes

    @property
    def next_operation(self) -> Operation | None:
        """The first operation that has not passed the pieces the build needs.

        A "making" whose place others took is passed by what comes after it.
        """
        if self.quantity_made:
            return None
        open_ones = [
            row.operation
            for row, passed in zip(self.operations, self.count.passed, strict=True)
            if passed < self.part.quantity
        ]
        return next((one for one in open_ones if not one.kept_for_its_log), open_ones[0] if open_ones else None)


@dataclass(frozen=True)
class PartsSnapshot:
    """What is known of some parts of a build on a day. What was logged or joined the plan after `as_of` is left out.

    Takes four queries, whatever the build's size.
    """

    build: Build
    as_of: date
    parts: tuple[PartRow, ...]

    @cached_property
    def rows(self) -> tuple[LogRow, ...]:
        """The kept entries on these parts, oldest first. One query, when they are first asked for."""
        return read_log_rows(self.build, self.as_of, self.by_part)

    @cached_property
    def state(self) -> StateOnDay:
        """Whether the build was under way, rested or was finished."""
        return state_on(self.build, self.as_of)

    @cached_property
    def by_part(self) -> dict[int, PartRow]:
        return {row.part.pk: row for row in self.parts}


@dataclass(frozen=True)
class BuildSnapshot(PartsSnapshot):
    """Everything that is known of a build on a day: all its parts, all its kept entries. Takes ten queries."""

    log: tuple[LogRow, ...]
    assemblies: tuple[Assembly, ...]
    closures: tuple[Closure, ...]
    milestones: tuple[Milestone, ...]

    @property
    def rows(self) -> tuple[LogRow, ...]:
        """The kept entries of the build, oldest first."""
        return self.log

    @cached_property
    def stints(self) -> tuple[Stint, ...]:
        """The headline hours by day: operations, and the shop time that this build counts."""
        return tuple(
            Stint(
                first=row.first_day,
                last=row.worked_on,
                minutes=row.bench_minutes or 0,
                kind="shop" if row.activity else "operation",
                unattended_minutes=row.unattended_minutes,
                part=row.part_id,
                operation=row.operation_id,
            )
            for row in self.rows
            if self.build.counts(row.activity)
        )

    @property
    def headline_minutes(self) -> int:
        return self.account.headline

    @cached_property
    def account(self) -> BenchAccount:
        """Where the minutes of the log went, and which of them are the headline hours."""
        return account_of(((row.activity, row.bench_minutes) for row in self.rows), self.build.counted)

    @property
    def unattended_minutes(self) -> int:
        return sum(row.unattended_minutes for row in self.rows)

    @property
    def open_milestones(self) -> tuple[Milestone, ...]:
        """The milestones that were not reached by that day, in the builder's order."""
        return tuple(m for m in self.milestones if m.reached_on is None or m.reached_on > self.as_of)

    def build_plan(self) -> BuildPlan:
        """The same as plain figures, for the arithmetic."""
        return BuildPlan(
            parts=tuple(row.plan for row in self.parts),
            stints=self.stints,
            closures=self.closures,
            milestones=tuple(self._milestone(one) for one in self.open_milestones),
            reached=tuple(self._milestone(one) for one in self.milestones if one not in self.open_milestones),
            nesting=tuple((str(one.pk), str(one.parent_id)) for one in self.assemblies if one.parent_id is not None),
            started_on=self.build.started_on or (self.rows[0].worked_on if self.rows else None),
            finished_on=self.state.finished_on,
            resting=self.state.resting,
        )

    def _milestone(self, milestone: Milestone) -> MilestonePlan:
        """What it needs, of what was in the plan that day; an operation of a part that it needs whole says nothing."""
        whole = self._milestone_parts(milestone)
        named = {operation.pk for operation in milestone.operations.all()}
        up_to = tuple(
            (row.part.pk, step.operation.pk)
            for row in (self.parts if named else ())
            if row.part.pk not in whole
            for step in row.operations
            if step.operation.pk in named
        )
        reached_on = milestone.reached_on if milestone not in self.open_milestones else None
        return MilestonePlan(milestone.pk, milestone.name, whole, up_to, reached_on)

    def _milestone_parts(self, milestone: Milestone) -> frozenset[int]:
        """Keys of the parts that it needs: those it names, and those of its assemblies with all that nests in them."""
        parts = {part.pk for part in milestone.parts.all()}
        assemblies = {assembly.pk for assembly in milestone.assemblies.all()}
        while within := {one.pk for one in self.assemblies if one.parent_id in assemblies} - assemblies:
            assemblies |= within
        return frozenset(
            row.part.pk for row in self.parts if row.part.pk in parts or row.part.assembly_id in assemblies
        )
