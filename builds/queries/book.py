"""A build with all that its book tells, read at once."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import cast

from django.db.models import Max, Min, Sum
from django.db.models.functions import Coalesce

from builds.models import Build, Drawing, Entry, Exhibit, Photo, Remark, Sheet, Size
from builds.models.choices import DrawingState
from builds.models.operation import KIND_LABELS
from builds.queries.forecast.build_forecast import BuildForecast, forecast_of
from builds.queries.forecast.finished import FinishedBuild, finished_build
from builds.queries.forecast.replay import Replay
from builds.queries.forecast.replay_work import replay_of
from builds.queries.forecast.weeks import hours_by_month
from builds.queries.plan.build_page import Branch, plan_tree
from builds.queries.plan.sizes import SizeRow, size_row
from builds.queries.rates.comparison import compared_with_plan
from builds.queries.repeats.overview import RepeatedPart, is_repeated, repeated_part
from builds.queries.snapshot import BuildSnapshot
from builds.queries.visitors.exhibit import exhibit_of


@dataclass(frozen=True)
class Worker:
    """Somebody whose name stands in the log; `name` is empty for entries without one. Bench minutes of every kind."""

    name: str
    minutes: int
    first: date
    last: date


@dataclass(frozen=True)
class Year:
    """One calendar year of the log. `hours` are headline hours at the bench."""

    year: int
    hours: float
    days: int
    scrap: int


@dataclass(frozen=True)
class BuildBook:
    """What stands in a build's book. `photos` are by part (None: the build as a whole), in the order of their days."""

    build_forecast: BuildForecast
    branches: tuple[Branch, ...]
    exhibit: Exhibit
    workers: tuple[Worker, ...]
    sheets: tuple[Sheet, ...]
    remarks: dict[int, tuple[Remark, ...]]
    scans: dict[int, Drawing]
    photos: dict[int | None, tuple[Photo, ...]]
    sizes: dict[int, tuple[SizeRow, ...]]
    notes: dict[int, tuple[Entry, ...]]
    finished: FinishedBuild | None

    @property
    def build(self) -> Build:
        return self.snapshot.build

    @property
    def snapshot(self) -> BuildSnapshot:
        return self.build_forecast.snapshot

    @cached_property
    def planned_hours(self) -> dict[int, float]:
        """By part: what was planned for just the work that can be held against the plan. Hours."""
        sums: dict[int, float] = defaultdict(float)
        for one in compared_with_plan(self.snapshot):
            sums[one.part.part.pk] += one.planned
        return sums

    @cached_property
    def repeated(self) -> dict[int, RepeatedPart]:
        return {line.part.pk: repeated_part(self.snapshot, line) for line in self.snapshot.parts if is_repeated(line)}

    @property
    def replay(self) -> Replay | None:
        """How past forecasts held; worked out here and now as far as it is not kept."""
        return replay_of(self.build, self.snapshot.as_of)

    @property
    def years(self) -> tuple[Year, ...]:
        """Every year from the first entry to the last day, empty ones included."""
        hours: dict[int, float] = defaultdict(float)
        for month, worked in hours_by_month(self.snapshot):
            hours[month.year] += worked
        days, scrap = defaultdict[int, set[date]](set), defaultdict[int, int](int)
        for row in self.snapshot.rows:
            days[row.worked_on.year].add(row.worked_on)
            scrap[row.worked_on.year] += row.scrap
        return tuple(Year(year, worked, len(days[year]), scrap[year]) for year, worked in sorted(hours.items()))

    @property
    def minutes_by_kind(self) -> tuple[tuple[str, int], ...]:
        """Bench minutes on parts by kind of operation, the most first; an empty name where no operation was named."""
        sums: dict[str, int] = defaultdict(int)
        for line in self.snapshot.parts:
            sums[""] += line.elsewhere.bench_minutes
            for step in line.operations:
                sums[str(KIND_LABELS[step.operation.kind])] += step.tally.bench_minutes
        return tuple(sorted(((kind, n) for kind, n in sums.items() if n), key=lambda one: (-one[1], one[0])))


def read_book(build: Build, today: date) -> BuildBook:
    """Everything but the replay. Eighteen queries where the forecast is kept, and two of a finished build."""
    build_forecast = forecast_of(build, today)
    sheets = tuple(build.sheets.all())
    return BuildBook(
        build_forecast=build_forecast,
        branches=plan_tree(build_forecast),
        exhibit=exhibit_of(build),
        workers=_workers(build, today),
        sheets=sheets,
        remarks=_remarks(sheets),
        scans=_scans(sheets),
        photos=_photos(build),
        sizes=_sizes(build),
        notes=_notes(build, today),
        finished=finished_build(build_forecast.snapshot),
    )


def _workers(build: Build, today: date) -> tuple[Worker, ...]:
    """Who worked on it, the most first. One query."""
    found = (
        build.entries.kept()
        .filter(worked_on__lte=today)
        .order_by()
        .values_list("builder__name")
        .annotate(
            minutes=Coalesce(Sum("bench_minutes"), 0),
            first=Min(Coalesce("since_on", "worked_on")),
            last=Max("worked_on"),
        )
    )
    workers = (Worker(name or "", minutes, first, last) for name, minutes, first, last in found)
    return tuple(sorted(workers, key=lambda one: (not one.name, -one.minutes, one.name)))


def _remarks(sheets: Sequence[Sheet]) -> dict[int, tuple[Remark, ...]]:
    """By sheet. One query."""
    found: dict[int, tuple[Remark, ...]] = defaultdict(tuple)
    for remark in Remark.objects.filter(sheet__in=sheets):
        found[remark.sheet_id] += (remark,)
    return found


def _scans(sheets: Sequence[Sheet]) -> dict[int, Drawing]:
    """The newest of each sheet, where somebody said that it may stand in the book. One query."""
    newest = {scan.sheet_id: scan for scan in Drawing.objects.filter(sheet__in=sheets).order_by("pk")}
    return {sheet: scan for sheet, scan in newest.items() if scan.in_book and scan.state == DrawingState.READY}


def _photos(build: Build) -> dict[int | None, tuple[Photo, ...]]:
    """By part; that of an entry stands with the entry's part. One query."""
    found: dict[int | None, list[Photo]] = defaultdict(list)
    photos = build.photos.select_related("entry")
    for photo in sorted(photos, key=lambda one: (one.taken_on or one.added_at.date(), one.pk)):
        found[photo.part_id or (photo.entry.part_id if photo.entry is not None else None)].append(photo)
    return {part: tuple(some) for part, some in found.items()}


def _sizes(build: Build) -> dict[int, tuple[SizeRow, ...]]:
    """By part. One query."""
    found: dict[int, tuple[SizeRow, ...]] = defaultdict(tuple)
    for size in Size.objects.filter(part__build=build):
        found[size.part_id] += (size_row(size, build),)
    return found


def _notes(build: Build, today: date) -> dict[int, tuple[Entry, ...]]:
    """By part, the oldest first. One query."""
    noted = build.entries.kept().filter(worked_on__lte=today, part__isnull=False).exclude(note="")
    found: dict[int, tuple[Entry, ...]] = defaultdict(tuple)
    for entry in noted.select_related("builder").order_by("worked_on", "pk"):
        found[cast(int, entry.part_id)] += (entry,)
    return found
