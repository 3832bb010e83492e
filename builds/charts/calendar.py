"""A calendar along the base line: months or years at a step that leaves room for their names."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import TYPE_CHECKING

from django.utils.dateformat import format as date_format

from builds.charts.drawing import QUIET, RULE, THIN, Layout

if TYPE_CHECKING:
    from matplotlib.axes import Axes

# Months between two marks. From a year on the mark is January and its name the year.
_STEPS = (1, 2, 3, 6, 12, 24, 60, 120)


def calendar_axis(axes: Axes, layout: Layout, first: date, last: date) -> None:
    """Mark the months or years from `first` to `last`. The axis counts days as `date.toordinal` does."""
    most = 5 if layout.narrow else 10
    months = (last.year - first.year) * 12 + last.month - first.month + 1
    step = next((step for step in _STEPS if months / step <= most), _STEPS[-1])
    marks = _marks(step, first, last)
    names = [date_format(day, "Y" if step >= 12 else "M") for day in marks]
    axes.set_xticks([day.toordinal() for day in marks], names, parse_math=False)
    if step < 12:
        for day in marks:
            if day == marks[0] or day.month == 1:
                _write_year(axes, layout, day)
    axes.grid(axis="x", color=RULE, linewidth=THIN, alpha=0.6)
    axes.set_xlim(first.toordinal(), last.toordinal())


def _marks(step: int, first: date, last: date) -> list[date]:
    from matplotlib.dates import MonthLocator, YearLocator, num2date

    locator = YearLocator(step // 12) if step >= 12 else MonthLocator(range(1, 13, step))
    ends = (datetime.combine(day, time()) for day in (first, last))
    days = (num2date(number).date() for number in locator.tick_values(*ends))
    return [day for day in days if first <= day <= last]


def _write_year(axes: Axes, layout: Layout, day: date) -> None:
    """The year below a month. A second line of the same label would not stand centred in the browser's letters."""
    axes.annotate(
        str(day.year),
        (day.toordinal(), 0),
        xycoords=("data", "axes fraction"),
        xytext=(0, -8 - layout.letters * 1.25),
        textcoords="offset points",
        ha="center",
        va="top",
        color=QUIET,
        fontsize=layout.letters,
    )
