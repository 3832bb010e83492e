"""How long it has taken, and what so many hours mean."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from builds.queries.forecast.finished import FinishedBuild, finished_build, span_in_words
from builds.queries.forecast.weeks import hours_by_month
from builds.queries.forecast.what_if import usual_evening
from builds.queries.snapshot import BuildSnapshot
from builds.queries.visitors.figures import halves_in_words, hours_in_words, month_in_words, share_in_a_hundred
from calcs.messages import _, ngettext

# What a working week has at many works; a judgement, said beside the figure.
WORKING_WEEK = 40


@dataclass(frozen=True)
class YearOfHours:
    """A year's hours at the bench; `percent` of the busiest year's."""

    year: int
    hours: float
    percent: int

    @property
    def words(self) -> str:
        return hours_in_words(self.hours)


@dataclass(frozen=True)
class HoursTold:
    """Hours at the bench so far. `evening`: hours of a usual one, None where no day tells. `months` by first day."""

    hours: float
    since: date | None
    evening: float | None
    months: tuple[tuple[date, float], ...]

    @property
    def years(self) -> tuple[YearOfHours, ...]:
        by_year: dict[int, float] = defaultdict(float)
        for month, hours in self.months:
            by_year[month.year] += hours
        most = max(by_year.values(), default=0.0)
        return tuple(YearOfHours(year, hours, share_in_a_hundred(hours, most)) for year, hours in by_year.items())

    @property
    def words(self) -> str:
        return hours_in_words(self.hours)

    @property
    def evenings(self) -> int:
        """Usual evenings that so many hours come to."""
        return round(self.hours / self.evening) if self.evening else 0

    @property
    def meaning(self) -> str:
        """Such as "That is about 560 evenings of 2½ hours since October 2023."; empty where there are too few."""
        if self.evenings < 2 or self.evening is None:
            return ""
        told = {"n": f"{self.evenings:,}", "evening": halves_in_words(self.evening)}
        if self.since is None:
            return _("That is about {n} evenings of {evening}.", **told)
        return _("That is about {n} evenings of {evening} since {month}.", month=month_in_words(self.since), **told)

    @property
    def working_weeks(self) -> str:
        """The same in weeks of somebody's work; empty for less than two."""
        weeks = round(self.hours / WORKING_WEEK)
        if weeks < 2:
            return ""
        return ngettext(
            "Somebody working {hours} hours a week would need {n} week.",
            "Somebody working {hours} hours a week would need {n} weeks.",
            weeks,
            hours=WORKING_WEEK,
        )


@dataclass(frozen=True)
class FinishedTold:
    """A finished build. `hours` is None where they are not told, `had_been_said` empty where dates or hours are not."""

    finished_on: date
    began_on: date | None
    hours: HoursTold | None
    had_been_said: str

    @property
    def span(self) -> str:
        """Such as "2 years and 5 months"; empty where the start is not known."""
        if self.began_on is None or self.began_on >= self.finished_on:
            return ""
        return span_in_words(self.began_on, self.finished_on)

    @property
    def took(self) -> str:
        """Such as "1,120 hours over 2 years and 5 months"."""
        if self.hours is None:
            return self.span or _("It is finished")
        return _("{hours} over {time}", hours=self.hours.words, time=self.span) if self.span else self.hours.words

    @property
    def when(self) -> str:
        return _("Finished in {month}.", month=month_in_words(self.finished_on))


def hours_told(snapshot: BuildSnapshot) -> HoursTold | None:
    """None for an empty log."""
    hours = snapshot.headline_minutes / 60
    if hours <= 0:
        return None
    since = snapshot.build.started_on or snapshot.rows[0].worked_on
    return HoursTold(hours, since, usual_evening(snapshot), hours_by_month(snapshot))


def finished_told(snapshot: BuildSnapshot, hours: HoursTold | None, *, dates: bool) -> FinishedTold | None:
    """None where it is not finished. Two queries at most, once a revision and day."""
    found: FinishedBuild | None = finished_build(snapshot)
    if found is None:
        return None
    said = found.had_been_said if dates and hours is not None else ""
    return FinishedTold(found.finished_on, found.began_on, hours, said)
