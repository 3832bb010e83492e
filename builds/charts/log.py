"""The hours of a year, month by month, with the line of the year before behind them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from django.utils.dateformat import format as date_format

from builds.charts.drawing import BRASS, INK, QUIET, Chart, Layout, hours_axis, make_chart, new_figure, rows_at, write
from builds.charts.labels import end_margin
from builds.queries.log.year_hours import Month
from calcs.forecast.words import MONTHS
from calcs.messages import _, ngettext
from calcs.typed.durations import format_hours

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


@dataclass(frozen=True)
class Bars:
    """Hours of the months so far; those of the year before, month by month, nothing where there was none."""

    year: int
    hours: tuple[float, ...]
    before: tuple[float, ...]


def hours_of_year(months: tuple[Month, ...], before: tuple[Month, ...], *, name: str = "hours-of-year") -> Chart | None:
    """A bar for each month of a year, of which there are as many of the year before. None where no hours are in it."""
    if not any(month.minutes for month in months):
        return None
    year, fullest = months[0].first.year, max(months, key=lambda month: month.minutes)
    before = before if any(month.minutes for month in before) else ()
    return make_chart(
        name=name,
        title=_("Bench hours month by month, {year}", year=year),
        description=ngettext(
            "Work in {worked} of {n} month; the fullest is {month} with {hours}.",
            "Work in {worked} of {n} months; the fullest is {month} with {hours}.",
            len(months),
            worked=sum(month.minutes > 0 for month in months),
            month=_(MONTHS[fullest.first.month - 1]),
            hours=format_hours(fullest.minutes),
        ),
        heads=(_("Month"), _("Bench hours"), _("Evenings"), *([_("Year before")] if before else [])),
        rows=tuple(_rows(months, before)),
        data=Bars(year, _hours(months), _hours(before)),
        draw=_draw,
    )


def _hours(months: tuple[Month, ...]) -> tuple[float, ...]:
    return tuple(round(month.minutes / 60, 3) for month in months)


def _rows(months: tuple[Month, ...], before: tuple[Month, ...]) -> Iterator[tuple[str, ...]]:
    for place, month in enumerate(months):
        figures = (_(MONTHS[month.first.month - 1]), format_hours(month.minutes), str(month.evenings))
        yield (*figures, *([format_hours(before[place].minutes)] if before else []))


def _draw(layout: Layout, bars: Bars) -> Figure:
    height = 240 if layout.narrow else 280
    year_before = str(bars.year - 1)
    right = end_margin(layout, [year_before]) if bars.before else 16
    figure, axes = new_figure(layout, height, left=layout.left, right=right, top=20, bottom=34)
    highest = max(*bars.hours, *bars.before, 1.0)
    axes.set_xlim(0, 12)
    axes.set_ylim(0, highest * 1.05)
    hours_axis(axes, layout, highest)
    _name_months(axes, layout)
    for place, worked in enumerate(bars.hours):
        if worked:
            axes.bar(place + 0.5, worked, 0.72, facecolor=BRASS, edgecolor=INK, linewidth=1.2, zorder=3)
    if bars.before:
        # A thin line is what lies behind something: here the year before.
        edges = [edge for place in range(len(bars.before)) for edge in (place, place + 1)]
        tops = [worked for worked in bars.before for _side in range(2)]
        axes.plot(edges, tops, color=QUIET, linewidth=1.6, zorder=4, solid_joinstyle="miter")
        write(axes, layout, len(bars.before) + 0.12, tops[-1], year_before, va="center", color=INK)
    rows_at(axes, [(place + 0.5, worked) for place, worked in enumerate(bars.hours)])
    return figure


def _name_months(axes: Axes, layout: Layout) -> None:
    """Every month by its short name; on a narrow drawing there is room for every second one."""
    places = range(0, 12, 2 if layout.narrow else 1)
    names = [date_format(date(2000, place + 1, 1), "M") for place in places]
    axes.set_xticks([place + 0.5 for place in places], names, parse_math=False)
