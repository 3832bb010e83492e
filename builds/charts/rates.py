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
    rows_at,
    write,
)
from builds.charts.labels import width_of
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
MOST_POINTED_AT = 40

# One drawing, since it is never wide: the margins are pixels.
SQUARE = Layout("square", 400, 15.5, "//", left=66, calendar=46)
RIGHT, TOP, BOTTOM = 16.0, 24.0, 58.0


@dataclass(frozen=True)
class Points:
    """Hours planned and taken, the largest deviation first; the shop's ratio and the range it lies in, 8 in 10."""

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
    worst = sorted(compared, key=lambda one: -abs(math.log(one.actual / one.planned)))
    points = Points(
        tuple(round(one.planned, 4) for one in worst),
        tuple(round(one.actual, 4) for one in worst),
        round(shop.ratio, 3),
        round(shop.low, 3),
        round(shop.high, 3),
    )
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
        layouts=(SQUARE,),
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
    side = layout.width - layout.left - RIGHT
    figure, axes = new_figure(layout, side + TOP + BOTTOM, left=layout.left, right=RIGHT, top=TOP, bottom=BOTTOM)
    low, high = _ends(points)
    axes.set_xlim(low, high)
    axes.set_ylim(low, high)
    pixel = (high - low) / side
    _scales(axes, layout, (low, high), pixel)
    ends, log = (low, high), math.log10
    axes.fill(
        [*ends, *ends[::-1]],
        [low + log(points.low), high + log(points.low), high + log(points.high), low + log(points.high)],
        **hatched(layout),
        zorder=2,
    )
    axes.plot(ends, ends, color=INK, linewidth=1.4, zorder=3)
    shift = log(points.ratio)
    axes.plot(ends, [low + shift, high + shift], color=BLUE, linewidth=2.2, linestyle=LONG_DASHED_DOTTED, zorder=4)
    _crosses(axes, points, arm=5 * pixel)
    _name_lines(axes, layout, points, pixel)
    furthest = zip(points.planned[:MOST_POINTED_AT], points.actual[:MOST_POINTED_AT], strict=True)
    rows_at(axes, [(log(planned), log(actual)) for planned, actual in furthest], by="")
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


def _scales(axes: Axes, layout: Layout, ends: tuple[float, float], pixel: float) -> None:
    low, high = ends
    places = [(math.log10(place), words) for place, words in PLACES if low <= math.log10(place) <= high]
    at, words = [place for place, _ in places], [word for _, word in places]
    axes.set_xticks(at, words, parse_math=False)
    axes.set_yticks(at, words, parse_math=False)
    axes.grid(color=RULE, linewidth=THIN)
    for place in map(math.log10, FINE):
        if low < place < high:
            axes.axvline(place, color=RULE, linewidth=0.5, zorder=0.5)
            axes.axhline(place, color=RULE, linewidth=0.5, zorder=0.5)
    write(axes, layout, high, low - 46 * pixel, _("planned"), ha="right", va="center")
    write(axes, layout, low, high + 5 * pixel, _("actual"), va="bottom")


def _name_lines(axes: Axes, layout: Layout, points: Points, pixel: float) -> None:
    """Name the two lines near the upper corner, each on its own side, as far off as its words are long."""
    low, high = axes.get_xlim()
    planned, yours = _("as planned"), _("yours, × {ratio}", ratio=f"{points.ratio:.2f}")
    above = max(0.0, math.log10(points.high)), yours if points.ratio >= 1 else planned
    below = max(0.0, -math.log10(points.low)), planned if points.ratio >= 1 else yours
    upper, lower = high - 6 * pixel, high - (width_of(layout, below[1]) + 12) * pixel - below[0]
    write(axes, layout, upper - above[0] - 22 * pixel, upper, above[1], ha="right", va="top", color=INK)
    write(axes, layout, high - 4 * pixel, max(lower, low + 6 * pixel), below[1], ha="right", va="top", color=INK)
