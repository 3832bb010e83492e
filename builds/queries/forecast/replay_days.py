"""A build as it stood on one day after the other: the snapshots of a whole past, each made from the one before."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from builds.queries.snapshot import BuildRecords, BuildSnapshot, PartRow, snapshot_of


def snapshots_of(records: BuildRecords, days: Sequence[date]) -> Iterator[BuildSnapshot]:
    """What `snapshot_of` gives for each of the days, the earliest first.

    A part on which nothing happened since the day before is taken over as it is: few parts change in a month, and the
    days then share what they hold of all others.
    """
    changed: list[set[int]] = [{part.pk for part in records.parts}, *(set[int]() for _day in days)]
    for day, key in _changes(records):
        changed[bisect_left(days, day)].add(key)
    logged_on = [row.worked_on for row in records.rows]
    known: dict[int, PartRow] = {}
    for day, keys in zip(days, changed, strict=False):
        fresh = snapshot_of(_only(records, keys), day)
        known |= fresh.by_part
        yield replace(
            fresh,
            parts=tuple(known[part.pk] for part in records.parts if part.pk in known),
            log=records.rows[: bisect_right(logged_on, day)],
        )


def _changes(records: BuildRecords) -> Iterator[tuple[date, int]]:
    """The days from which on a part is another one, with its key."""
    part_of = {operation.pk: operation.part_id for operation in records.operations}
    for row in records.rows:
        if row.part_id is not None:
            yield row.worked_on, row.part_id
        if row.operation_id in part_of:
            yield row.worked_on, part_of[row.operation_id]
    yield from ((one.added_on, one.part_id) for one in records.operations if one.added_on)
    yield from ((one.started_on, one.part_id) for one in records.batches)
    yield from ((one.finished_on, one.pk) for one in records.parts if one.finished_on)
    yield from ((one.waiting_since_on, one.pk) for one in records.parts if one.waiting_since_on)


def _only(records: BuildRecords, keys: set[int]) -> BuildRecords:
    """The records of some parts alone."""
    operations = tuple(one for one in records.operations if one.part_id in keys)
    theirs = {one.pk for one in operations}
    return replace(
        records,
        parts=tuple(one for one in records.parts if one.pk in keys),
        operations=operations,
        batches=tuple(one for one in records.batches if one.part_id in keys),
        rows=tuple(row for row in records.rows if row.part_id in keys or row.operation_id in theirs),
    )
