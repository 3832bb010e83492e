"""The forecast as of the end of every month of the past, and whether what came of it fell into its ranges.

Each month knows only what was in the log by then. It is kept under a digest of just that, so that a new entry today
throws no past month away. A build's months are worked out a slice at a time, since ten years are more than one request
should wait for.
"""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

from builds.models import Build
from builds.queries import cache_store
from builds.queries.forecast.build_forecast import ARITHMETIC, BuildForecast, forecast_from
from builds.queries.forecast.replay_score import LATER, Scored, settled_parts
from builds.queries.snapshot import BuildRecords, BuildSnapshot, read_records, snapshot_of
from calcs.forecast.result import FinishDates, Forecast, Spread
from calcs.parts.plan import BuildPlan

# Past months are drawn with fewer draws than today: their 10 and 90 per cent points wander by about 2 per cent.
DRAWS = 1000
# Raised when what is kept of a month, or how it is scored, changes.
REPLAYED = 1
SETTLED, STILL_OPEN = "settled", "open"


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
    """The months worked out so far, oldest first; `wanted` is how many there are in all. The last day is today's."""

    build: Build
    months: tuple[Month, ...]
    wanted: int
    today: MonthForecast | None
    names: dict[int, tuple[str, date]]

    @property
    def complete(self) -> bool:
        return len(self.months) >= self.wanted

    @property
    def course(self) -> tuple[MonthForecast, ...]:
        """Every day that has a forecast, today's the last."""
        days = tuple(month.forecast for month in self.months)
        return (*days, self.today) if self.today else days

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


def replay_of(build: Build, today: date, at_most: int = 24) -> Replay:
    """The months so far, and `at_most` more where some are missing. Nine queries.

    A month that was kept from an earlier revision counts for a fifth of one that has to be worked out.
    """
    records = read_records(build, today)
    days = month_ends(records)
    key = f"replay:{REPLAYED}:{ARITHMETIC}:{build.uid}:{build.revision}:{today.isoformat()}"
    so_far = cache_store.fetch(key, _Months)
    months = so_far.months if so_far else ()
    if len(months) < len(days):
        months = (*months, *_further(records, days[len(months) :], at_most))
        cache_store.keep(key, _Months(months))
    complete = len(months) >= len(days)
    return Replay(
        build=build,
        months=months,
        wanted=len(days),
        today=_of_today(snapshot_of(records, today)) if complete and days else None,
        names={m.pk: (m.name, m.reached_on) for m in records.milestones if m.reached_on and m.reached_on <= today},
    )


@dataclass(frozen=True)
class _Months:
    months: tuple[Month, ...]


def month_ends(records: BuildRecords) -> tuple[date, ...]:
    """The last day of every month from the first work on, before the day read up to."""
    if not records.rows:
        return ()
    first = min(row.since_on or row.worked_on for row in records.rows)
    days: list[date] = []
    month = first.replace(day=1)
    while True:
        month = (month + timedelta(days=32)).replace(day=1)
        last = month - timedelta(days=1)
        if last >= records.until:
            return tuple(days)
        days.append(last)


def _further(records: BuildRecords, days: Sequence[date], at_most: int) -> Iterator[Month]:
    snapshots: dict[date, BuildSnapshot] = {}

    def at(day: date) -> BuildSnapshot:
        if day not in snapshots:
            snapshots[day] = snapshot_of(records, day)
        return snapshots[day]

    spent = 0.0
    for day in days:
        if spent >= at_most:
            return
        # A year later, as the month's end that the next months need as well.
        later = min(records.until, (day.replace(day=1) + LATER).replace(day=1) - timedelta(days=1))
        took = settled_parts(at(day), at(later))
        forecast, fresh = _month_forecast(at(day), frozenset(one.key for one in took))
        spent += 1 if fresh else 0.2
        yield Month(forecast, took)


def _month_forecast(snapshot: BuildSnapshot, settled: frozenset[int]) -> tuple[MonthForecast, bool]:
    """The forecast at the end of a month; the second is whether it had to be worked out."""
    plan = _known_then(snapshot, settled)
    digest = hashlib.sha256(repr(plan).encode()).digest()
    key = f"month:{REPLAYED}:{ARITHMETIC}:{DRAWS}:{snapshot.build.uid}:{snapshot.as_of.isoformat()}:{digest.hex()}"
    found = cache_store.fetch(key, MonthForecast)
    if found is not None:
        return found, False
    # Not at the top: it loads NumPy, which an ordinary page does without.
    from calcs.forecast import forecast

    # Its own seed, from what was known then, so that the figures do not hang on what came later.
    ahead = forecast(plan, snapshot.as_of, seed=int.from_bytes(digest[:8], "big"), draws=DRAWS)
    fresh = _kept_of(ahead, settled)
    cache_store.keep(key, fresh)
    return fresh, True


def _known_then(snapshot: BuildSnapshot, settled: frozenset[int]) -> BuildPlan:
    """The plan as it could be known then, put so that the parts settled later stand in one group.

    Groups change nothing but how the same draws are added up, so the sum over these parts is exact, their common doubt
    in it. A name is no figure. A closure that lay ahead is left out: nobody knows whether it was planned by then.
    """
    plan = snapshot.build_plan()
    parts = tuple(
        replace(part, name="", group=SETTLED if part.key in settled else STILL_OPEN, waiting=False)
        for part in plan.parts
    )
    # In a set of no order the same keys may be written in another one.
    milestones = tuple(replace(one, name="", part_keys=_Ordered(one.part_keys)) for one in plan.milestones)
    closures = tuple(closure for closure in plan.closures if closure.first <= snapshot.as_of)
    return replace(plan, parts=parts, milestones=milestones, closures=closures)


class _Ordered(frozenset[int]):
    """A set that is written in order, so that its digest is always the same."""

    def __repr__(self) -> str:
        return repr(sorted(self))


def _kept_of(forecast: Forecast, settled: frozenset[int]) -> MonthForecast:
    together = next((group.hours_left for group in forecast.groups if group.group == SETTLED), None)
    return MonthForecast(
        as_of=forecast.as_of,
        hours_done=forecast.hours_done,
        hours_left=forecast.hours_left,
        finish_on=forecast.finish_on,
        together=together,
        parts=tuple(
            PartRange(part.key, part.hours_left.p10, part.hours_left.p90)
            for part in forecast.parts
            if part.key in settled and part.hours_left is not None
        ),
        milestones=tuple(
            MilestoneRange(one.key, one.finish_on.p10, one.finish_on.p90)
            for one in forecast.milestones
            if one.finish_on is not None and one.finish_on.p10 is not None
        ),
    )


def _of_today(snapshot: BuildSnapshot) -> MonthForecast:
    """Today's, which is the forecast page's own figure."""
    return _kept_of(BuildForecast(snapshot, forecast_from(snapshot)).forecast, frozenset())
