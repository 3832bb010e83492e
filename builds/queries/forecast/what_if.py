"""What if: the forecast beside the same with another pace, or without the spares.

Only the plain figures handed to the arithmetic change, and the seed stays: a difference is no noise of the draws.

The pace is changed by lengthening or shortening every stint of the log in proportion. An expected pace for all time to
come would be the other way; it would make all weeks alike, and so leave out the empty weeks and the season and give a
range that is too narrow, above all near the end. What is added stands in stints of a kind of their own, which count for
the pace and for nothing else: the hours done, the share of shop time and the growth of the plan stay what they are.
"""

from dataclasses import dataclass, replace

from builds.queries import cache_store
from builds.queries.forecast.build_forecast import BuildForecast, seed_of
from builds.queries.log.usual_day import middle_day
from builds.queries.snapshot import BuildSnapshot
from calcs.forecast import ARITHMETIC
from calcs.forecast.result import FinishDates, Spread
from calcs.messages import _
from calcs.parts.plan import BuildPlan, Stint
from calcs.parts.remaining import nothing_left

# The kind of the stints that stand for hours not worked; no other sum takes it.
IMAGINED = "imagined"


@dataclass(frozen=True)
class WhatIfInput:
    """What is asked: evenings more a week, hours a week kept from now on (None as in the log), no more spares."""

    evenings: int = 0
    hours: float | None = None
    without_spares: bool = False

    @property
    def anything(self) -> bool:
        return bool(self.evenings) or self.hours is not None or self.without_spares


@dataclass(frozen=True)
class Scenario:
    """Hours left and finish under what is asked; None is not known."""

    hours_left: Spread | None
    finish_on: FinishDates | None


@dataclass(frozen=True)
class WhatIf:
    """The forecast as it stands and as asked. `pace` and `new_pace` are hours a week, `evening` hours.

    `spares`: how many spares are still to make in parts not finished. `refusal` says why nothing can be told.
    """

    asked: WhatIfInput
    as_it_stands: Scenario
    then: Scenario | None
    pace: float | None
    new_pace: float | None
    evening: float | None
    spares: int
    refusal: str

    @property
    def days_sooner(self) -> int | None:
        """Days that the even chance comes nearer; below 0 it moves off. None where one of the two is not known."""
        now, then = self.as_it_stands.finish_on, self.then and self.then.finish_on
        if now is None or not then or now.p50 is None or then.p50 is None:
            return None
        return (now.p50 - then.p50).days


def what_if(build_forecast: BuildForecast, asked: WhatIfInput) -> WhatIf:
    """Work out what is asked. No queries; the sums are done once a revision, day and question, and kept."""
    forecast = build_forecast.forecast
    pace = forecast.pace_hours_per_week
    evening = usual_evening(build_forecast.snapshot)
    spares = spares_to_make(build_forecast.snapshot)
    new_pace = _new_pace(pace, evening, asked)
    refusal = _refusal(build_forecast, asked, spares) if asked.anything else ""
    then = None if refusal or not asked.anything else _scenario(build_forecast.snapshot, asked, pace, new_pace)
    as_it_stands = Scenario(forecast.hours_left, forecast.finish_on)
    return WhatIf(asked, as_it_stands, then, pace, new_pace, evening, spares, refusal)


def usual_evening(snapshot: BuildSnapshot) -> float | None:
    """Hours of the middle one of the last days with work, to the half hour; None for an empty log.

    Lumps over days tell nothing of it.
    """
    by_day: dict[object, float] = {}
    for stint in snapshot.stints:
        if stint.first == stint.last and stint.minutes > 0:
            by_day[stint.last] = by_day.get(stint.last, 0.0) + stint.minutes / 60
    return middle_day(list(by_day.values()))


def spares_to_make(snapshot: BuildSnapshot) -> int:
    """Spares not made yet, of the parts that the build still has open."""
    return sum(line.count.spares - line.count.spares_had for line in snapshot.parts if not nothing_left(line.plan))


def _new_pace(pace: float | None, evening: float | None, asked: WhatIfInput) -> float | None:
    base = asked.hours if asked.hours is not None else pace
    return None if base is None else base + asked.evenings * (evening or 0.0)


def _refusal(build_forecast: BuildForecast, asked: WhatIfInput, spares: int) -> str:
    if build_forecast.forecast.hours_left is None:
        return _("No part has a figure yet, so nothing can be told of other ways either.")
    if build_forecast.forecast.hours_left.p90 <= 0:
        return _("Nothing is left to do, so nothing would change.")
    if build_forecast.snapshot.state.resting and (asked.evenings or asked.hours is not None):
        return _("The build rests, so there is no date that another pace would move.")
    if build_forecast.forecast.pace_hours_per_week is None and (asked.evenings or asked.hours is not None):
        return _("No hours have been logged yet, so there is no pace to change. A first evening opens this.")
    if asked.without_spares and not spares and not asked.evenings and asked.hours is None:
        return _("No spares are left to make, so leaving them out changes nothing.")
    return ""


def _scenario(snapshot: BuildSnapshot, asked: WhatIfInput, pace: float | None, new_pace: float | None) -> Scenario:
    build, as_of = snapshot.build, snapshot.as_of
    factor = new_pace / pace if new_pace is not None and pace else 1.0
    day = as_of.isoformat()
    key = f"what-if:{ARITHMETIC}:{build.uid}:{build.revision}:{day}:{factor:.6f}:{asked.without_spares}"
    found = cache_store.fetch(key, Scenario)
    if found is None:
        # Not at the top: it loads NumPy, which an ordinary page does without.
        from calcs.forecast import forecast

        plan = changed_plan(snapshot.build_plan(), factor, without_spares=asked.without_spares)
        ahead = forecast(plan, as_of, seed=seed_of(build))
        found = Scenario(ahead.hours_left, ahead.finish_on)
        cache_store.keep(key, found)
    return found


def changed_plan(plan: BuildPlan, factor: float, *, without_spares: bool) -> BuildPlan:
    """The plan with the pace of its log times `factor`, and without spares if so."""
    parts = tuple(replace(part, spares=0) for part in plan.parts) if without_spares else plan.parts
    more = tuple(
        Stint(stint.first, stint.last, stint.minutes * (factor - 1), kind=IMAGINED)
        for stint in plan.stints
        if stint.minutes and factor != 1
    )
    return replace(plan, parts=parts, stints=plan.stints + more)
