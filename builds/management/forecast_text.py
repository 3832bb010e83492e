"""A forecast as the command line prints it: in words, or as plain figures. The figures come from the query alone."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from builds.queries.forecast.build_forecast import BuildForecast
from calcs.forecast.result import FinishDates, Forecast, Spread
from calcs.forecast.words import finish_range, finish_sentences, hours_range


def short_lines(build_forecast: BuildForecast) -> Iterator[str]:
    """What is done, what is left and when it may be finished: a line each."""
    forecast = build_forecast.forecast
    yield f"Done: {forecast.hours_done:,.0f} bench hours{_unattended(forecast.unattended_hours_done)}."
    if forecast.hours_left is None:
        yield "Left: not known, since no part has a figure yet."
    else:
        yield f"Left: {hours_range(forecast.hours_left)} at the bench."
    if forecast.finish_on is None:
        yield "Finish: not known, since there is no pace or no figure to go by."
    else:
        yield f"Finish: {finish_range(forecast.finish_on, forecast.as_of)}."


def _unattended(hours: float) -> str:
    return f", and {hours:,.0f} hours that machines ran by themselves" if hours >= 0.5 else ""


def whole_text(build_forecast: BuildForecast) -> Iterator[str]:
    """The forecast in words, with its working."""
    forecast = build_forecast.forecast
    yield f"{build_forecast.snapshot.build.name}, as of {forecast.as_of.isoformat()}"
    yield ""
    yield from short_lines(build_forecast)
    if forecast.finish_on is not None:
        yield from finish_sentences(forecast.finish_on, forecast.as_of)
    if forecast.pace_hours_per_week is not None:
        yield f"Pace: {forecast.pace_hours_per_week:.1f} bench hours a week."
    if build_forecast.unestimated:
        names = ", ".join(str(line.part) for line in build_forecast.unestimated[:12])
        more = len(build_forecast.unestimated) - 12
        yield f"Without any figure yet: {names}{f' and {more} more' if more > 0 else ''}."
    yield from forecast.remarks
    yield ""
    yield forecast.working.as_text()


def as_figures(build_forecast: BuildForecast) -> dict[str, Any]:
    """The forecast as plain figures, rounded to two decimals; None is "not known", which is not zero."""
    forecast: Forecast = build_forecast.forecast
    return {
        "build": build_forecast.snapshot.build.slug,
        "as_of": forecast.as_of.isoformat(),
        "hours_done": round(forecast.hours_done, 2),
        "planned_hours_left": round(forecast.planned_hours_left, 2),
        "hours_left": _spread(forecast.hours_left),
        "unattended_hours_left": _spread(forecast.unattended_hours_left),
        "pace_hours_per_week": None if forecast.pace_hours_per_week is None else round(forecast.pace_hours_per_week, 2),
        "finish_on": _dates(forecast.finish_on),
        "unestimated_parts": len(forecast.unestimated_parts),
    }


def _spread(hours: Spread | None) -> dict[str, float] | None:
    if hours is None:
        return None
    return {name: round(float(getattr(hours, name)), 2) for name in ("mean", "p10", "p50", "p80", "p90")}


def _dates(finish: FinishDates | None) -> dict[str, str | None] | None:
    if finish is None:
        return None
    days: dict[str, date | None] = {name: getattr(finish, name) for name in ("p10", "p50", "p80", "p90")}
    return {name: day.isoformat() if day else None for name, day in days.items()}
