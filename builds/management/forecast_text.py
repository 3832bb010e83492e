"""A forecast as the command line prints it: in words, or as plain figures. The figures come from the query alone."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from builds.queries.forecast.build_forecast import BuildForecast
from builds.queries.forecast.finished import finished_build
from builds.queries.forecast.ready import ReadyBy, ready_words
from builds.queries.plan.build_state import RESTS
from calcs.forecast.remark_words import remarks_in_words
from calcs.forecast.result import FinishDates, Forecast, MilestoneForecast, Spread
from calcs.forecast.words import finish_range, finish_sentences, hours_left_in_words
from calcs.forecast.working import working_of
from calcs.messages import _
from calcs.typed.durations import format_hours, format_logged

MOST_NAMES = 12


def short_lines(build_forecast: BuildForecast) -> Iterator[str]:
    """What is done, what is left and when it may be finished: a line each."""
    forecast, finished = build_forecast.forecast, finished_build(build_forecast.snapshot)
    done, unattended = format_hours(forecast.hours_done * 60), format_hours(forecast.unattended_hours_done * 60)
    if forecast.unattended_hours_done < 0.5:
        yield _("Done: {hours} at the bench.", hours=done)
    else:
        yield _("Done: {hours} at the bench, and {unattended} unattended.", hours=done, unattended=unattended)
    yield from _not_counted(build_forecast)
    if finished is not None:
        yield from finished.sentences
        return
    if forecast.hours_left is None:
        yield _("Left: not known, since no part has a figure yet.")
    else:
        yield _("Left: {hours} at the bench.", hours=hours_left_in_words(forecast.hours_left))
    if build_forecast.snapshot.state.resting:
        yield _(RESTS)
    elif forecast.finish_on is None:
        yield _("Finish: not known, since there is no pace or no figure to go by.")
    else:
        yield _("Finish: {when}.", when=finish_range(forecast.finish_on, forecast.as_of))


def _not_counted(build_forecast: BuildForecast) -> Iterator[str]:
    """Why the log book has more than what is done."""
    account = build_forecast.snapshot.account
    if account.uncounted_minutes:
        yield _(
            "In the log book but not counted: {activities}. {whole} − {less} = {done} done.",
            activities=account.uncounted_words,
            whole=format_logged(account.minutes),
            less=format_logged(account.uncounted_minutes),
            done=format_logged(account.headline),
        )


def whole_text(build_forecast: BuildForecast) -> Iterator[str]:
    """The forecast in words, with its working."""
    forecast = build_forecast.forecast
    yield _("{build}, as of {day}", build=build_forecast.snapshot.build.name, day=forecast.as_of.isoformat())
    yield ""
    yield from short_lines(build_forecast)
    if forecast.finish_on is not None:
        yield from finish_sentences(forecast.finish_on, forecast.as_of)
    if forecast.pace_hours_per_week is not None:
        yield _(
            "Pace: {hours} bench hours a week, recent weeks weighing more.", hours=f"{forecast.pace_hours_per_week:.1f}"
        )
    if build_forecast.unestimated:
        names = ", ".join(str(line.part) for line in build_forecast.unestimated[:MOST_NAMES])
        more = len(build_forecast.unestimated) - MOST_NAMES
        if more > 0:
            yield _("Without any figure yet: {names} and {n} more.", names=names, n=more)
        else:
            yield _("Without any figure yet: {names}.", names=names)
    yield from remarks_in_words(forecast)
    yield ""
    yield working_of(forecast).as_text()


def as_figures(build_forecast: BuildForecast) -> dict[str, Any]:
    """The forecast as plain figures, rounded to two decimals; None is "not known", which is not zero."""
    forecast: Forecast = build_forecast.forecast
    state = build_forecast.snapshot.state
    return {
        "build": build_forecast.snapshot.build.slug,
        "as_of": forecast.as_of.isoformat(),
        "state": str(state.state),
        "finished_on": state.finished_on and state.finished_on.isoformat(),
        "hours_done": round(forecast.hours_done, 2),
        "planned_hours_left": round(forecast.planned_hours_left, 2),
        "hours_left": _spread(forecast.hours_left),
        "unattended_hours_left": _spread(forecast.unattended_hours_left),
        "pace_hours_per_week": None if forecast.pace_hours_per_week is None else round(forecast.pace_hours_per_week, 2),
        "finish_on": _dates(forecast.finish_on),
        "unestimated_parts": len(forecast.unestimated_parts),
        "milestones": [_milestone(one) for one in forecast.milestones],
    }


def _milestone(one: MilestoneForecast) -> dict[str, Any]:
    towards = {name: round(getattr(one.towards, name), 2) for name in ("mean", "low", "high")}
    figures = {"hours_left": _spread(one.hours_left), "finish_on": _dates(one.finish_on)}
    return {"name": one.name, **figures, "share_of_hours": towards, "learned_from": one.towards.reached}


def ready_figures(found: ReadyBy) -> dict[str, Any]:
    """Whether a day holds, as plain figures; None is "not known"."""
    names = ("chance", "pace_for_even_chance", "pace_for_four_in_five", "hours_to_leave_out")
    figures = {name: getattr(found.ready, name, None) for name in names}
    return {"date": found.by.isoformat()} | {
        name: None if figure is None else round(figure, 2) for name, figure in figures.items()
    }


def ready_text(found: ReadyBy) -> Iterator[str]:
    """Whether a day holds, in words."""
    words = ready_words(found)
    yield ""
    yield words.big
    yield from words.sentences


def _spread(hours: Spread | None) -> dict[str, float] | None:
    if hours is None:
        return None
    return {name: round(float(getattr(hours, name)), 2) for name in ("mean", "p10", "p50", "p80", "p90")}


def _dates(finish: FinishDates | None) -> dict[str, str | None] | None:
    if finish is None:
        return None
    days: dict[str, date | None] = {name: getattr(finish, name) for name in ("p10", "p50", "p80", "p90")}
    return {name: day.isoformat() if day else None for name, day in days.items()}
