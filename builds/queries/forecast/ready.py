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
from calcs.forecast.result import Spread
from calcs.forecast.words import chance_in_words, day_in_words
from calcs.messages import _
from calcs.typed.durations import format_hours


@dataclass(frozen=True)
class ReadyBy:
    """What is asked, and what can be said of it: all None, with the reason in `refusal`, where nothing can.

    `later` are open parts that no milestone needs, with the hours left of each, most hours first; `spares` how many are
    still to make.
    """

    by: date
    milestone: Milestone | None
    refusal: str
    chance: float | None = None
    pace: float | None = None
    pace_for_even_chance: float | None = None
    pace_for_four_in_five: float | None = None
    hours_to_leave_out: float | None = None
    later: tuple[tuple[PartRow, Spread], ...] = ()
    spares: int = 0


@dataclass(frozen=True)
class _Kept:
    chance: float
    pace: float
    pace_for_even_chance: float | None
    pace_for_four_in_five: float | None
    hours_to_leave_out: float | None


def ready_by(build_forecast: BuildForecast, by: date, milestone: Milestone | None = None) -> ReadyBy:
    """Work out what is asked. No queries; the sums are done once a revision, day and question, and kept."""
    snapshot, forecast = build_forecast.snapshot, build_forecast.forecast
    refusal = _refusal(build_forecast, by)
    if refusal:
        return ReadyBy(by, milestone, refusal)
    build, key = snapshot.build, milestone.pk if milestone else None
    kept_under = f"ready:{ARITHMETIC}:{build.uid}:{build.revision}:{forecast.as_of.isoformat()}:{by.isoformat()}:{key}"
    found = cache_store.fetch(kept_under, _Kept)
    if found is None:
        # Not at the top: it loads NumPy, which an ordinary page does without.
        from calcs.forecast import ready

        fresh = ready.ready_by(snapshot.build_plan(), forecast.as_of, by, seed_of(build), key)
        if fresh is None:
            return ReadyBy(by, milestone, _("When it is finished cannot be told yet, so no day can be asked about."))
        found = _Kept(**vars(fresh))
        cache_store.keep(kept_under, found)
    later = () if milestone else _left_for_later(build_forecast)
    return ReadyBy(by, milestone, "", **vars(found), later=later, spares=spares_to_make(snapshot))


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


def _left_for_later(build_forecast: BuildForecast) -> tuple[tuple[PartRow, Spread], ...]:
    """Open parts that no milestone needs, where there are milestones at all."""
    plan = build_forecast.snapshot.build_plan()
    if not plan.milestones:
        return ()
    needed = frozenset[int]().union(*(one.part_keys for one in plan.milestones))
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
    if found.chance is None or found.pace is None:
        return ReadyWords(found.refusal, ())
    what = found.milestone.name if found.milestone else _("the whole build")
    words = {"what": what, "day": day_in_words(found.by), "chance": chance_in_words(found.chance)}
    sentences = [
        _("That is for {what}, by {day}, at the pace of your log: {pace} a week.", **words, pace=_hours(found.pace))
    ]
    if found.pace_for_even_chance is None:
        sentences.append(_("No pace would give an even chance: what is closed or runs unattended fills the time."))
    else:
        sentences.append(_even(found))
    if found.pace_for_four_in_five is not None:
        sentences.append(_("Four chances in five want {pace} a week.", pace=_hours(found.pace_for_four_in_five)))
    if found.hours_to_leave_out:
        sentences.append(
            _("Or, at your own pace, {hours} of bench work left out.", hours=_hours(found.hours_to_leave_out))
        )
    return ReadyWords(capfirst(words["chance"]), tuple(sentences))


def _even(found: ReadyBy) -> str:
    week = _hours(found.pace_for_even_chance)
    if found.pace_for_even_chance is not None and found.pace is not None and found.pace_for_even_chance <= found.pace:
        return _("An even chance wants {pace} a week, which you keep already.", pace=week)
    return _("An even chance wants {pace} a week from now on.", pace=week)


def _hours(hours: float | None) -> str:
    return format_hours(60 * (hours or 0.0))
