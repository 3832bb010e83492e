"""Will it be ready by a day: the forecast asked the other way round, and what could be left for later."""

from dataclasses import dataclass
from datetime import date

from django.utils.text import capfirst

from builds.models import Milestone
from builds.queries import cache_store
from builds.queries.forecast.build_forecast import BuildForecast, left_of, seed_of
from builds.queries.forecast.what_if import spares_to_make
from builds.queries.snapshot import PartRow
from calcs.forecast import ARITHMETIC
from calcs.forecast.result import Ready, Spread
from calcs.forecast.words import EVEN_CHANCE, FOUR_IN_FIVE, NINE_IN_TEN, ONE_IN_TEN, chance_in_words, day_in_words
from calcs.messages import _
from calcs.typed.durations import format_hours


@dataclass(frozen=True)
class ReadyBy:
    """What is asked, and what can be said of it: None, with the reason in `refusal`, where nothing can.

    `later` are open parts that no milestone needs, with the hours left of each, most hours first; `spares` how many are
    still to make.
    """

    by: date
    milestone: Milestone | None
    refusal: str
    ready: Ready | None = None
    later: tuple[tuple[PartRow, Spread], ...] = ()
    spares: int = 0


def ready_by(build_forecast: BuildForecast, by: date, milestone: Milestone | None = None) -> ReadyBy:
    """Work out what is asked. No queries; the sums are done once a revision, day and question, and kept."""
    snapshot, forecast = build_forecast.snapshot, build_forecast.forecast
    refusal = _refusal(build_forecast, by)
    if refusal:
        return ReadyBy(by, milestone, refusal)
    build, key = snapshot.build, milestone.pk if milestone else None
    kept_under = f"ready:{ARITHMETIC}:{build.uid}:{build.revision}:{forecast.as_of.isoformat()}:{by.isoformat()}:{key}"
    found = cache_store.fetch(kept_under, Ready)
    if found is None:
        # Not at the top: it loads NumPy, which an ordinary page does without.
        from calcs.forecast import ready

        found = ready.ready_by(snapshot.build_plan(), forecast.as_of, by, seed_of(build), key)
        if found is None:
            return ReadyBy(by, milestone, _("When it is finished cannot be told yet, so no day can be asked about."))
        cache_store.keep(kept_under, found)
    later = () if milestone else _left_for_later(build_forecast)
    return ReadyBy(by, milestone, "", found, later=later, spares=spares_to_make(snapshot))


def _refusal(build_forecast: BuildForecast, by: date) -> str:
    forecast, state = build_forecast.forecast, build_forecast.snapshot.state
    if by < forecast.as_of:
        return _("That day is past. Give one that is still to come.")
    if state.finished_on is not None:
        return _("The build is finished, so no day is open.")
    if state.resting:
        return _("The build rests, so there is no date to ask about.")
    if forecast.hours_left is None or forecast.pace_hours_per_week is None:
        return _("When it is finished cannot be told yet, so no day can be asked about.")
    return ""


def chance_of_wish(build_forecast: BuildForecast) -> str:
    """Between which chances the wished finish lies, from the forecast's own dates alone: "More than an even chance."

    Empty where no day is wished that is still to come, or no date can be told.
    """
    wished, finish = build_forecast.snapshot.build.wished_finish_on, build_forecast.finish_on
    if wished is None or finish is None or _refusal(build_forecast, wished):
        return ""
    if _later(finish.p10, wished):
        return _("Less than {chance}.", chance=_(ONE_IN_TEN))
    if _later(finish.p50, wished):
        return _("Less than an {chance}.", chance=_(EVEN_CHANCE))
    if _later(finish.p80, wished):
        return _("More than an {chance}.", chance=_(EVEN_CHANCE))
    return _("More than {chance}.", chance=_(FOUR_IN_FIVE if _later(finish.p90, wished) else NINE_IN_TEN))


def _later(day: date | None, wished: date) -> bool:
    """Whether a day comes after the wished one; None lies beyond the horizon."""
    return day is None or day > wished


def _left_for_later(build_forecast: BuildForecast) -> tuple[tuple[PartRow, Spread], ...]:
    """Open parts that no milestone needs, where there are milestones at all."""
    plan = build_forecast.snapshot.build_plan()
    if not plan.milestones:
        return ()
    needed = frozenset[int]().union(*(one.parts_touched for one in plan.milestones))
    rows = ((row, left_of(build_forecast.by_part.get(row.part.pk))) for row in build_forecast.snapshot.parts)
    open_rows = [(row, left) for row, left in rows if left is not None and left.p50 > 0 and row.part.pk not in needed]
    return tuple(sorted(open_rows, key=lambda one: -one[1].p50))


@dataclass(frozen=True)
class ReadyWords:
    """The answer: the chance in big words, then sentences on what it would take."""

    big: str
    sentences: tuple[str, ...]


def ready_words(found: ReadyBy) -> ReadyWords:
    """The answer in words; the refusal alone where there is one."""
    ready = found.ready
    if ready is None:
        return ReadyWords(found.refusal, ())
    what = found.milestone.name if found.milestone else _("the whole build")
    words = {"what": what, "day": day_in_words(found.by), "pace": _hours(ready.pace)}
    sentences = [_("That is for {what}, by {day}, at the pace of your log: {pace} a week.", **words), _even(ready)]
    if ready.pace_for_four_in_five is not None:
        sentences.append(
            _("{chance} take {pace} a week.", chance=_(FOUR_IN_FIVE), pace=_hours(ready.pace_for_four_in_five))
        )
    if ready.hours_to_leave_out:
        out = _hours(ready.hours_to_leave_out)
        sentences.append(_("Or, at your own pace, {hours} of bench work left out.", hours=out))
    return ReadyWords(capfirst(chance_in_words(ready.chance)), tuple(sentences))


def _even(ready: Ready) -> str:
    wanted = ready.pace_for_even_chance
    if wanted is None:
        return _("No pace would give an even chance: what is closed or runs unattended fills the time.")
    if wanted <= ready.pace:
        return _("An even chance takes {pace} a week, which you keep already.", pace=_hours(wanted))
    return _("An even chance takes {pace} a week from now on.", pace=_hours(wanted))


def _hours(hours: float) -> str:
    return format_hours(60 * hours)
