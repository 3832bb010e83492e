"""Planned against actual hours of every operation that can be compared, on equal scales."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from builds.charts.drawing import (
    BLUE,
    INK,
    LONG_DASHED_DOTTED,
    RULE,
    THIN,
    Chart,
    Layout,
    hatched,
    make_chart,
    new_figure,
    write,
)
from builds.queries.rates.comparison import Compared
from builds.templatetags.figures import hours
from calcs.forecast.result import RateSummary
from calcs.forecast.words import FOUR_IN_FIVE
from calcs.messages import _

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Places for figures along both scales, in hours; of these as many as have room are named.
PLACES = ((1 / 60, "1 min"), (1 / 6, "10 min"), (1.0, "1 h"), (10.0, "10 h"), (100.0, "100 h"), (1000.0, "1,000 h"))
FINE = (1 / 30, 1 / 12, 1 / 3, 1 / 2, 2, 5, 20, 50, 200, 500)
MOST_ROWS = 100


@dataclass(frozen=True)
class Points:
    """Hours planned and taken; the shop's ratio with the range that holds it eight times in ten."""

    planned: tuple[float, ...]
    actual: tuple[float, ...]
    ratio: float
    low: float
    high: float


def planned_against_actual(
    compared: tuple[Compared, ...], shop: RateSummary | None, *, name: str = "planned-actual"
) -> Chart | None:
    """A mark for each operation, the line of equality, and the shop's own. None for fewer than two operations."""
    if shop is None or len(compared) < 2:
        return None
    points = Points(
        tuple(round(one.planned, 4) for one in compared),
        tuple(round(one.actual, 4) for one in compared),
        round(shop.ratio, 3),
        round(shop.low, 3),
        round(shop.high, 3),
    )
    worst = sorted(compared, key=lambda one: -abs(math.log(one.actual / one.planned)))[:MOST_ROWS]
    return make_chart(
        name=name,
        title=_("Planned against actual, operation by operation"),
        description=_in_words(points),
        heads=(
            _("Part and operation, largest deviation first"),
            _("Planned"),
            _("Actual"),
            _("Actual ÷ planned"),
        ),
        rows=tuple(
            (one.name, hours(one.planned), hours(one.actual), f"× {one.actual / one.planned:.2f}") for one in worst
        ),
        data=points,
        draw=_draw,
    )


def _in_words(points: Points) -> str:
    count = len(points.planned)
    longer = sum(actual > planned for planned, actual in zip(points.planned, points.actual, strict=True))
    return _(
        "{count} operations, a cross each: {longer} took longer than planned and lie above the thin line of equality, "
        "{others} did not. Long dashes and dots: what the next operations are expected to take, × {ratio} of the plan; "
        "hatching: where this ratio lies, {chance}. Each step of the scales is ten times the last.",
        count=count,
        longer=longer,
        others=count - longer,
        ratio=f"{points.ratio:.2f}",
        chance=_(FOUR_IN_FIVE),
    )


def _draw(layout: Layout, points: Points) -> Figure:
    # The field is as wide as it is high, so that equality lies at 45 degrees.
    if layout.narrow:
        height, left, right, top, bottom = 356.0, 66.0, 16.0, 20.0, 58.0
    else:
        height, left, right, top, bottom = 560.0, 220.0, 266.0, 24.0, 62.0
    figure, axes = new_figure(layout, height, left=left, right=right, top=top, bottom=bottom)
    low, high = _ends(points)
    axes.set_xlim(low, high)
    axes.set_ylim(low, high)
    _scales(axes, layout, low, high)
    ends = (low, high)
    log = math.log10
    axes.fill(
        [*ends, *ends[::-1]],
        [low + log(points.low), high + log(points.low), high + log(points.high), low + log(points.high)],
        **hatched(layout),
        zorder=2,
    )
    axes.plot(ends, ends, color=INK, linewidth=1.4, zorder=3)
    shift = log(points.ratio)
    axes.plot(ends, [low + shift, high + shift], color=BLUE, linewidth=2.2, linestyle=LONG_DASHED_DOTTED, zorder=4)
    _crosses(axes, points, arm=(5 if layout.narrow else 6) * (high - low) / (278 if layout.narrow else 474))
    _name_lines(axes, layout, points, low, high)
    return figure


def _crosses(axes: Axes, points: Points, arm: float) -> None:
    """A small upright cross for each operation. All of them are one line: single marks weigh forty times as much."""
    nothing = math.nan
    across: list[float] = []
    up: list[float] = []
    for planned, actual in zip(points.planned, points.actual, strict=True):
        x, y = math.log10(planned), math.log10(actual)
        across += [x - arm, x + arm, nothing, x, x, nothing]
        up += [y, y, nothing, y - arm, y + arm, nothing]
    axes.plot(across, up, color=INK, linewidth=1.5, solid_capstyle="butt", zorder=5)


def _ends(points: Points) -> tuple[float, float]:
    """Both scales run over the same decades and parts of them, as logarithms to ten; at least one decade."""
    figures = [math.log10(figure) for figure in (*points.planned, *points.actual) if figure > 0]
    low, high = min(figures) - 0.15, max(figures) + 0.15
    short = max(0.0, 1.2 - (high - low)) / 2
    return low - short, high + short


def _scales(axes: Axes, layout: Layout, low: float, high: float) -> None:
    places = [(math.log10(place), words) for place, words in PLACES if low <= math.log10(place) <= high]
    at, words = [place for place, _ in places], [word for _, word in places]
    axes.set_xticks(at, words, parse_math=False)
    axes.set_yticks(at, words, parse_math=False)
    axes.grid(color=RULE, linewidth=THIN)
    for place in map(math.log10, FINE):
        if low < place < high:
            axes.axvline(place, color=RULE, linewidth=0.5, zorder=0.5)
            axes.axhline(place, color=RULE, linewidth=0.5, zorder=0.5)
    pixel = (high - low) / (278 if layout.narrow else 474)
    write(axes, layout, high, low - 46 * pixel, _("planned"), ha="right", va="center")
    write(axes, layout, low, high + 5 * pixel, _("actual"), va="bottom")


def _name_lines(axes: Axes, layout: Layout, points: Points, low: float, high: float) -> None:
    """Say where the two lines leave the field what they are, where there is room beside it."""
    if layout.narrow:
        return
    pixel = (high - low) / 474
    write(axes, layout, high + 8 * pixel, high, _("as planned"), va="center", color=INK)
    shift, yours = math.log10(points.ratio), _("yours, × {ratio}", ratio=f"{points.ratio:.2f}")
    if shift >= 0:
        write(axes, layout, min(high - shift, high), high + 5 * pixel, yours, ha="right", va="bottom")
    else:
        write(axes, layout, high + 8 * pixel, min(high + shift, high - 18 * pixel), yours, va="center")
