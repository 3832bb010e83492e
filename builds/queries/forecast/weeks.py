"""Weeks and gaps: how the hours fell. A quiet month is normal, so this only counts."""

import itertools
import statistics
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from builds.queries.snapshot import BuildSnapshot


@dataclass(frozen=True)
class Gap:
    """Days without any work between two working days."""

    after: date
    before: date

    @property
    def days(self) -> int:
        return (self.before - self.after).days - 1


@dataclass(frozen=True)
class Weeks:
    """Bench hours by calendar week (Monday first), empty weeks included, from the first entry to the last day asked."""

    mondays: tuple[date, ...]
    hours: tuple[float, ...]
    gaps: tuple[Gap, ...]

    @property
    def empty(self) -> int:
        return sum(hours == 0 for hours in self.hours)

    @property
    def mean(self) -> float:
        return sum(self.hours) / len(self.hours) if self.hours else 0.0

    @property
    def median(self) -> float:
        return statistics.median(self.hours) if self.hours else 0.0


def weeks_of(snapshot: BuildSnapshot, longest_gaps: int = 5) -> Weeks:
    """The headline hours by week, and the longest gaps of more than two weeks, the longest first."""
    by_monday: dict[date, float] = defaultdict(float)
    worked: set[date] = set()
    for stint in snapshot.stints:
        for day, minutes in minutes_by_day(stint.first, stint.last, stint.minutes):
            worked.add(day)
            by_monday[_monday(day)] += minutes / 60
    if not worked:
        return Weeks((), (), ())
    first = min(by_monday)
    mondays = tuple(first + timedelta(weeks=n) for n in range((_monday(snapshot.as_of) - first).days // 7 + 1))
    days_worked = sorted(worked)
    gaps = [Gap(a, b) for a, b in itertools.pairwise(days_worked) if (b - a).days > 15]
    gaps.sort(key=lambda gap: (-gap.days, gap.after))
    return Weeks(mondays, tuple(by_monday.get(m, 0.0) for m in mondays), tuple(gaps[:longest_gaps]))


def hours_by_month(snapshot: BuildSnapshot) -> tuple[tuple[date, float], ...]:
    """Headline bench hours by month, empty months included, oldest first; each month as its first day."""
    sums: dict[date, float] = defaultdict(float)
    for stint in snapshot.stints:
        for day, minutes in minutes_by_day(stint.first, stint.last, stint.minutes):
            sums[day.replace(day=1)] += minutes / 60
    if not sums:
        return ()
    return tuple((month, sums[month]) for month in months_from(min(sums), max(snapshot.as_of, *sums)))


def months_from(first: date, last: date) -> Iterator[date]:
    """The months from that of one day to that of another, both included, each as its first day."""
    month = first.replace(day=1)
    while month <= last:
        yield month
        month = (month + timedelta(days=32)).replace(day=1)


def minutes_by_day(first: date, last: date, minutes: float) -> Iterator[tuple[date, int]]:
    """The minutes of work on the days from first to last, shared out evenly, in whole minutes of which none is lost."""
    days, shared = (last - first).days + 1, 0
    for step in range(days):
        so_far = int(minutes) * (step + 1) // days
        yield first + timedelta(days=step), so_far - shared
        shared = so_far


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())
