"""Working past months out, with the same figures in the background (for the pages) and in the foreground."""

import hashlib
from collections import deque
from collections.abc import Generator, Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import islice

from builds.models import Build
from builds.queries import cache_store
from builds.queries.background import background
from builds.queries.forecast.build_forecast import BuildForecast, forecast_from, seed_of
from builds.queries.forecast.replay import (
    DRAWS,
    REPLAYED,
    Kept,
    MilestoneRange,
    Month,
    MonthForecast,
    PartRange,
    Progress,
    Replay,
    key_of,
    month_ends,
    replay_at_hand,
)
from builds.queries.forecast.replay_days import snapshots_of
from builds.queries.forecast.replay_score import LATER, settled_parts
from builds.queries.snapshot import BuildRecords, BuildSnapshot, read_records, snapshot_of
from calcs.forecast import ARITHMETIC
from calcs.forecast.result import Forecast
from calcs.parts.plan import BuildPlan

# A build whose plan had no figure for so many months had no first forecast to speak of.
FIRST_MONTHS = 12
SETTLED, STILL_OPEN = "settled", "open"


def ask_for(build: Build, today: date) -> None:
    """Have a build's months worked out in the background. Asking again while that is on its way changes nothing."""
    background.ask(f"replay of {build.slug} up to {today}", lambda: month_by_month(build, today))


def replay_of(build: Build, today: date) -> Replay | None:
    """The replay, worked out here and now as far as it is not at hand."""
    for _progress in month_by_month(build, today):
        pass
    return replay_at_hand(build, today)


def first_forecast(build: Build, before: date, today: date) -> MonthForecast | None:
    """The first month's forecast that named a date, of those before a day; None where there is none.

    The replay's own figures. Worked out here and now: it is one month as a rule, and it is kept.
    """
    records = read_records(build, today)
    days = [day for day in month_ends(build, today) if day < before][:FIRST_MONTHS]
    forecasts = (month.forecast for month in _months(records, days))
    return next((one for one in forecasts if one.hours_left is not None and one.finish_on is not None), None)


def month_by_month(build: Build, today: date) -> Iterator[Progress]:
    """Work out what is missing, a month a step. A build that is changed meanwhile is begun anew, with what is kept."""
    wanted: Build | None = build
    while wanted is not None and replay_at_hand(wanted, today) is None:
        if (yield from _of_a_revision(wanted, today)):
            return
        wanted = Build.objects.filter(pk=build.pk).first()


def _of_a_revision(build: Build, today: date) -> Generator[Progress, None, bool]:
    """Whether it came to the end: False where the build is of another revision by now."""
    days = month_ends(build, today)
    records = read_records(build, today)
    months: list[Month] = []
    for month in _months(records, days):
        months.append(month)
        progress = Progress(len(months), len(days))
        cache_store.keep(key_of("replay-progress", build, today), progress)
        yield progress
        if not Build.objects.filter(pk=build.pk, revision=build.revision).exists():
            return False
    cache_store.keep(key_of("replay", build, today), Kept(tuple(months), _of_today(snapshot_of(records, today))))
    return True


def _months(records: BuildRecords, days: Sequence[date]) -> Iterator[Month]:
    """Each month's forecast, scored a year later: at the month's end that the next months need as well."""
    ends = (*days, records.until)
    ahead = snapshots_of(records, ends)
    window: deque[BuildSnapshot] = deque()
    for day in days:
        later = min(records.until, (day.replace(day=1) + LATER).replace(day=1) - timedelta(days=1))
        while not window or window[-1].as_of < later:
            window.extend(islice(ahead, 1))
        then = window.popleft()
        took = settled_parts(then, window[-1])
        yield Month(_month_forecast(then, frozenset(one.key for one in took)), took)


def _month_forecast(snapshot: BuildSnapshot, settled: frozenset[int]) -> MonthForecast:
    """The forecast at the end of a month, kept under what was known then."""
    plan = _known_then(snapshot, settled)
    digest = hashlib.sha256(repr(plan).encode()).digest()
    key = f"month:{REPLAYED}:{ARITHMETIC}:{DRAWS}:{snapshot.build.uid}:{snapshot.as_of.isoformat()}:{digest.hex()}"
    found = cache_store.fetch(key, MonthForecast)
    if found is not None:
        return found
    # Not at the top: it loads NumPy, which an ordinary page does without.
    from calcs.forecast import forecast

    ahead = forecast(plan, snapshot.as_of, seed=seed_of(snapshot.build), draws=DRAWS)
    fresh = _kept_of(ahead, settled)
    cache_store.keep(key, fresh)
    return fresh


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
    ahead, reached = (
        tuple(replace(one, name="", part_keys=_Ordered(one.part_keys)) for one in some)
        for some in (plan.milestones, plan.reached)
    )
    closures = tuple(closure for closure in plan.closures if closure.first <= snapshot.as_of)
    return replace(plan, parts=parts, milestones=ahead, reached=reached, closures=closures, nesting=())


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
