"""Yield at each operation of a repeated part, with its doubt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from builds.charts.drawing import (
    BLUE,
    INK,
    SHEET,
    Chart,
    Layout,
    hatched,
    make_chart,
    new_figure,
    percent_axis,
    rows_at,
    shortened,
    write,
)
from builds.queries.repeats.overview import OperationYield, RepeatedPart
from calcs.forecast.words import FOUR_IN_FIVE
from calcs.messages import _, ngettext

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# The mark of a first-time yield.
DOT: dict[str, Any] = {"markersize": 9, "markerfacecolor": SHEET, "markeredgecolor": BLUE, "markeredgewidth": 2}


@dataclass(frozen=True)
class YieldLine:
    """One counted operation; shares from 0 to 1."""

    name: str
    good: int
    reworked: int
    scrap: int
    first_time: float
    after_rework: float
    low: float
    high: float


def yield_by_operation(part: RepeatedPart, *, name: str = "") -> Chart | None:
    """Yield after rework with its interval, and first-time yield. None where nothing was counted."""
    lines = tuple(_line(counted) for counted in part.counted)
    if not lines:
        return None
    return make_chart(
        name=name or f"yield-{part.line.part.pk}",
        title=_("Yield by operation: {part}", part=part.line.part.name),
        description=_in_words(lines),
        heads=(
            _("Operation"),
            _("Good"),
            _("of them reworked"),
            _("Scrap"),
            _("First-time yield"),
            _("Yield"),
            _("Range, {chance}", chance=_(FOUR_IN_FIVE)),
        ),
        rows=tuple(_row(line) for line in lines),
        data=lines,
        draw=_draw,
    )


def _line(counted: OperationYield) -> YieldLine:
    operation = counted.line.operation
    return YieldLine(
        name=str(operation),
        good=counted.good,
        reworked=counted.reworked,
        scrap=counted.scrap,
        first_time=counted.first_time or 0.0,
        after_rework=counted.after_rework or 0.0,
        low=counted.low or 0.0,
        high=1.0 if counted.high is None else counted.high,
    )


def _row(line: YieldLine) -> tuple[str, ...]:
    numbers = (str(line.good), str(line.reworked), str(line.scrap))
    return (line.name, *numbers, _share(line.first_time), _share(line.after_rework), _range(line))


def _range(line: YieldLine) -> str:
    return _("{low} to {high} %", low=f"{line.low * 100:.0f}", high=f"{line.high * 100:.0f}")


def _share(share: float) -> str:
    return f"{share * 100:.0f} %"


def _in_words(lines: tuple[YieldLine, ...]) -> str:
    worst = min(lines, key=lambda line: line.after_rework)
    counted = _("{good} good of {tried}", good=worst.good, tried=worst.good + worst.scrap)
    if worst.first_time != worst.after_rework:
        counted = _("{counted}, {share} the first time", counted=counted, share=_share(worst.first_time))
    return ngettext(
        "{n} operation counted; the yield is {share} at {operation} ({counted}). "
        "Hatching: where the true yield lies, {chance}.",
        "{n} operations counted; the lowest yield is {share} at {operation} ({counted}). "
        "Hatching: where the true yield lies, {chance}.",
        len(lines),
        share=_share(worst.after_rework),
        operation=worst.name,
        counted=counted,
        chance=_(FOUR_IN_FIVE),
    )


def _draw(layout: Layout, lines: tuple[YieldLine, ...]) -> Figure:
    step, side = (64, 14) if layout.narrow else (52, 270)
    rows = len(lines) + 0.3 * any(line.reworked for line in lines)
    height = step * rows + 12 + 36
    figure, axes = new_figure(layout, height, left=side, right=24 if layout.narrow else 200, top=12, bottom=36)
    axes.set_xlim(0, 1)
    axes.set_ylim(rows, 0)
    axes.set_yticks([])
    percent_axis(axes, layout, along="x")
    for place, line in enumerate(lines):
        _draw_line(axes, layout, line, place)
    named = next((place for place, line in enumerate(lines) if line.reworked), None)
    if named is not None:
        write(axes, layout, lines[named].first_time, named + 1.02, _("the first time"), ha="center", va="center")
    rows_at(axes, [(line.after_rework, place + 0.5) for place, line in enumerate(lines)], by="y")
    return figure


def _draw_line(axes: Axes, layout: Layout, line: YieldLine, place: int) -> None:
    """A thick line is the yield; a ring is what passed the first time, where some were reworked."""
    middle, tall = (place + 0.68, 0.3) if layout.narrow else (place + 0.5, 0.4)
    hatch = hatched(layout, close=True)
    axes.barh(middle, line.high - line.low, tall, line.low, **hatch, zorder=2, clip_on=False)
    ends = (middle - tall * 0.75, middle + tall * 0.75)
    axes.plot([line.after_rework] * 2, ends, color=INK, linewidth=3.2, zorder=4, clip_on=False)
    if line.reworked:
        axes.plot([line.first_time], [middle], "o", **DOT, zorder=5, clip_on=False)
    tried = line.good + line.scrap
    counted = _("{share}, {good} of {tried} good", share=_share(line.after_rework), good=line.good, tried=tried)
    if layout.narrow:
        write(axes, layout, 0, place + 0.27, shortened(line.name, 44 - len(counted)), color=INK, va="center")
        write(axes, layout, 1, place + 0.27, counted, ha="right", va="center")
    else:
        write(axes, layout, -0.03, middle, shortened(line.name, 32), color=INK, ha="right", va="center")
        write(axes, layout, 1.04, middle, counted, va="center")
