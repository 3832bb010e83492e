"""The way to the first run: what has been reached, what comes next, and when that may be."""

from dataclasses import dataclass
from datetime import date

from builds.queries.forecast.build_forecast import BuildForecast
from builds.queries.visitors.figures import month_in_words
from calcs.forecast.result import FinishDates
from calcs.forecast.words import FOUR_IN_FIVE, finish_range, finish_sentences
from calcs.messages import _, ngettext


@dataclass(frozen=True)
class StepOnTheWay:
    """A milestone; `when` is empty where no date is told or known, and `early` and `late` are None.

    What is reached has one day for both, else they hold it with 4 chances in 5; `late` None: beyond the horizon.
    """

    name: str
    reached: bool
    when: str = ""
    early: date | None = None
    late: date | None = None


@dataclass(frozen=True)
class WayTold:
    """`finish` and `even` (a sentence) say when all of it is done; empty where no date is told or known.

    `end` is the finish as a step of its own. `begun_on` is where the way begins, None where that is not known.
    """

    steps: tuple[StepOnTheWay, ...]
    end: StepOnTheWay | None
    begun_on: date | None
    as_of: date
    finish: str
    even: str
    resting: bool

    @property
    def next(self) -> StepOnTheWay | None:
        return next((step for step in self.steps if not step.reached), None)

    @property
    def reached(self) -> int:
        return sum(step.reached for step in self.steps)

    @property
    def headline(self) -> str:
        """What comes next, else how it stands."""
        if self.resting:
            return _("Work on it rests")
        if self.next is not None:
            return _("Next: {name}", name=self.next.name)
        if self.steps and not self.finish:
            return ngettext("{n} step is reached", "{n} steps are reached", self.reached)
        return _("The last work goes on")

    @property
    def chance(self) -> str:
        """How sure the ranges are; empty where none is told."""
        told = self.finish or any(step.when for step in self.steps if not step.reached)
        return _("Each range holds with {chance}.", chance=_(FOUR_IN_FIVE)) if told else ""


def way_told(build_forecast: BuildForecast, *, dates: bool) -> WayTold | None:
    """dates: whether visitors are told any. None where there is nothing to say, and for a finished build. No query."""
    snapshot = build_forecast.snapshot
    if snapshot.state.finished:
        return None
    steps = _steps(build_forecast, dates=dates)
    end, even = _end(build_forecast) if dates else (None, "")
    resting = snapshot.state.resting
    if not (steps or end or resting):
        return None
    begun_on = snapshot.build_plan().started_on
    return WayTold(steps, end, begun_on, snapshot.as_of, end.when if end else "", even, resting)


def _steps(build_forecast: BuildForecast, *, dates: bool) -> tuple[StepOnTheWay, ...]:
    """What is reached in the order in which it was, then what lies ahead in the builder's."""
    snapshot = build_forecast.snapshot
    ahead = {one.key: one.finish_on for one in build_forecast.milestones}
    open_ones = set(snapshot.open_milestones)
    reached = sorted(
        (one for one in snapshot.milestones if one not in open_ones), key=lambda one: (one.reached_on, one.position)
    )
    told = [_reached(one.name, one.reached_on if dates else None) for one in reached]
    told += [_ahead(one.name, ahead.get(one.pk) if dates else None, snapshot.as_of) for one in snapshot.open_milestones]
    return tuple(told)


def _reached(name: str, day: date | None) -> StepOnTheWay:
    return StepOnTheWay(name, True, month_in_words(day) if day else "", day, day)


def _ahead(name: str, finish: FinishDates | None, as_of: date) -> StepOnTheWay:
    if finish is None:
        return StepOnTheWay(name, False)
    return StepOnTheWay(name, False, finish_range(finish, as_of), finish.p10, finish.p90)


def _end(build_forecast: BuildForecast) -> tuple[StepOnTheWay | None, str]:
    """The finish, and its even chance as a sentence; nothing where nobody can tell, or nothing is left."""
    finish, left = build_forecast.finish_on, build_forecast.forecast.hours_left
    if finish is None or left is None or left.p90 <= 0:
        return None, ""
    as_of = build_forecast.forecast.as_of
    return _ahead(_("All of it is finished"), finish, as_of), finish_sentences(finish, as_of)[0]
