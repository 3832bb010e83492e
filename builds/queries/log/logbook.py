"""The log book: entries newest first, filtered, by day. A page holds whole days."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from django.core.paginator import Page, Paginator
from django.db.models import Count, Q, QuerySet, Sum

from builds.models import Build, Builder, Entry, Part
from builds.queries.log.account import BenchAccount, account_of

# As many rows as are read through at a desk without losing the way (a judgement).
ENTRIES_A_PAGE = 40


@dataclass(frozen=True, kw_only=True)
class LogFilter:
    """What of the log is asked for. Everything may be left open."""

    builder: Builder | None = None
    part: Part | None = None
    activity: str = ""
    since: date | None = None
    until: date | None = None
    words: str = ""
    removed: bool = False


@dataclass(frozen=True)
class Day:
    on: date
    entries: tuple[Entry, ...]

    @property
    def minutes(self) -> int:
        return sum(entry.bench_minutes or 0 for entry in self.entries)


@dataclass(frozen=True)
class LogPage:
    page: "Page[slice]"
    days: tuple[Day, ...]
    entries: int
    account: BenchAccount
    unattended_minutes: int

    @property
    def minutes(self) -> int:
        return self.account.minutes


def log_page(build: Build, asked: LogFilter, number: str | int = 1) -> LogPage:
    """One page of the log. Three queries. A page number that makes no sense gives the nearest page."""
    entries = filtered(build, asked)
    account, unattended = _sums(build, entries)
    by_day = entries.order_by("-worked_on").values_list("worked_on").annotate(number=Count("pk"))
    sizes = [number for _day, number in by_day]
    page = Paginator(_leaves(sizes), 1).get_page(number)
    shown = entries[page.object_list[0]]
    days = tuple(Day(on, tuple(some)) for on, some in groupby(shown, key=lambda entry: entry.worked_on))
    return LogPage(page, days, sum(sizes), account, unattended)


def _sums(build: Build, entries: "QuerySet[Entry]") -> tuple[BenchAccount, int]:
    """Where the minutes went, and the unattended ones. One query."""
    by_activity = entries.order_by().values_list("activity")
    sums = list(by_activity.annotate(bench=Sum("bench_minutes"), alone=Sum("unattended_minutes")))
    account = account_of(((activity, bench) for activity, bench, _alone in sums), build.counted)
    return account, sum(alone or 0 for *_bench, alone in sums)


def _leaves(sizes: Iterable[int]) -> list[slice]:
    """The entries of each page, from the numbers of entries by day. Only a day that is longer than a page is parted."""
    leaves, first, last = [], 0, 0
    for size in sizes:
        if last > first and last + size - first > ENTRIES_A_PAGE:
            leaves.append(slice(first, last))
            first = last
        last += size
        while last - first > ENTRIES_A_PAGE:
            leaves.append(slice(first, first + ENTRIES_A_PAGE))
            first += ENTRIES_A_PAGE
    return [*leaves, slice(first, last)]


def filtered(build: Build, asked: LogFilter) -> "QuerySet[Entry]":
    entries = Entry.objects.filter(build=build, removed_at__isnull=not asked.removed)
    if asked.builder is not None:
        entries = entries.filter(builder=asked.builder)
    if asked.part is not None:
        entries = entries.filter(part=asked.part)
    if asked.activity == "any":
        entries = entries.exclude(activity="")
    elif asked.activity:
        entries = entries.filter(activity=asked.activity)
    if asked.since is not None:
        entries = entries.filter(worked_on__gte=asked.since)
    if asked.until is not None:
        entries = entries.filter(worked_on__lte=asked.until)
    if asked.words:
        entries = entries.filter(Q(note__icontains=asked.words) | Q(scrap_reason__icontains=asked.words))
    return entries.select_related("builder", "part", "operation", "batch").order_by("-worked_on", "-pk")
