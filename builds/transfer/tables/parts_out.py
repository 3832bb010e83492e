"""The parts list with its routes as a table: a row for each operation, the part's own figures in its first."""

from collections.abc import Iterator

from builds.models import Build, Operation, Part
from builds.transfer.tables.out import TableOut, Value

PART_HEADINGS = (
    "item", "name", "assembly", "sheet", "quantity", "spares", "material", "what it is", "blank",
    "finished mass (g)", "blank cost", "part note",
)  # fmt: skip
OPERATION_HEADINGS = (
    "operation", "kind", "title", "machine", "set-up (min)", "counted by", "amount", "time for one (min)",
    "unattended share", "operation note",
)  # fmt: skip
HEADINGS = PART_HEADINGS + OPERATION_HEADINGS


def parts_table(build: Build) -> TableOut:
    parts = build.parts.select_related("assembly", "sheet", "material").prefetch_related("operations__machine")
    return TableOut("parts", HEADINGS, (row for part in parts for row in _rows(part)))


def _rows(part: Part) -> Iterator[tuple[Value, ...]]:
    route = list(part.operations.all())
    own = part_cells(part)
    # Only the item again: what it is called helps whoever reads, and asks for nothing.
    again = (part.number, part.name, *("",) * (len(own) - 2))
    for place, operation in enumerate(route):
        yield (*(own if place == 0 else again), *operation_cells(operation))
    if not route:
        yield (*own, *("",) * len(OPERATION_HEADINGS))


def part_cells(part: Part) -> tuple[Value, ...]:
    """What a part's row says of it, in the order of the headings."""
    return (
        part.number, part.name, part.assembly.name if part.assembly else "", part.sheet.number if part.sheet else "",
        part.quantity, part.spares, part.material.name if part.material else "", part.role, part.blank,
        part.finished_mass_grams, None if part.blank_cost is None else float(part.blank_cost), part.note,
    )  # fmt: skip


def operation_cells(operation: Operation) -> tuple[Value, ...]:
    """What a row says of its operation, in the order of the headings."""
    return (
        operation.number, operation.kind, operation.title, operation.machine.name if operation.machine else "",
        operation.setup_minutes, operation.basis, operation.amount, operation.minutes_per_unit,
        operation.unattended_share, operation.note,
    )  # fmt: skip
