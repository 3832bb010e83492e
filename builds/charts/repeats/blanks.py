"""How many blanks: the chance that they are enough, and the bench hours they are expected to cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from builds.charts.drawing import (
    BLUE,
    BRASS,
    INK,
    LONG_DASHED_DOTTED,
    SHEET,
    Chart,
    Layout,
    hours_axis,
    make_chart,
    name_below,
    new_figure,
    percent_axis,
    rows_at,
)
from builds.charts.labels import end_labels, end_margin
from builds.queries.repeats.blanks import BlanksAnswer, Choice
from builds.templatetags.figures import hours, percent
from calcs.forecast.words import exact_chance
from calcs.messages import _, ngettext

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Beyond so many columns they would be hairs.
MOST_COLUMNS = 40


@dataclass(frozen=True)
class Columns:
    """One column a number of blanks. Heights are shares (0 to 1) or hours; `line` is where the confidence lies."""

    blanks: tuple[int, ...]
    heights: tuple[float, ...]
    chosen: int
    line: float | None


def chance_by_blanks(answer: BlanksAnswer, confidence: float, *, name: str = "chance-by-blanks") -> Chart | None:
    """A column for each number of blanks: how likely it is that they are enough. None without an answer."""
    sure = answer.sure
    if sure is None or len(answer.table) < 2:
        return None
    shown = _around(answer.table, sure.blanks)
    return make_chart(
        name=name,
        title=_("The chance that so many blanks are enough"),
        description=ngettext(
            "{n} blank leave {needed} good with {chance}; fewer stay under {confidence}.",
            "{n} blanks leave {needed} good with {chance}; fewer stay under {confidence}.",
            sure.blanks,
            needed=answer.needed,
            chance=exact_chance(sure.chance),
            confidence=exact_chance(confidence),
        ),
        heads=(_("Blanks"), _("Chance of enough")),
        rows=tuple((str(choice.blanks), percent(choice.chance)) for choice in shown),
        data=_columns(shown, [round(choice.chance, 5) for choice in shown], sure.blanks, confidence),
        draw=_draw_chances,
    )


def hours_by_blanks(answer: BlanksAnswer, *, name: str = "hours-by-blanks") -> Chart | None:
    """A column for each number of blanks: the expected bench hours. None where no operation has a time."""
    best = answer.cheapest
    if best is None or best.hours is None or len(answer.table) < 2:
        return None
    shown = _around(answer.table, best.blanks)
    return make_chart(
        name=name,
        title=_("Bench hours that so many blanks are expected to cost"),
        description=ngettext(
            "{n} blank cost the fewest: {hours} on average, with the second go that too few of them lead to.",
            "{n} blanks cost the fewest: {hours} on average, with the second go that too few of them lead to.",
            best.blanks,
            hours=hours(best.hours),
        ),
        heads=(_("Blanks"), _("Expected hours")),
        rows=tuple((str(choice.blanks), hours(choice.hours)) for choice in shown),
        data=_columns(shown, [round(choice.hours or 0.0, 3) for choice in shown], best.blanks),
        draw=_draw_hours,
    )


def _columns(shown: Sequence[Choice], heights: Sequence[float], chosen: int, line: float | None = None) -> Columns:
    return Columns(tuple(choice.blanks for choice in shown), tuple(heights), chosen, line)


def _around(table: tuple[Choice, ...], chosen: int) -> tuple[Choice, ...]:
    """At most so many columns, the chosen one among them."""
    place = next(index for index, choice in enumerate(table) if choice.blanks == chosen)
    first = max(0, min(place - MOST_COLUMNS // 2, len(table) - MOST_COLUMNS))
    return table[first : first + MOST_COLUMNS]


def _field(layout: Layout, columns: Columns, highest: float, right: float = 16) -> tuple[Figure, Axes]:
    height = 220 if layout.narrow else 280
    figure, axes = new_figure(layout, height, left=layout.left, right=right, top=30, bottom=50)
    axes.set_xlim(columns.blanks[0] - 0.6, columns.blanks[-1] + 0.6)
    axes.set_ylim(0, highest)
    step = max(1, -(-len(columns.blanks) // (8 if layout.narrow else 20)))
    # The chosen number is always named; the others as room allows.
    places = [blanks for blanks in columns.blanks if (blanks - columns.chosen) % step == 0]
    axes.set_xticks(places, [str(place) for place in places], parse_math=False)
    for blanks, tall in zip(columns.blanks, columns.heights, strict=True):
        chosen = blanks == columns.chosen
        axes.bar(
            blanks,
            tall,
            0.72,
            facecolor=BRASS if chosen else SHEET,
            edgecolor=INK if chosen else BLUE,
            linewidth=1.8 if chosen else 1.1,
            zorder=3,
        )
    rows_at(axes, [*zip(columns.blanks, columns.heights, strict=True)])
    name_below(axes, layout, _("blanks started"))
    return figure, axes


def _draw_chances(layout: Layout, columns: Columns) -> Figure:
    wished = "" if columns.line is None else percent(columns.line).replace(" ", "\N{NO-BREAK SPACE}")
    figure, axes = _field(layout, columns, 1.04, end_margin(layout, [wished]))
    percent_axis(axes, layout)
    if columns.line is not None:
        axes.axhline(columns.line, color=INK, linewidth=1.6, linestyle=LONG_DASHED_DOTTED, zorder=4)
        end_labels(axes, layout, [(columns.line, wished)])
    return figure


def _draw_hours(layout: Layout, columns: Columns) -> Figure:
    highest = max(*columns.heights, 0.1) * 1.12
    figure, axes = _field(layout, columns, highest)
    hours_axis(axes, layout, highest)
    return figure
