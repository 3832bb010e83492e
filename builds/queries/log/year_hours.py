"""The hours of a stretch of days: by month, by evening, and what of them is not known."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from builds.models import Build
from builds.models.total import LogRow
from builds.queries.forecast.weeks import minutes_by_day, months_from
from builds.queries.log.account import BenchAccount, account_of


@dataclass(frozen=True)
class Month:
    """The hours done in a month, which is told by its first day, and the evenings in it."""

    first: date
    minutes: int
    evenings: int


@dataclass(frozen=True)
class YearHours:
    """What the log says of the days from `first` to `last`, both included.

    `by_day` are the build's hours, in minutes; what went over several days is shared out among them. `evenings` are the
    days of which some work was logged by itself, with its minutes, and `open_evenings` those among them with a time
    that nobody knows. Of the entries behind these hours, `unknown` have no known time and `lumps` went over several
    days.
    """

    first: date
    last: date
    by_day: dict[date, int]
    account: BenchAccount
    evenings: dict[date, int]
    open_evenings: frozenset[date]
    unknown: int
    lumps: int

    @property
    def minutes(self) -> int:
        """Bench minutes of the build's hours; at least so many where some time is not known."""
        return self.account.headline

    @property
    def months(self) -> tuple[Month, ...]:
        """Every month of these days, empty ones too."""
        minutes, evenings = Counter[date](), Counter(_month(day) for day in self.evenings)
        for day, worked in self.by_day.items():
            minutes[_month(day)] += worked
        return tuple(Month(month, minutes[month], evenings[month]) for month in months_from(self.first, self.last))

    @cached_property
    def whole_evenings(self) -> dict[date, int]:
        """The evenings of which all times are known."""
        return {day: minutes for day, minutes in self.evenings.items() if day not in self.open_evenings}

    @property
    def mean_evening(self) -> float | None:
        """Minutes of the mean evening, of those of which all times are known; None where there are none."""
        whole = self.whole_evenings
        return sum(whole.values()) / len(whole) if whole else None

    @property
    def longest_evening(self) -> tuple[date, int] | None:
        """The evening with the most minutes, the first of several; None where no time is known."""
        day = max(self.evenings, key=lambda one: (self.evenings[one], -one.toordinal()), default=None)
        return (day, self.evenings[day]) if day is not None and self.evenings[day] else None

    @property
    def longest_is_open(self) -> bool:
        """Whether some time of the longest evening is not known."""
        return self.longest_evening is not None and self.longest_evening[0] in self.open_evenings


def hours_between(rows: Iterable[LogRow], build: Build, first: date, last: date) -> YearHours:
    """What entries come to from one day to another."""
    rows = [row for row in rows if row.worked_on >= first and row.first_day <= last]
    by_day, evenings, open_evenings = Counter[date](), Counter[date](), set[date]()
    of_account = []
    ours = [row for row in rows if build.counts(row.activity)]
    for row in rows:
        shares = {day: worked for day, worked in _by_day(row) if first <= day <= last}
        of_account.append((row.activity, sum(shares.values())))
        if not build.counts(row.activity):
            continue
        by_day.update(shares)
        if row.first_day == row.worked_on and row.bench_minutes != 0:
            evenings.update(shares)
            open_evenings |= {row.worked_on} if row.bench_minutes is None else set()
    return YearHours(
        first=first,
        last=last,
        by_day=dict(by_day),
        account=account_of(of_account, build.counted),
        evenings=dict(evenings),
        open_evenings=frozenset(open_evenings),
        unknown=sum(row.bench_minutes is None for row in ours),
        lumps=sum(row.first_day < row.worked_on for row in ours),
    )


def months_together(hours: Sequence[YearHours]) -> tuple[Month, ...]:
    """The months of the same days on several builds; an evening that two of them shared is one."""
    evenings = Counter(_month(day) for day in {day for one in hours for day in one.evenings})
    return tuple(
        Month(some[0].first, sum(month.minutes for month in some), evenings[some[0].first])
        for some in zip(*(one.months for one in hours), strict=True)
    )


def _by_day(row: LogRow) -> Iterator[tuple[date, int]]:
    return minutes_by_day(row.first_day, row.worked_on, row.bench_minutes or 0)


def _month(day: date) -> date:
    return day.replace(day=1)
