"""What the years of a build are made of, read once for any number of builds and years."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TypeVar

from django.db.models import Min, Q, Sum
from django.db.models.functions import Coalesce

from builds.models import Build, Entry, Milestone, Operation, Part, Photo
from builds.models.total import LOG_COLUMNS, LogRow
from calcs.parts.count import made_on

Record = TypeVar("Record", Part, Milestone, Photo)


@dataclass(frozen=True)
class MadePart:
    """A part that the build has as often as it needs it, and since when."""

    part: Part
    on: date


@dataclass(frozen=True)
class YearRecords:
    """What years are made of: the entries that touch them, and what was counted before the first of these.

    `ends` are the last operations of the routes, by part; `good_before` the good pieces counted there, by operation.
    """

    build: Build
    today: date
    began_on: date | None
    rows: tuple[LogRow, ...]
    parts: tuple[Part, ...]
    ends: dict[int, int]
    good_before: dict[int, int]
    milestones: tuple[Milestone, ...]
    photos: tuple[Photo, ...]

    @property
    def years(self) -> tuple[int, ...]:
        """From the first day that anything is dated with up to today, oldest first."""
        days = [self.began_on, self.build.started_on, *(part.finished_on for part in self.parts)]
        days += [*(part.arrived_on for part in self.parts), *(one.reached_on for one in self.milestones)]
        days += [photo.day for photo in self.photos]
        past = [day.year for day in days if day is not None and day <= self.today]
        return tuple(range(min(past, default=self.today.year), self.today.year + 1))

    @cached_property
    def made(self) -> tuple[MadePart, ...]:
        """Every part that is made by today, in the order in which they were."""
        counted: dict[int, list[tuple[date, int]]] = defaultdict(list)
        for key, good in self.good_before.items():
            counted[key].append((date.min, good))
        for row in self.rows:
            if row.operation_id is not None and row.good:
                counted[row.operation_id].append((row.worked_on, row.good))
        made = []
        for part in self.parts:
            said_on = part.finished_on if part.finished_on and part.finished_on <= self.today else None
            day = made_on(part.quantity, counted[self.ends.get(part.pk, 0)], said_on)
            made += [MadePart(part, day)] if day is not None else []
        return tuple(sorted(made, key=lambda one: one.on))

    @cached_property
    def with_pieces(self) -> frozenset[int]:
        """The last operations of parts that have pieces, which work on an assembly has not."""
        return frozenset(self.ends[part.pk] for part in self.parts if part.pk in self.ends and not part.is_work)


def read_records_of_years(builds: Sequence[Build], first: date, last: date, today: date) -> tuple[YearRecords, ...]:
    """Read what the years between two days are made of, of each of some builds. Seven queries, however many."""
    kept = Entry.objects.kept().filter(build__in=builds, worked_on__lte=today)
    touching = kept.filter(worked_on__gte=first).filter(Q(since_on=None, worked_on__lte=last) | Q(since_on__lte=last))
    before = kept.filter(worked_on__lt=first, operation__isnull=False, good__gt=0).order_by()
    good_before = dict(before.values_list("operation").annotate(Sum("good")))
    began_on = dict(kept.order_by().values_list("build").annotate(first=Min(Coalesce("since_on", "worked_on"))))
    route = Operation.objects.filter(Q(added_on=None) | Q(added_on__lte=today), part__build__in=builds)
    ends = dict(route.order_by("number").values_list("part_id", "pk"))
    rows: dict[int, list[LogRow]] = defaultdict(list)
    for build_id, *row in touching.order_by("worked_on", "pk").values_list("build_id", *LOG_COLUMNS):
        rows[build_id].append(LogRow(*row))
    parts = _by_build(Part.objects.filter(build__in=builds))
    reached = Milestone.objects.filter(build__in=builds, reached_on__lte=today)
    milestones = _by_build(reached.order_by("reached_on", "position", "pk"))
    photos = _by_build(Photo.objects.filter(build__in=builds).select_related("entry", "part"))
    return tuple(
        YearRecords(
            build=build,
            today=today,
            began_on=began_on.get(build.pk),
            rows=tuple(rows[build.pk]),
            parts=tuple(parts[build.pk]),
            ends=ends,
            good_before=good_before,
            milestones=tuple(milestones[build.pk]),
            photos=tuple(photos[build.pk]),
        )
        for build in builds
    )


def _by_build(records: Iterable[Record]) -> dict[int, list[Record]]:
    found: dict[int, list[Record]] = defaultdict(list)
    for record in records:
        found[record.build_id].append(record)
    return found
