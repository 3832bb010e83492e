"""Yield at each operation of a repeated part, with its doubt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from builds.charts.drawing import (
    BLUE,
    INK,
    QUIET,
    RULE,
    SHEET,
    THIN,
    Chart,
    Layout,
    hatched,
    make_chart,
    new_figure,
    shortened,
    write,
)
from builds.queries.repeats.overview import OperationYield, RepeatedPart

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


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
        title=f"Yield by operation: {part.line.part.name}",
        description=_in_words(lines),
        heads=("Operation", "Good", "of them reworked", "Scrap", "First-time yield", "Yield", "8 in 10 range"),
        rows=tuple(_row(line) for line in lines),
        data=lines,
        draw=_draw,
    )


def _line(counted: OperationYield) -> YieldLine:
    operation = counted.line.operation
    return YieldLine(
        name=f"{operation.number} {operation.title or operation.kind}",
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
    return f"{line.low * 100:.0f} to {line.high * 100:.0f} %"


def _share(share: float) -> str:
    return f"{share * 100:.0f} %"


def _in_words(lines: tuple[YieldLine, ...]) -> str:
    worst = min(lines, key=lambda line: line.after_rework)
    tried = worst.good + worst.scrap
    least = "the lowest yield is" if len(lines) > 1 else "the yield is"
    first = "" if worst.first_time == worst.after_rework else f", {_share(worst.first_time)} the first time"
    return (
        f"{len(lines)} operation{'s' * (len(lines) > 1)} counted; {least} {_share(worst.after_rework)} at "
        f"{worst.name} ({worst.good} good of {tried}{first}). Hatching: where the true yield lies 8 times in 10."
    )


def _draw(layout: Layout, lines: tuple[YieldLine, ...]) -> Figure:
    step, side = (64, 14) if layout.narrow else (52, 270)
    top = 34 if layout.narrow else 36
    height = step * len(lines) + top + 36
    figure, axes = new_figure(layout, height, left=side, right=24 if layout.narrow else 150, top=top, bottom=36)
    axes.set_xlim(0, 100)
    axes.set_ylim(len(lines), 0)
    axes.set_yticks([])
    places = (0, 50, 100) if layout.narrow else (0, 20, 40, 60, 80, 100)
    axes.set_xticks(places, [f"{place} %" for place in places], parse_math=False)
    axes.grid(axis="x", color=RULE, linewidth=THIN)
    for place, line in enumerate(lines):
        _draw_line(axes, layout, line, place)
    _draw_key(axes, layout, len(lines) * step)
    return figure


def _draw_line(axes: Axes, layout: Layout, line: YieldLine, place: int) -> None:
    middle, tall = (place + 0.68, 0.3) if layout.narrow else (place + 0.5, 0.4)
    axes.barh(
        middle,
        (line.high - line.low) * 100,
        tall,
        line.low * 100,
        **hatched(layout, close=True),
        zorder=2,
        clip_on=False,
    )
    ends = (middle - tall * 0.75, middle + tall * 0.75)
    axes.plot([line.after_rework * 100] * 2, ends, color=INK, linewidth=3.2, zorder=4, clip_on=False)
    dot: dict[str, Any] = {"markersize": 9, "markerfacecolor": SHEET, "markeredgecolor": BLUE, "markeredgewidth": 2}
    axes.plot([line.first_time * 100], [middle], "o", **dot, zorder=5, clip_on=False)
    counted = f"{line.good} of {line.good + line.scrap} good"
    if layout.narrow:
        write(axes, layout, 0, place + 0.27, shortened(line.name, 26), color=INK, va="center")
        write(axes, layout, 100, place + 0.27, counted, ha="right", va="center")
    else:
        write(axes, layout, -3, middle, shortened(line.name, 32), color=INK, ha="right", va="center")
        write(axes, layout, 104, middle, counted, va="center")


def _draw_key(axes: Axes, layout: Layout, field_height: float) -> None:
    """What the two marks are, above the field, where the drawing has room for it."""
    up = -18 / field_height * axes.get_ylim()[0]
    letters = {"va": "center", "color": QUIET}
    axes.plot([1, 1], [up * 1.4, up * 0.6], color=INK, linewidth=3.2, clip_on=False)
    write(axes, layout, 3.5, up, "yield", **letters)
    at = 24 if layout.narrow else 14
    dot: dict[str, Any] = {"markersize": 9, "markerfacecolor": SHEET, "markeredgecolor": BLUE, "markeredgewidth": 2}
    axes.plot([at], [up], "o", **dot, clip_on=False)
    write(axes, layout, at + 3, up, "first-time yield", **letters)
