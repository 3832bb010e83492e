"""The totals that are kept with the entries, made anew where entries changed."""

from typing import Any

from django.db import transaction
from django.db.models import Q

from builds.models import Build, Entry, Event, Total
from builds.models.total import LOG_COLUMNS, LogRow, Tallies, Tally, tallies_of

# Part and operation of an entry.
Key = tuple[int, int | None]
# An event that touched more than so many is a whole log taken in, and all of the build's totals are made anew.
MOST_AT_ONCE = 100


def renew_totals(build: Build, event: Event) -> None:
    """Make the totals anew of what an event changed entries of, before and after. Call it in the event's transaction.

    One query where the event touched no entry, else four.
    """
    keys = _touched(event)
    if len(keys) > MOST_AT_ONCE:
        renew_all_totals(build)
    elif keys:
        operations = Q(operation__in={operation for _part, operation in keys if operation is not None})
        parts = Q(operation=None, part__in={part for part, operation in keys if operation is None})
        _renew(build, operations | parts)


def renew_all_totals(build: Build) -> None:
    """Make all totals of a build anew from its entries."""
    with transaction.atomic():
        _renew(build, Q())


def _renew(build: Build, about: Q) -> None:
    Total.objects.filter(about, part__build=build).delete()
    Total.objects.bulk_create(Total.of(*key, tally) for key, tally in _counted(build, about).items())


def _counted(build: Build, about: Q) -> Tallies:
    """What the build's kept entries come to, of those that `about` holds for. One query."""
    entries = Entry.objects.kept().filter(about, build=build, part__isnull=False)
    return tallies_of(LogRow(*row) for row in entries.order_by("worked_on", "pk").values_list(*LOG_COLUMNS))


def totals_astray(build: Build) -> dict[Key, tuple[Tally | None, Tally | None]]:
    """Where a kept total is not what the entries come to: what is kept and what it should be. Two queries."""
    kept = {(one.part_id, one.operation_id): one.tally for one in Total.objects.filter(part__build=build)}
    counted = _counted(build, Q())
    return {
        key: (kept.get(key), counted.get(key))
        for key in kept.keys() | counted.keys()
        if kept.get(key) != counted.get(key)
    }


def _touched(event: Event) -> set[Key]:
    """What the entries were logged on that an event wrote, now and ever before. One query."""
    history: Any = Entry.history
    ever = history.filter(id__in=history.filter(event_id=event.pk).values("id"), part__isnull=False)
    return set(ever.values_list("part_id", "operation_id").order_by().distinct())
