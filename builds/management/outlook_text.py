"""An outlook as the command line prints it: in words, or as plain figures. The figures come from the query alone."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from builds.queries.outlook import Prospect
from calcs.forecast import FinishDates, Outlook, Spread
from calcs.forecast_words import finish_range, finish_sentences, hours_range


def short_lines(prospect: Prospect) -> Iterator[str]:
    """What is done, what is left and when it may be finished: a line each."""
    outlook = prospect.outlook
    yield f"Done: {outlook.hours_done:,.0f} bench hours{_unattended(outlook.unattended_hours_done)}."
    if outlook.hours_left is None:
        yield "Left: not known, since no part has a figure yet."
    else:
        yield f"Left: {hours_range(outlook.hours_left)} at the bench."
    if outlook.finish_on is None:
        yield "Finish: not known, since there is no pace or no figure to go by."
    else:
        yield f"Finish: {finish_range(outlook.finish_on, outlook.as_of)}."


def _unattended(hours: float) -> str:
    return f", and {hours:,.0f} hours that machines ran by themselves" if hours >= 0.5 else ""


def whole_text(prospect: Prospect) -> Iterator[str]:
    """The outlook in words, with its working."""
    outlook = prospect.outlook
    yield f"{prospect.ledger.build.name}, as of {outlook.as_of.isoformat()}"
    yield ""
    yield from short_lines(prospect)
    if outlook.finish_on is not None:
        yield from finish_sentences(outlook.finish_on, outlook.as_of)
    if outlook.pace_hours_per_week is not None:
        yield f"Pace: {outlook.pace_hours_per_week:.1f} bench hours a week."
    if prospect.unestimated:
        names = ", ".join(str(line.part) for line in prospect.unestimated[:12])
        more = len(prospect.unestimated) - 12
        yield f"Without any figure yet: {names}{f' and {more} more' if more > 0 else ''}."
    yield from outlook.remarks
    yield ""
    yield outlook.working.as_text()


def as_figures(prospect: Prospect) -> dict[str, Any]:
    """The outlook as plain figures, rounded to two decimals; None is "not known", which is not zero."""
    outlook: Outlook = prospect.outlook
    return {
        "build": prospect.ledger.build.slug,
        "as_of": outlook.as_of.isoformat(),
        "hours_done": round(outlook.hours_done, 2),
        "planned_hours_left": round(outlook.planned_hours_left, 2),
        "hours_left": _spread(outlook.hours_left),
        "unattended_hours_left": _spread(outlook.unattended_hours_left),
        "pace_hours_per_week": None if outlook.pace_hours_per_week is None else round(outlook.pace_hours_per_week, 2),
        "finish_on": _dates(outlook.finish_on),
        "unestimated_parts": len(outlook.unestimated_parts),
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
