"""Hours done and left, assembly by assembly."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from builds.charts.drawing import (
    BRASS,
    DASHED,
    INK,
    Chart,
    Layout,
    about,
    hatched,
    hours_axis,
    make_chart,
    new_figure,
    rows_at,
    shortened,
    write,
)
from builds.queries.plan.build_page import Branch
from builds.queries.plan.role_counts import PartCounts
from builds.templatetags.figures import roughly
from calcs.forecast.words import FOUR_IN_FIVE
from calcs.messages import _
from calcs.typed.durations import format_hours

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


@dataclass(frozen=True)
class AssemblyHours:
    """An assembly with everything nested in it: hours done, the even chance of those left and their range.

    None is not known.
    """

    name: str
    counts: PartCounts
    done: float
    left: float | None
    low: float | None
    high: float | None


def assembly_hours(branches: tuple[Branch, ...]) -> tuple[AssemblyHours, ...]:
    """The figures of each top-level assembly, in the builder's order."""
    return tuple(_of(branch) for branch in branches)


def _of(branch: Branch) -> AssemblyHours:
    left = branch.hours_left
    return AssemblyHours(
        name=branch.name,
        counts=branch.counts,
        done=branch.minutes_done / 60,
        left=None if left is None else left.p50,
        low=None if left is None else left.p10,
        high=None if left is None else left.p90,
    )


def hours_by_assembly(branches: tuple[Branch, ...], *, name: str = "hours-by-assembly") -> Chart | None:
    """Hours done and left of every top-level assembly. None where there is neither."""
    lines = tuple(line for line in assembly_hours(branches) if line.done or line.left)
    if not lines:
        return None
    return make_chart(
        name=name,
        title=_("Hours by assembly"),
        description=assemblies_in_words(lines),
        heads=(_("Assembly"), _("Hours done"), _("Hours left"), _("Range of hours left")),
        rows=tuple((line.name, format_hours(line.done * 60), _left(line), range_of(line)) for line in lines),
        data=lines,
        draw=_draw,
    )


def range_of(line: AssemblyHours) -> str:
    """The range of hours left as text; empty where nothing is left, or nothing known."""
    if line.low is None or line.high is None or not line.left:
        return ""
    return _("{low} to {high}", low=roughly(line.low), high=roughly(line.high))


def _left(line: AssemblyHours) -> str:
    return _("not known") if line.left is None else about(line.left)


def assemblies_in_words(lines: tuple[AssemblyHours, ...]) -> str:
    """Where most was done, and where most is left; empty where there is neither."""
    if not lines:
        return ""
    most_done = max(lines, key=lambda line: line.done)
    most_left = max(lines, key=lambda line: line.left or 0)
    sentences = []
    if most_done.done:
        done = format_hours(most_done.done * 60)
        sentences.append(_("Most was done on {assembly}, {hours}.", assembly=most_done.name, hours=done))
    if most_left.left:
        left = {"hours": about(most_left.left), "range": range_of(most_left), "chance": _(FOUR_IN_FIVE)}
        sentences.append(_("Most is left on {assembly}, {hours}; {chance}: {range}.", assembly=most_left.name, **left))
    return " ".join(sentences)


def _draw(layout: Layout, lines: tuple[AssemblyHours, ...]) -> Figure:
    step, side = (58, 8) if layout.narrow else (52, 240)
    height = step * len(lines) + 44
    figure, axes = new_figure(layout, height, left=side, right=30 if layout.narrow else 230, top=6, bottom=38)
    highest = max(line.done + max(line.high or 0, line.left or 0) for line in lines)
    axes.set_xlim(0, highest * 1.02)
    axes.set_ylim(len(lines), 0)
    axes.set_yticks([])
    hours_axis(axes, layout, highest, along="x")
    for place, line in enumerate(lines):
        middle = place + (0.66 if layout.narrow else 0.5)
        _draw_bar(axes, layout, line, middle)
        if layout.narrow:
            write(
                axes,
                layout,
                0,
                place + 0.24,
                shortened(f"{shortened(line.name, 24)}: {_left_in_short(line)}", 46),
                color=INK,
                va="center",
            )
            continue
        write(axes, layout, -highest * 0.02, middle, shortened(line.name, 28), color=INK, ha="right", va="center")
        end = line.done + max(line.high or 0, line.left or 0)
        write(axes, layout, end + highest * 0.015, middle, _in_short(line), va="center")
    rows_at(axes, [(line.done + (line.left or 0), place + 0.5) for place, line in enumerate(lines)], by="y")
    return figure


def _draw_bar(axes: Axes, layout: Layout, line: AssemblyHours, middle: float) -> None:
    """A continuous bar for what is done, a dashed one for what is left, hatching where it may end."""
    tall = 0.28 if layout.narrow else 0.42
    left = line.left or 0
    if line.low is not None and line.high is not None and line.high > line.low:
        axes.barh(middle, line.high - line.low, tall, line.done + line.low, **hatched(layout, close=True), zorder=2)
    if left:
        outline: dict[str, Any] = {"facecolor": "none", "edgecolor": INK, "linewidth": 1.4, "linestyle": DASHED}
        axes.barh(middle, left, tall, line.done, **outline, zorder=3)
        ends = (middle - tall * 0.75, middle + tall * 0.75)
        axes.plot([line.done + left] * 2, ends, color=INK, linewidth=2.4, zorder=4)
    if line.done:
        axes.barh(middle, line.done, tall, facecolor=BRASS, edgecolor=INK, linewidth=1.6, zorder=5, clip_on=False)


def _left_in_short(line: AssemblyHours) -> str:
    if line.left is None:
        return _("left not known")
    return _("{hours} left", hours=roughly(line.left)) if line.left else _("done")


def _in_short(line: AssemblyHours) -> str:
    left = _left_in_short(line)
    return _("{hours} done, {left}", hours=format_hours(line.done * 60), left=left) if line.done and line.left else left
