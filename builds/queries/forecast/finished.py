"""A finished build: when it was, how long it took, and what the first forecast had said."""

from dataclasses import dataclass
from datetime import date

from builds.models.choices import BuildState
from builds.queries import cache_store
from builds.queries.forecast.replay import MonthForecast, key_of
from builds.queries.forecast.replay_work import first_forecast
from builds.queries.plan.build_state import StateOnDay
from builds.queries.snapshot import BuildSnapshot
from calcs.forecast.result import Spread
from calcs.forecast.words import day_in_words, finish_range, hours_range
from calcs.messages import _, listed, ngettext


@dataclass(frozen=True)
class FinishedBuild:
    """`hours` were logged at the bench. `first` is the first forecast that named a date; None where there was none."""

    began_on: date | None
    finished_on: date
    hours: float
    first: MonthForecast | None

    @property
    def when(self) -> str:
        return StateOnDay(BuildState.FINISHED, self.finished_on).sentence

    @property
    def took(self) -> str:
        """Such as "It took 1,123 hours over 2 years and 5 months."."""
        hours = f"{self.hours:,.0f}"
        if self.began_on is None or self.began_on >= self.finished_on:
            return _("It took {hours} hours at the bench.", hours=hours)
        return _(
            "It took {hours} hours at the bench over {time}.",
            hours=hours,
            time=span_in_words(self.began_on, self.finished_on),
        )

    @property
    def had_been_said(self) -> str:
        """What the first forecast had said of hours and date; empty where there was none."""
        first = self.first
        if first is None or first.hours_left is None or first.finish_on is None:
            return ""
        return _(
            "The first forecast, of {day}, had said with 4 chances in 5: {hours} in all, finished {when}.",
            day=day_in_words(first.as_of),
            hours=hours_range(_with(first.hours_left, first.hours_done)),
            when=finish_range(first.finish_on, first.as_of),
        )

    @property
    def sentences(self) -> tuple[str, ...]:
        return tuple(filter(None, (self.when, self.took, self.had_been_said)))


@dataclass(frozen=True)
class FirstForecast:
    """What is kept of it, the absence of any too."""

    forecast: MonthForecast | None


def finished_build(snapshot: BuildSnapshot) -> FinishedBuild | None:
    """None where the build was not finished on the day. What the first forecast had said is kept once worked out."""
    finished_on = snapshot.state.finished_on
    if finished_on is None:
        return None
    began_on = snapshot.build_plan().started_on
    return FinishedBuild(began_on, finished_on, snapshot.headline_minutes / 60, _first(snapshot, finished_on))


def _first(snapshot: BuildSnapshot, finished_on: date) -> MonthForecast | None:
    key = key_of("first-forecast", snapshot.build, snapshot.as_of)
    found = cache_store.fetch(key, FirstForecast)
    if found is None:
        found = FirstForecast(first_forecast(snapshot.build, finished_on, snapshot.as_of))
        cache_store.keep(key, found)
    return found.forecast


def span_in_words(first: date, last: date) -> str:
    """Such as "2 years and 5 months", "7 weeks" or "12 days"; both ends count."""
    days = (last - first).days + 1
    months = round(days / 30.4375)
    if days < 28:
        return ngettext("{n} day", "{n} days", days)
    if months < 3:
        return ngettext("{n} week", "{n} weeks", round(days / 7))
    years, months = divmod(months, 12)
    told = [ngettext("{n} year", "{n} years", years)] if years else []
    return listed([*told, ngettext("{n} month", "{n} months", months)] if months else told)


def _with(left: Spread, done: float) -> Spread:
    """The hours left, and those that were done by then."""
    return Spread(left.mean + done, left.p10 + done, left.p50 + done, left.p80 + done, left.p90 + done)
