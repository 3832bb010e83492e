"""The forecast as of the end of every month of the past, and whether what came of it fell into its ranges.

Each month knows only what was in the log by then. It is kept under a digest of just that, so that a new entry today
throws no past month away. A page shows what is at hand; `replay_work` works the months out.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from django.db.models import Min
from django.db.models.functions import Coalesce

from builds.models import Build
from builds.queries import cache_store
from builds.queries.forecast.replay_score import Scored
from calcs.forecast import ARITHMETIC
from calcs.forecast.result import FinishDates, Spread

# Past months are drawn with fewer draws than today: their 10 and 90 per cent points wander by about 2 per cent.
DRAWS = 1000
# Raised when what is kept of a month, or how it is scored, changes.
REPLAYED = 1


@dataclass(frozen=True)
class PartRange:
    """Hours forecast for one part, 4 chances in 5."""

    key: int
    low: float
    high: float


@dataclass(frozen=True)
class MilestoneRange:
    """Dates forecast for a milestone, 4 chances in 5; None lies beyond the horizon."""

    key: int
    low: date
    high: date | None


@dataclass(frozen=True)
class MonthForecast:
    """What the forecast said on a day. `together` are the hours of the parts that were settled within a year of it."""

    as_of: date
    hours_done: float
    hours_left: Spread | None
    finish_on: FinishDates | None
    together: Spread | None
    parts: tuple[PartRange, ...]
    milestones: tuple[MilestoneRange, ...]


@dataclass(frozen=True)
class Month:
    """The forecast of a day, and the hours that the parts settled since then took (`took`: part, hours)."""

    forecast: MonthForecast
    took: tuple[Scored, ...]

    @property
    def hours_took(self) -> float:
        return sum(one.hours for one in self.took)

    @property
    def held(self) -> bool | None:
        """Whether the settled parts together took what was forecast for them; None where there were none."""
        spread = self.forecast.together
        return None if spread is None or not self.took else spread.p10 <= self.hours_took <= spread.p90


@dataclass(frozen=True)
class MilestoneHeld:
    """A milestone that was reached: how many of the months before it had the day in their range."""

    name: str
    reached_on: date
    held: int
    of: int


@dataclass(frozen=True)
class Replay:
    """All months that are over, oldest first, and today's forecast. `names` are the milestones reached, and when."""

    build: Build
    months: tuple[Month, ...]
    today: MonthForecast | None
    names: dict[int, tuple[str, date]]

    @property
    def course(self) -> tuple[MonthForecast, ...]:
        """Every day that has a forecast, today's the last."""
        days = tuple(month.forecast for month in self.months)
        return (*days, self.today) if self.today else days

    def between(self, first: date, last: date) -> "Replay":
        """Of the same only what was forecast on these days, both included."""
        months = tuple(month for month in self.months if first <= month.forecast.as_of <= last)
        today = self.today if self.today and first <= self.today.as_of <= last else None
        return Replay(self.build, months, today, self.names)

    @cached_property
    def months_held(self) -> tuple[int, int]:
        """Of how many months the hours of the settled parts together fell into their range, and of how many at all."""
        known = [month.held for month in self.months if month.held is not None]
        return sum(known), len(known)

    @cached_property
    def parts_held(self) -> tuple[float, int]:
        """The share of ranges that held part by part, every part worth one however long it was open; and how many."""
        seen: dict[int, list[bool]] = {}
        for month in self.months:
            ranges = {one.key: one for one in month.forecast.parts}
            for took in month.took:
                one = ranges.get(took.key)
                if one is not None:
                    seen.setdefault(took.key, []).append(one.low <= took.hours <= one.high)
        shares = [sum(held) / len(held) for held in seen.values()]
        return (sum(shares) / len(shares) if shares else 0.0), len(shares)

    @cached_property
    def milestones_held(self) -> tuple[MilestoneHeld, ...]:
        """The milestones that were reached and had a range at least once before."""
        found = []
        for key, (name, reached_on) in self.names.items():
            ranges = [one for month in self.months for one in month.forecast.milestones if one.key == key]
            held = sum(one.low <= reached_on and (one.high is None or reached_on <= one.high) for one in ranges)
            if ranges:
                found.append(MilestoneHeld(name, reached_on, held, len(ranges)))
        return tuple(found)


@dataclass(frozen=True)
class Kept:
    """What is kept of a replay once all of it is worked out."""

    months: tuple[Month, ...]
    today: MonthForecast | None


@dataclass(frozen=True)
class Progress:
    """So many months are worked out, of so many that are wanted."""

    done: int
    wanted: int


def replay_at_hand(build: Build, today: date) -> Replay | None:
    """The replay where all of it is kept, or there is nothing to look back on; nothing is worked out. One query."""
    kept = cache_store.fetch(key_of("replay", build, today), Kept)
    if kept is None:
        return None if month_ends(build, today) else Replay(build, (), None, {})
    reached = build.milestones.filter(reached_on__lte=today).values_list("pk", "name", "reached_on")
    return Replay(build, kept.months, kept.today, {pk: (name, day) for pk, name, day in reached if day})


def progress_of(build: Build, today: date) -> Progress:
    """How far the months of this revision are worked out. One query at most."""
    kept = cache_store.fetch(key_of("replay-progress", build, today), Progress)
    return kept or Progress(0, len(month_ends(build, today)))


def key_of(what: str, build: Build, today: date) -> str:
    return f"{what}:{REPLAYED}:{ARITHMETIC}:{build.uid}:{build.revision}:{today.isoformat()}"


def month_ends(build: Build, until: date) -> tuple[date, ...]:
    """The last day of every month from the first work on, before a day. One query."""
    logged = build.entries.kept().filter(worked_on__lte=until)
    first = logged.aggregate(first=Min(Coalesce("since_on", "worked_on")))["first"]
    days: list[date] = []
    month = (first or until).replace(day=1)
    while True:
        month = (month + timedelta(days=32)).replace(day=1)
        last = month - timedelta(days=1)
        if last >= until or first is None:
            return tuple(days)
        days.append(last)
