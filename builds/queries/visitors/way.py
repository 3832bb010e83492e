"""The way to the first run: what has been reached, what comes next, and when that may be."""

from dataclasses import dataclass

from builds.queries.forecast.build_forecast import BuildForecast
from builds.queries.visitors.figures import month_in_words
from calcs.forecast.words import FOUR_IN_FIVE, finish_range, finish_sentences
from calcs.messages import _, ngettext


@dataclass(frozen=True)
class StepOnTheWay:
    """A milestone; `when` is empty where no date is told or known."""

    name: str
    reached: bool
    when: str


@dataclass(frozen=True)
class WayTold:
    """`finish` and `even` (a sentence) say when all of it is done; empty where no date is told or known."""

    steps: tuple[StepOnTheWay, ...]
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
    finish, even = _finish(build_forecast) if dates else ("", "")
    resting = snapshot.state.resting
    return WayTold(steps, finish, even, resting) if steps or finish or resting else None


def _steps(build_forecast: BuildForecast, *, dates: bool) -> tuple[StepOnTheWay, ...]:
    """What is reached in the order in which it was, then what lies ahead in the builder's."""
    snapshot = build_forecast.snapshot
    ahead = {one.key: one.finish_on for one in build_forecast.milestones}
    open_ones = set(snapshot.open_milestones)
    reached = sorted(
        (one for one in snapshot.milestones if one not in open_ones), key=lambda one: (one.reached_on, one.position)
    )
    told = [
        StepOnTheWay(one.name, True, month_in_words(one.reached_on) if dates and one.reached_on else "")
        for one in reached
    ]
    for one in snapshot.open_milestones:
        finish_on = ahead.get(one.pk)
        when = finish_range(finish_on, snapshot.as_of) if dates and finish_on is not None else ""
        told.append(StepOnTheWay(one.name, False, when))
    return tuple(told)


def _finish(build_forecast: BuildForecast) -> tuple[str, str]:
    """The range of the finish and its even chance as a sentence; empty where nobody can tell, or nothing is left."""
    finish, left = build_forecast.finish_on, build_forecast.forecast.hours_left
    if finish is None or left is None or left.p90 <= 0:
        return "", ""
    as_of = build_forecast.forecast.as_of
    return finish_range(finish, as_of), finish_sentences(finish, as_of)[0]
