"""Reading a build out of the database, once for the snapshots of many days."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Any

from builds.models import Assembly, Batch, Build, Entry, Milestone, Operation, Part
from builds.queries.snapshot.rows import LOG_COLUMNS, LogRow
from calcs.parts.plan import Closure


@dataclass(frozen=True)
class BuildRecords:
    """What the database holds of a build up to a day: the snapshots of that day and of earlier ones are made of it."""

    build: Build
    until: date
    rows: tuple[LogRow, ...]
    parts: tuple[Part, ...]
    operations: tuple[Operation, ...]
    batches: tuple[Batch, ...]
    assemblies: tuple[Assembly, ...]
    closures: tuple[Closure, ...]
    milestones: tuple[Milestone, ...]


def read_records(build: Build, until: date, only: Collection[int] | None = None) -> BuildRecords:
    """Read everything that a snapshot of that day or an earlier one is made of. Nine queries.

    only: the keys of the parts that are wanted, and nothing of the build beside them. Four queries.
    """
    whole = only is None
    chosen = Part.objects.filter(build=build) if only is None else Part.objects.filter(build=build, pk__in=only)
    of_parts: dict[str, Any] = {"part__build": build} if only is None else {"part__build": build, "part__in": only}
    parts = tuple(chosen.select_related("material", "sheet", "assembly"))
    by_key = {part.pk: part for part in parts}
    listed = Operation.objects.filter(**of_parts).select_related("machine").order_by("number")
    # A part that somebody adds between the two queries is left for the next reading.
    operations = tuple(operation for operation in listed if operation.part_id in by_key)
    for operation in operations:
        # Its material is read with the part; asking each operation for its part would be a query each.
        operation.part = by_key[operation.part_id]
    return BuildRecords(
        build=build,
        until=until,
        rows=read_log_rows(build, until, only),
        parts=parts,
        operations=operations,
        batches=tuple(Batch.objects.filter(**of_parts, started_on__lte=until).order_by("number")),
        assemblies=tuple(build.assemblies.all()) if whole else (),
        closures=tuple(Closure(c.from_on, c.to_on, c.hours_per_week) for c in build.closures.all()) if whole else (),
        milestones=tuple(build.milestones.prefetch_related("parts", "assemblies")) if whole else (),
    )


def read_log_rows(build: Build, as_of: date, only: Collection[int] | None = None) -> tuple[LogRow, ...]:
    """The kept entries up to a day, oldest first; only: those on these parts. One query."""
    kept = Entry.objects.kept().filter(build=build, worked_on__lte=as_of)
    kept = kept if only is None else kept.filter(part__in=only)
    return tuple(LogRow(*row) for row in kept.order_by("worked_on", "pk").values_list(*LOG_COLUMNS))
