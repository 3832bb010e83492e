"""A build as it stood at the end of a day, made of what was read up to that day or a later one."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import date
from itertools import islice

from builds.models import Batch, Build, Operation, Part
from builds.models.choices import Role
from builds.models.own_rate import first_planned
from builds.models.total import Tallies, Tally, tallies_of
from builds.queries.snapshot.records import (
    BuildRecords,
    PlanRecords,
    read_log_rows,
    read_plan,
    read_records,
    read_tallies,
)
from builds.queries.snapshot.rows import BuildSnapshot, OperationRow, PartRow, PartsSnapshot
from calcs.parts.count import count_pieces
from calcs.parts.plan import OperationPlan, PartPlan


def read_snapshot(build: Build, as_of: date) -> BuildSnapshot:
    """Read a build as it stood at the end of a day. Ten queries."""
    return snapshot_of(read_records(build, as_of), as_of)


def snapshot_of(records: BuildRecords, as_of: date) -> BuildSnapshot:
    """The build as it stood at the end of a day, which is not later than what was read. No queries."""
    if as_of > records.until:
        raise ValueError("A snapshot is made of records that were read up to its day.")
    rows = tuple(row for row in records.rows if row.worked_on <= as_of)
    return BuildSnapshot(
        build=records.build,
        as_of=as_of,
        parts=_parts_on(records, tallies_of(rows), as_of),
        log=rows,
        assemblies=records.assemblies,
        closures=records.closures,
        milestones=records.milestones,
    )


def read_parts(build: Build, as_of: date, keys: Collection[int], *, bare: bool = False) -> PartsSnapshot:
    """Read some parts of a build as they stood at the end of a day, and nothing else of it. Four queries.

    What was logged on them comes from the totals that are kept with the entries; from the entries for an earlier day.
    bare: without material, sheet, assembly and machines, which a list of names does without.
    """
    plan = read_plan(as_of, {"build": build, "pk__in": keys}, bare=bare)
    tallies = read_tallies(keys, as_of)
    if tallies is None:
        tallies = tallies_of(read_log_rows(build, as_of, keys))
    return PartsSnapshot(build, as_of, _parts_on(plan, tallies, as_of))


def read_parts_of(builds: Collection[Build], as_of: date) -> tuple[PartRow, ...]:
    """Read all parts of some builds, bare, as they stood at the end of a day. Four queries for any number of builds."""
    plan = read_plan(as_of, {"build__in": builds}, bare=True)
    tallies = read_tallies([part.pk for part in plan.parts], as_of)
    if tallies is None:
        tallies = tallies_of([row for build in builds for row in read_log_rows(build, as_of)])
    return _parts_on(plan, tallies, as_of)


# Parts that are read with one that has to be read.
READ_AHEAD = 6


class PartsAtHand:
    """Parts of a build as they stood at the end of a day, bare, each read once, when it is first asked for."""

    def __init__(self, build: Build, as_of: date) -> None:
        self.build = build
        self.as_of = as_of
        self._rows: dict[int, PartRow | None] = {}

    def rows(self, keys: Iterable[int]) -> list[PartRow]:
        """In the order of the keys, without those of no part of the build. Four queries where any is not known yet."""
        keys = list(dict.fromkeys(keys))
        if missing := [key for key in keys if key not in self._rows]:
            read = read_parts(self.build, self.as_of, missing, bare=True).by_part
            self._rows |= {key: read.get(key) for key in missing}
        return [row for key in keys if (row := self._rows[key]) is not None]

    def row(self, key: int | None, ahead: Iterable[int] = ()) -> PartRow | None:
        """One of them; None for none of the build. Where it has to be read, the first of those ahead come with it."""
        if key is None:
            return None
        if key not in self._rows:
            self.rows([key, *islice((one for one in ahead if one not in self._rows), READ_AHEAD)])
        return self._rows[key]


def _parts_on(records: PlanRecords, tallies: Tallies, as_of: date) -> tuple[PartRow, ...]:
    operations: dict[int, list[Operation]] = defaultdict(list)
    yet_to_join = set[int]()
    for operation in records.operations:
        if operation.added_on is None or operation.added_on <= as_of:
            operations[operation.part_id].append(operation)
        else:
            yet_to_join.add(operation.part_id)
    # A part whose whole route is of later days was no part of the plan yet, unless the log knows it.
    yet_to_join -= {*operations, *(part for part, _operation in tallies)}
    batches: dict[int, list[Batch]] = defaultdict(list)
    for batch in records.batches:
        if batch.started_on <= as_of:
            batches[batch.part_id].append(batch)
    return tuple(
        _part_row(part, operations[part.pk], tallies, batches[part.pk], as_of)
        for part in records.parts
        if part.pk not in yet_to_join
    )


def _part_row(
    part: Part,
    operations: list[Operation],
    tallies: Tallies,
    batches: list[Batch],
    as_of: date,
) -> PartRow:
    rows = tuple(_operation_row(one, tallies.get((part.pk, one.pk)) or Tally()) for one in operations)
    elsewhere = tallies.get((part.pk, None)) or Tally()
    finished = part.finished_on is not None and part.finished_on <= as_of
    plan = PartPlan(
        key=part.pk,
        name=str(part),
        group=str(part.assembly_id or ""),
        quantity=part.quantity,
        spares=part.spares,
        operations=tuple(row.plan for row in rows),
        bench_minutes_elsewhere=elsewhere.bench_minutes,
        marked_finished=finished,
        bought=part.role == Role.BOUGHT,
        waiting=part.waiting_since_on is not None and part.waiting_since_on <= as_of,
        blanks_started=sum(batch.blanks for batch in batches),
        number=part.number,
    )
    return PartRow(part, rows, elsewhere, tuple(batches), plan, count_pieces(plan))


def _operation_row(operation: Operation, tally: Tally) -> OperationRow:
    # The log is held against what was first planned: a figure at the shop's own rate has the ratio in it already.
    first = first_planned(operation)
    plan = OperationPlan(
        key=operation.pk,
        kind=operation.kind,
        setup_minutes=operation.setup_minutes,
        minutes_per_piece=first.minutes_per_piece(operation.amount),
        unattended_share=operation.unattended_share,
        rough=first.origin == "rough",
        never_scraps=operation.never_scraps,
        # Work on an assembly is done or not, however often it was said.
        good=min(tally.good, 1) if operation.part.is_work else tally.good,
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
