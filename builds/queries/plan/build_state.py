"""Whether a build is under way, rests or is finished: asked for here by every page, the board and the commands."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Max

from builds.models import Build
from builds.models.choices import BuildState
from calcs.forecast.words import day_in_words
from calcs.messages import _, gettext_noop


@dataclass(frozen=True)
class StateOnDay:
    """How a build stood at the end of a day; `finished_on` only where it was finished by then."""

    state: BuildState
    finished_on: date | None = None

    @property
    def resting(self) -> bool:
        return self.state == BuildState.RESTING

    @property
    def finished(self) -> bool:
        return self.state == BuildState.FINISHED

    @property
    def sentence(self) -> str:
        """That it is finished, or rests; empty while it is under way."""
        if self.finished_on is not None:
            return _("Finished on {day}.", day=day_in_words(self.finished_on))
        return _(RESTS) if self.resting else ""


RESTS = gettext_noop("The build rests. No date is told until work on it goes on.")
UNDER_WAY = StateOnDay(BuildState.ACTIVE)


def state_on(build: Build, day: date) -> StateOnDay:
    """The state of a build at the end of a day. No query while it is under way, else one.

    What rests or is finished now was under way up to its last entry; the day of finishing is the one that was said,
    and that last entry's where none was.
    """
    if build.state == BuildState.ACTIVE:
        return UNDER_WAY
    last = build.entries.kept().aggregate(last=Max("worked_on"))["last"]
    if build.state == BuildState.RESTING:
        return UNDER_WAY if last is not None and day < last else StateOnDay(BuildState.RESTING)
    finished_on = build.finished_on or last or build.started_on or day
    return UNDER_WAY if day < finished_on else StateOnDay(BuildState.FINISHED, finished_on)
