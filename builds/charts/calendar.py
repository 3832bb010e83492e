"""A calendar along the base line: months or years at a step that leaves room for their names."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

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
    marks = [day for day in _months(first, last) if _on_step(day, step) and first <= day]
    axes.set_xticks([day.toordinal() for day in marks], [str(day.year) if step >= 12 else f"{day:%b}" for day in marks])
    if step < 12:
        for day in marks:
            if day == marks[0] or day.month == 1:
                _write_year(axes, layout, day)
    axes.grid(axis="x", color=RULE, linewidth=THIN, alpha=0.6)
    axes.set_xlim(first.toordinal(), last.toordinal())


def _months(first: date, last: date) -> list[date]:
    count = (last.year - first.year) * 12 + last.month - first.month + 1
    return [date(first.year + (first.month - 1 + n) // 12, (first.month - 1 + n) % 12 + 1, 1) for n in range(count)]


def _on_step(day: date, step: int) -> bool:
    if step < 12:
        return (day.month - 1) % step == 0
    return day.month == 1 and day.year % (step // 12) == 0


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
