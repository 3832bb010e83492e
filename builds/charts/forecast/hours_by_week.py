"""How the hours fell, week by week; a week without work is a gap and nothing more."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from typing import TYPE_CHECKING

from builds.charts.calendar import calendar_axis
from builds.charts.drawing import BRASS, INK, Chart, Layout, hours_axis, make_chart, new_figure, rows_at
from builds.queries.forecast.weeks import Weeks
from calcs.forecast.words import month_in_words
from calcs.messages import _, ngettext
from calcs.typed.durations import format_hours

if TYPE_CHECKING:
    from matplotlib.figure import Figure


@dataclass(frozen=True)
class Bars:
    mondays: tuple[date, ...]
    hours: tuple[float, ...]


def hours_by_week(weeks: Weeks, *, name: str = "hours-by-week") -> Chart | None:
    """A small bar for each week of the log. None for an empty log."""
    if not weeks.mondays:
        return None
    return make_chart(
        name=name,
        title=_("Bench hours week by week"),
        description=_in_words(weeks),
        heads=(_("Year"), _("Weeks"), _("Weeks with work"), _("Bench hours")),
        rows=_table(weeks),
        data=Bars(weeks.mondays, tuple(round(hours, 3) for hours in weeks.hours)),
        draw=_draw,
    )


def _in_words(weeks: Weeks) -> str:
    count, most = len(weeks.hours), max(weeks.hours)
    best = weeks.mondays[weeks.hours.index(most)]
    return ngettext(
        "Work in {worked} of {n} week; the fullest, from {day} {month}, has {hours}.",
        "Work in {worked} of {n} weeks; the fullest, from {day} {month}, has {hours}.",
        count,
        worked=count - weeks.empty,
        day=best.day,
        month=month_in_words(best),
        hours=format_hours(most * 60),
    )


def _table(weeks: Weeks) -> tuple[tuple[str, ...], ...]:
    """By year: three hundred lines of weeks would be read by nobody."""
    rows = []
    for year, group in groupby(zip(weeks.mondays, weeks.hours, strict=True), key=lambda pair: pair[0].year):
        hours = [worked for _, worked in group]
        worked = sum(h > 0 for h in hours)
        rows.append((str(year), str(len(hours)), str(worked), format_hours(sum(hours) * 60)))
    return tuple(rows)


def _draw(layout: Layout, bars: Bars) -> Figure:
    height = 190 if layout.narrow else 230
    figure, axes = new_figure(layout, height, left=layout.left, right=16, top=20, bottom=layout.calendar)
    first = bars.mondays[0]
    last = max(bars.mondays[-1] + timedelta(days=7), first + timedelta(weeks=8))
    calendar_axis(axes, layout, first, last)
    highest = max(*bars.hours, 1.0)
    axes.set_ylim(0, highest * 1.05)
    hours_axis(axes, layout, highest)
    years = groupby(zip(bars.mondays, bars.hours, strict=True), key=lambda week: week[0].year)
    fullest = [max(weeks, key=lambda week: week[1]) for _year, weeks in years]
    rows_at(axes, [(monday.toordinal() + 3.5, worked) for monday, worked in fullest])
    # One outline for all bars weighs a tenth of three hundred single ones.
    room = 0 if len(bars.hours) > 150 else 1
    for at, run in _runs(bars):
        places, tops = [], []
        for week, worked in enumerate(run):
            monday = at.toordinal() + 7 * week
            places += [monday + room, monday + room, monday + 7 - room, monday + 7 - room]
            tops += [0, worked, worked, 0]
        edge = 0.9 if room else 0.4 / (1 + layout.narrow)
        axes.fill(places, tops, facecolor=BRASS, edgecolor=INK, linewidth=edge, joinstyle="miter", zorder=3)
    return figure


def _runs(bars: Bars) -> list[tuple[date, list[float]]]:
    """Stretches of weeks with work, each with its first Monday."""
    runs: list[tuple[date, list[float]]] = []
    for worked, group in groupby(zip(bars.mondays, bars.hours, strict=True), key=lambda pair: pair[1] > 0):
        if worked:
            pairs = list(group)
            runs.append((pairs[0][0], [hours for _, hours in pairs]))
    return runs
