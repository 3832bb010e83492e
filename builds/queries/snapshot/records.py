"""Reading a build out of the database, once for the snapshots of many days."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Any

from builds.models import Assembly, Batch, Build, Entry, Milestone, Operation, Part, Total
from builds.models.total import LOG_COLUMNS, LogRow, Tallies
from calcs.parts.plan import Closure


@dataclass(frozen=True)
class PlanRecords:
    """Parts with their routes and batches."""

    parts: tuple[Part, ...]
    operations: tuple[Operation, ...]
    batches: tuple[Batch, ...]


@dataclass(frozen=True, kw_only=True)
class BuildRecords(PlanRecords):
    """What the database holds of a build up to a day: the snapshots of that day and of earlier ones are made of it."""

    build: Build
    until: date
    rows: tuple[LogRow, ...]
    assemblies: tuple[Assembly, ...]
    closures: tuple[Closure, ...]
    milestones: tuple[Milestone, ...]


def read_records(build: Build, until: date) -> BuildRecords:
    """Read everything that a snapshot of that day or an earlier one is made of. Ten queries."""
    return BuildRecords(
        **vars(read_plan(until, {"build": build})),
        build=build,
        until=until,
        rows=read_log_rows(build, until),
        assemblies=tuple(build.assemblies.all()),
        closures=tuple(Closure(c.from_on, c.to_on, c.hours_per_week) for c in build.closures.all()),
        milestones=tuple(build.milestones.prefetch_related("parts", "assemblies", "operations")),
    )


def read_plan(until: date, about: dict[str, Any], *, bare: bool = False) -> PlanRecords:
    """Read the parts that `about` holds for. Three queries.

    bare: without material, sheet, assembly and machines, which are then read one by one where they are asked for.
    """
    of_part = {f"part__{name}": value for name, value in about.items()}
    parts, operations = Part.objects.filter(**about), Operation.objects.filter(**of_part)
    if not bare:
        parts = parts.select_related("material", "sheet", "assembly")
        operations = operations.select_related("machine")
    by_key = {part.pk: part for part in parts}
    # A part that somebody adds between the two queries is left for the next reading.
    route = tuple(operation for operation in operations.order_by("number") if operation.part_id in by_key)
    for operation in route:
        # Its material is read with the part; asking each operation for its part would be a query each.
        operation.part = by_key[operation.part_id]
    batches = Batch.objects.filter(**of_part, started_on__lte=until).order_by("number")
    return PlanRecords(tuple(by_key.values()), route, tuple(batches))


def read_tallies(keys: Collection[int], as_of: date) -> Tallies | None:
    """What was logged on some parts, by part and operation; None where some of it is of a later day. One query."""
    totals = list(Total.objects.filter(part__in=keys))
    if any(total.last_on > as_of for total in totals):
        return None
    return {(total.part_id, total.operation_id): total.tally for total in totals}


def read_log_rows(build: Build, as_of: date, only: Collection[int] | None = None) -> tuple[LogRow, ...]:
    """The kept entries up to a day, oldest first; only: those on these parts. One query."""
    kept = Entry.objects.kept().filter(build=build, worked_on__lte=as_of)
    kept = kept if only is None else kept.filter(part__in=only)
    return tuple(LogRow(*row) for row in kept.order_by("worked_on", "pk").values_list(*LOG_COLUMNS))
