"""Bench hours so far, and where they may be when the build is finished."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from builds.charts.calendar import calendar_axis
from builds.charts.drawing import (
    BLUE,
    INK,
    LONG_DASHED_DOTTED,
    QUIET,
    THICK,
    Chart,
    Layout,
    hatched,
    hours_axis,
    make_chart,
    new_figure,
    rows_at,
)
from builds.charts.labels import beside, foot_labels
from builds.queries.forecast.build_forecast import BuildForecast
from builds.queries.forecast.weeks import hours_by_month
from calcs.forecast.result import FinishDates, Spread
from calcs.forecast.words import (
    EVEN_CHANCE,
    NINE_IN_TEN,
    ONE_IN_TEN,
    hours_range,
    month_in_words,
    period_of,
    range_ends,
    two_figures,
)
from calcs.messages import _, gettext_noop
from calcs.typed.durations import format_hours

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


BEYOND = gettext_noop("later than the forecast looks")


@dataclass(frozen=True)
class Ahead:
    """Where the work ends: three dates and three totals of hours, early or low to late or high.

    `open_ended`: the late date lies beyond what the forecast looks at, so the range runs off the drawing.
    """

    dates: tuple[date, date, date]
    hours: tuple[float, float, float]
    left: Spread
    open_ended: bool


@dataclass(frozen=True)
class Course:
    """What is drawn: hours added up at the end of each stretch, the day it stands at, and what lies ahead."""

    days: tuple[date, ...]
    hours: tuple[float, ...]
    as_of: date
    ahead: Ahead | None


def hours_over_time(build_forecast: BuildForecast, *, name: str = "hours-over-time") -> Chart | None:
    """Bench hours added up month by month, and from today the range up to the finish. None for an empty log."""
    months = hours_by_month(build_forecast.snapshot)
    if not months:
        return None
    course = _course(months, build_forecast)
    return make_chart(
        name=name,
        title=_("Bench hours so far, and the range up to the finish") if course.ahead else _("Bench hours so far"),
        description=_in_words(course),
        heads=(_("Month"), _("Hours in the month"), _("Hours so far")),
        rows=_table(months, course),
        data=course,
        draw=_draw,
    )


def _course(months: tuple[tuple[date, float], ...], build_forecast: BuildForecast) -> Course:
    as_of = build_forecast.snapshot.as_of
    days, hours, total = [months[0][0]], [0.0], 0.0
    for month, worked in months:
        total += worked
        days.append(min(_next_month(month), max(as_of, month)))
        hours.append(total)
    return Course(tuple(days), tuple(hours), as_of, _ahead(build_forecast, total))


def _ahead(build_forecast: BuildForecast, done: float) -> Ahead | None:
    left, finish = build_forecast.forecast.hours_left, build_forecast.forecast.finish_on
    if left is None or finish is None or finish.p10 is None or left.p90 <= 0:
        return None
    return Ahead(
        dates=_three_dates(finish, build_forecast.snapshot.as_of),
        hours=(done + left.p10, done + left.p50, done + left.p90),
        left=left,
        open_ended=finish.p90 is None,
    )


def _three_dates(finish: FinishDates, as_of: date) -> tuple[date, date, date]:
    """Early, even chance and late; what lies beyond the horizon is put well after the last known date."""
    known = [day for day in (finish.p10, finish.p50, finish.p80, finish.p90) if day is not None]
    beyond = as_of + (max(known) - as_of) * 3 // 2
    early, even, late = (day or beyond for day in (finish.p10, finish.p50, finish.p90))
    return early, max(early, even), max(early, even, late)


def _next_month(month: date) -> date:
    return (month + timedelta(days=32)).replace(day=1)


def _in_words(course: Course) -> str:
    first, last = month_in_words(course.days[0]), month_in_words(course.as_of)
    done = {"hours": format_hours(course.hours[-1] * 60), "first": first, "last": last}
    ahead = course.ahead
    if ahead is None:
        return _("{hours} were logged at the bench from {first} to {last}.", **done)
    early, even, late = ahead.dates
    return _(
        "{hours} at the bench from {first} to {last}. The hatched range ends between {early} ({one_in_ten}) and {late} "
        "({nine_in_ten}), with {left} left to work; the even chance lies {even}.",
        **done,
        early=period_of(early, course.as_of).words,
        late=_(BEYOND) if ahead.open_ended else period_of(late, course.as_of).words,
        even=period_of(even, course.as_of).placed,
        one_in_ten=_(ONE_IN_TEN),
        nine_in_ten=_(NINE_IN_TEN),
        left=hours_range(ahead.left),
    )


def _table(months: tuple[tuple[date, float], ...], course: Course) -> tuple[tuple[str, ...], ...]:
    rows = [
        (month_in_words(month), format_hours(worked * 60), format_hours(total * 60))
        for (month, worked), total in zip(months, course.hours[1:], strict=True)
    ]
    if course.ahead:
        ends = [period_of(day, course.as_of).words for day in course.ahead.dates]
        if course.ahead.open_ended:
            ends[-1] = _(BEYOND)
        totals = [_in_all(course.hours[-1], left) for left in _left_in_figures(course.ahead.left)]
        rows += zip(early_even_late(), ends, totals, strict=True)
    return tuple(rows)


def _left_in_figures(left: Spread) -> tuple[int, int, int]:
    """Hours left as their range says them, early or low to late or high."""
    low, high = range_ends(left)
    return low, min(high, max(low, two_figures(left.p50, round))), high


def _in_all(done: float, left: int) -> str:
    """Hours done and left and what they come to, which follows from the two as they stand here."""
    so_far = round(done, -1) if done >= 1000 else round(done) if done >= 10 else round(done, 1)
    return f"{so_far:,g} h + {left:,} h = {so_far + left:,g} h"


def early_even_late() -> tuple[str, str, str]:
    """The heads of three dates, each with its chance."""
    early = _("Early ({chance})", chance=_(ONE_IN_TEN))
    return early, _("Even chance"), _("Late ({chance})", chance=_(NINE_IN_TEN))


def _draw(layout: Layout, course: Course) -> Figure:
    first, last, highest = course.days[0], course.as_of, course.hours[-1]
    if course.ahead:
        last, highest = course.ahead.dates[2], course.ahead.hours[2]
    span = max(60, (last - first).days)
    height = 280 if layout.narrow else 380
    figure, axes = new_figure(layout, height, left=layout.left, right=16, top=24, bottom=layout.calendar)
    calendar_axis(axes, layout, first, first + timedelta(days=span if course.ahead else round(span * 1.04)))
    axes.set_ylim(0, max(highest * 1.06, 1))
    hours_axis(axes, layout, max(highest, 1))
    if course.ahead:
        _draw_ahead(axes, course, layout)
    places = [day.toordinal() for day in course.days]
    axes.plot(places, course.hours, color=INK, linewidth=THICK, solid_capstyle="butt", clip_on=False)
    here = (course.as_of.toordinal(), course.hours[-1])
    axes.plot(*zip(here, strict=False), "o", color=INK, markersize=8, clip_on=False)
    beside(axes, layout, here, _("{hours} done", hours=format_hours(course.hours[-1] * 60)))
    ends = zip(course.ahead.dates, course.ahead.hours, strict=True) if course.ahead else ()
    rows_at(axes, [*zip(places[1:], course.hours[1:], strict=True), *((day.toordinal(), total) for day, total in ends)])
    return figure


def _draw_ahead(axes: Axes, course: Course, layout: Layout) -> None:
    ahead = course.ahead
    if ahead is None:
        return
    here = (course.as_of.toordinal(), course.hours[-1])
    (early, even, late), (low, middle, high) = (tuple(day.toordinal() for day in ahead.dates), ahead.hours)
    corners: list[tuple[float, float]] = [
        here,
        (early, low),
        (early, middle),
        (even, high),
        (late, high),
        (late, middle),
        (even, low),
    ]
    axes.fill(*zip(*_outline(corners), strict=True), **hatched(layout), zorder=2)
    axes.plot([here[0], even], [here[1], middle], color=BLUE, linewidth=2.2, linestyle=LONG_DASHED_DOTTED, zorder=3)
    axes.plot([even], [middle], "o", markersize=8, markerfacecolor="#fcf9f1", color=BLUE, zorder=4)
    for place, top in ((early, middle), (even, high), (late, high)):
        axes.plot([place, place], [0, top], color=QUIET, linewidth=0.8, zorder=1)
    names = [(early, _("early")), (even, _(EVEN_CHANCE)), *([] if ahead.open_ended else [(late, _("late"))])]
    foot_labels(axes, layout, names)


def _outline(corners: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The corners of the convex outline of a few points; all of them where they lie on one line."""
    from scipy.spatial import ConvexHull, QhullError

    try:
        return [corners[place] for place in ConvexHull(corners).vertices]
    except QhullError:
        return corners
