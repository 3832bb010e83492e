"""The log as a table. Taken in again, each of its rows is known by its mark."""

from collections.abc import Iterator

from django.db.models import QuerySet

from builds.models import Entry
from builds.transfer.tables.out import TableOut, Value

HEADINGS = (
    "date", "since", "builder", "part", "part name", "operation", "operation title", "activity", "bench time (min)",
    "time is", "unattended (min)", "good", "reworked", "scrap", "scrap reason", "note", "batch number", "row mark",
)  # fmt: skip
AT_ONCE = 2_000


def log_table(entries: "QuerySet[Entry]") -> TableOut:
    """Entries, in the order that they are given."""
    return TableOut("log", HEADINGS, _rows(entries.select_related("builder", "part", "operation", "batch")))


def _rows(entries: "QuerySet[Entry]") -> Iterator[tuple[Value, ...]]:
    return (row_of(entry) for entry in entries.iterator(AT_ONCE))


def row_of(entry: Entry) -> tuple[Value, ...]:
    part, operation = entry.part, entry.operation
    return (
        entry.worked_on, entry.since_on, entry.builder.name if entry.builder else "",
        part.number if part else "", part.name if part else "",
        operation.number if operation else None, (operation.title or operation.kind) if operation else "",
        entry.activity, entry.bench_minutes, entry.bench_is, entry.unattended_minutes,
        entry.good, entry.reworked, entry.scrap, entry.scrap_reason, entry.note,
        entry.batch.number if entry.batch else None, entry.token,
    )  # fmt: skip
