"""A year in the shop: hours, parts and pieces finished, scrap, photos and milestones of one build.

What is told of a part follows from the plan as it stands today: one that got another operation since is not made yet.
"""

from collections import Counter
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from builds.models import Build, Entry, Milestone, Part, Photo
from builds.models.choices import Role
from builds.queries.log.logbook import LogFilter, filtered
from builds.queries.log.year_hours import Month, YearHours, hours_between, months_together
from builds.queries.log.year_records import MadePart, YearRecords, read_records_of_years
from builds.queries.plan.role_counts import LABELS
from builds.queries.repeats.overview import NO_REASON
from builds.queries.repeats.part_yield import Reason, ranked_reasons
from calcs.messages import _, gettext_noop
from calcs.typed.durations import format_hours

# Hours against the year before: for a whole year and for the running one, which is held against as much of it.
_AGAINST = {
    False: {
        1: gettext_noop("{hours} more than in {year}"),
        0: gettext_noop("as many as in {year}"),
        -1: gettext_noop("{hours} fewer than in {year}"),
    },
    True: {
        1: gettext_noop("{hours} more than by the same day of {year}"),
        0: gettext_noop("as many as by the same day of {year}"),
        -1: gettext_noop("{hours} fewer than by the same day of {year}"),
    },
}


@dataclass(frozen=True)
class OneYear:
    """A year, seen from today, and the years that it is one of."""

    year: int
    today: date
    years: tuple[int, ...]

    @property
    def running(self) -> bool:
        return self.year == self.today.year

    @property
    def earlier(self) -> int | None:
        return self.year - 1 if self.year - 1 in self.years else None

    @property
    def later(self) -> int | None:
        return self.year + 1 if self.year + 1 in self.years else None


@dataclass(frozen=True)
class YearInShop(OneYear):
    """One year of a build, the running one up to today.

    `began_on` is the first day in the log, None for an empty one. `before` are the hours of the year before, of the
    running year up to the same day of it; None where the log does not go back so far. `good` pieces came off the end
    of their routes. `years` are those that the build has. `undated` photos have no day and stand in no year.
    """

    build: Build
    began_on: date | None
    hours: YearHours
    before: YearHours | None
    made: tuple[MadePart, ...]
    good: int
    reasons: tuple[Reason, ...]
    milestones: tuple[Milestone, ...]
    photos: tuple[Photo, ...]
    undated: int
    arrived: tuple[Part, ...]

    @property
    def began_this_year(self) -> bool:
        return self.began_on is not None and self.began_on.year == self.year

    @property
    def began_year_before(self) -> bool:
        """Whether the year before is held against this one and is not a whole one."""
        began = self.began_on
        return began is not None and self.before is not None and (began.year, began.month) > (self.year - 1, 1)

    @property
    def evenings_before(self) -> str:
        """The evenings of the year before; empty where there was none."""
        if self.before is None:
            return ""
        words = gettext_noop("{n} by the same day of {year}") if self.running else gettext_noop("{n} in {year}")
        return _(words, n=len(self.before.evenings), year=self.year - 1)

    @property
    def against_before(self) -> str:
        """The hours against those of the year before: "12 h more than in 2025"; empty where there was none."""
        if self.before is None:
            return ""
        more = self.hours.minutes - self.before.minutes
        words = _AGAINST[self.running][(more > 0) - (more < 0)]
        return _(words, hours=format_hours(abs(more)), year=self.year - 1)

    @property
    def scrap(self) -> int:
        return sum(reason.pieces for reason in self.reasons)

    @cached_property
    def made_by_role(self) -> dict[Role, int]:
        """How many parts were finished, by what they are; only of what there were any."""
        counts = Counter(one.part.counts_as for one in self.made)
        return {role: counts[role] for role in Role if counts[role]}

    @property
    def details(self) -> int:
        return self.made_by_role.get(Role.DETAIL, 0)

    @property
    def others_made(self) -> str:
        """What was finished besides details: "Jigs and tools: 2 · Bought in: 1"."""
        others = ((role, count) for role, count in self.made_by_role.items() if role != Role.DETAIL)
        return " · ".join(_("{what}: {n}", what=_(LABELS[role]), n=count) for role, count in others)

    @property
    def empty(self) -> bool:
        """Whether there is nothing to tell of it."""
        told = (self.hours.minutes, self.hours.unknown, self.hours.account.uncounted_minutes, self.good, self.scrap)
        return not any(told) and not (self.made or self.milestones or self.photos or self.arrived)


def read_year(build: Build, year: int, today: date) -> YearInShop | None:
    """A year of a build; None where it is none of its years. Seven queries, of the log only what touches two years."""
    if not date.min.year <= year <= today.year:
        return None
    [records] = read_records_of_years([build], *_with_the_year_before(year), today)
    return year_of(records, year) if year in records.years else None


def read_years(build: Build, today: date) -> tuple[YearInShop, ...]:
    """All years of a build, oldest first, with the whole log. Seven queries."""
    [records] = read_records_of_years([build], date.min, today, today)
    return tuple(year_of(records, year) for year in records.years)


@dataclass(frozen=True)
class WholeShopYear(OneYear):
    """One year of all builds, those first that took the most hours; without those that had nothing in it."""

    builds: tuple[YearInShop, ...]

    @property
    def minutes(self) -> int:
        return sum(one.hours.minutes for one in self.builds)

    @cached_property
    def evenings(self) -> dict[date, int]:
        """Every day with work of its own on any of the builds, with its minutes on all of them."""
        together = Counter[date]()
        for one in self.builds:
            together.update(one.hours.evenings)
        return dict(together)

    @property
    def details(self) -> int:
        return sum(one.details for one in self.builds)

    @property
    def good(self) -> int:
        return sum(one.good for one in self.builds)

    @property
    def scrap(self) -> int:
        return sum(one.scrap for one in self.builds)

    @property
    def months(self) -> tuple[Month, ...]:
        return months_together([one.hours for one in self.builds])

    @property
    def months_before(self) -> tuple[Month, ...]:
        return months_together([one.before for one in self.builds if one.before])


def read_shop_year(year: int, today: date) -> WholeShopYear | None:
    """A year of all builds; None where none of them has it. Eight queries."""
    if not date.min.year <= year <= today.year:
        return None
    records = read_records_of_years(tuple(Build.objects.all()), *_with_the_year_before(year), today)
    years = tuple(range(min((one.years[0] for one in records), default=today.year), today.year + 1))
    told = (year_of(one, year) for one in records if year in one.years)
    busy = sorted((one for one in told if not one.empty), key=lambda one: (-one.hours.minutes, one.build.name))
    return WholeShopYear(year, today, years, tuple(busy)) if year in years else None


def entries_of_longest(shop: YearInShop) -> tuple[Entry, ...]:
    """The entries of the year's longest evening, as they were logged. One query."""
    longest = shop.hours.longest_evening
    if longest is None:
        return ()
    on_it = filtered(shop.build, LogFilter(since=longest[0], until=longest[0])).order_by("pk")
    return tuple(
        entry for entry in on_it if entry.since_on in (None, entry.worked_on) and shop.build.counts(entry.activity)
    )


def latest_year(build: Build, today: date) -> int:
    """The year of the last entry, today's for an empty log. One query."""
    last = build.entries.kept().filter(worked_on__lte=today).values_list("worked_on", flat=True).first()
    return (last or today).year


def _with_the_year_before(year: int) -> tuple[date, date]:
    return date(max(year - 1, date.min.year), 1, 1), date(year, 12, 31)


def year_of(records: YearRecords, year: int) -> YearInShop:
    """One of the years that the records hold. No queries."""
    build, today = records.build, records.today
    first, last = date(year, 1, 1), min(date(year, 12, 31), today)
    rows = [row for row in records.rows if first <= row.worked_on <= last]
    scrap = Counter[str]()
    for row in rows:
        if row.scrap:
            scrap[row.scrap_reason or NO_REASON] += row.scrap
    dated = [photo for photo in records.photos if photo.day is not None and first <= photo.day <= last]
    return YearInShop(
        build=build,
        year=year,
        today=today,
        years=records.years,
        began_on=records.began_on,
        hours=hours_between(records.rows, build, first, last),
        before=_year_before(records, last),
        made=tuple(one for one in records.made if first <= one.on <= last),
        good=sum(row.good for row in rows if row.operation_id in records.with_pieces),
        reasons=ranked_reasons(scrap),
        milestones=tuple(one for one in records.milestones if one.reached_on and first <= one.reached_on <= last),
        photos=tuple(sorted(dated, key=lambda photo: (photo.day, photo.pk))),
        undated=sum(photo.day is None for photo in records.photos),
        arrived=tuple(part for part in records.parts if part.arrived_on and first <= part.arrived_on <= last),
    )


def _year_before(records: YearRecords, last: date) -> YearHours | None:
    """The hours from the first day of the year before up to the same day of it."""
    if records.began_on is None or records.began_on.year >= last.year:
        return None
    # The last day of February is none in most years.
    same_day = last.replace(year=last.year - 1, day=min(last.day, 28) if last.month == 2 else last.day)
    if records.began_on > same_day:
        return None
    return hours_between(records.rows, records.build, same_day.replace(month=1, day=1), same_day)
