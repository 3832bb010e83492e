"""One size of the pieces in the order they were made, between its limits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from builds.charts.drawing import (
    BLUE,
    INK,
    LEAD,
    LONG_DASHED_DOTTED,
    QUIET,
    RULE,
    SHEET,
    THICK,
    THIN,
    Chart,
    Layout,
    figures_axis,
    make_chart,
    name_below,
    new_figure,
    rows_at,
    write,
)
from builds.charts.labels import end_labels, end_margin
from builds.queries.repeats.measured import INCH, MeasuredPiece
from builds.queries.repeats.spread import SpreadPage, batch_in_words, piece_in_words
from calcs.messages import _, listed, ngettext
from calcs.parts.conformity import Verdict

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# The last so many pieces; more would be hairs.
MOST_PIECES = 300
# How a piece is marked: filled is in, hollow is not decided, a cross is out. Without limits all are filled.
MARKS: dict[str, dict[str, Any]] = {
    "good": {"marker": "o", "markerfacecolor": INK, "markeredgecolor": INK},
    "open": {"marker": "o", "markerfacecolor": SHEET, "markeredgecolor": INK, "markeredgewidth": 1.6},
    "bad": {"marker": "X", "markerfacecolor": LEAD, "markeredgecolor": LEAD},
}


@dataclass(frozen=True)
class RunOfSizes:
    """Figures in the build's unit: marks as (figure, key of `MARKS`), borders as (place of its first piece, name).

    before: so many pieces came before the first that is drawn.
    """

    before: int
    marks: tuple[tuple[float, str], ...]
    borders: tuple[tuple[int, str], ...]
    lower: float | None
    upper: float | None
    wanted: float | None
    unit: str


def run_of_sizes(page: SpreadPage, *, name: str = "run-of-sizes") -> Chart | None:
    """A mark for each piece, the limits as thick lines. None for fewer than two pieces with figures."""
    if page.together is None or len(page.together.pieces) < 2:
        return None
    pieces = page.together.pieces[-MOST_PIECES:]
    return make_chart(
        name=name,
        title=_("Piece after piece: {size}", size=page.size.name),
        description=_in_words(page, pieces),
        heads=(_("Piece"), _("Measured"), _("Verdict")),
        rows=tuple((piece_in_words(piece), piece.figure, piece.words) for piece in pieces),
        data=_data(page, pieces),
        draw=_draw,
    )


def _in_words(page: SpreadPage, pieces: tuple[MeasuredPiece, ...]) -> str:
    out = sum(piece.verdict is Verdict.OUT for piece in pieces)
    undecided = sum(piece.verdict is Verdict.NOT_DECIDED for piece in pieces)
    smallest, largest = min(pieces, key=_millimetres), max(pieces, key=_millimetres)
    all_pieces = len(page.together.pieces) if page.together else 0
    words = [_("The last {n} of {all}:", n=len(pieces), all=all_pieces)] if all_pieces > len(pieces) else []
    words += [
        ngettext("{n} piece, {low} to {high}.", "{n} pieces, {low} to {high}.", len(pieces),
                 low=smallest.figure, high=largest.figure),
    ]  # fmt: skip
    if page.measured.limits.words:
        words.append(_("Thick lines: the limits."))
        told = [ngettext("{n} out (a cross)", "{n} out (crosses)", out)] if out else [_("none out")]
        told += [ngettext("{n} not decided (hollow)", "{n} not decided (hollow)", undecided)] if undecided else []
        words.append(_("Of the pieces: {told}.", told=listed(told)))
    if page.batches:
        words.append(_("Upright lines: where a batch begins."))
    return " ".join(words)


def _data(page: SpreadPage, pieces: tuple[MeasuredPiece, ...]) -> RunOfSizes:
    unit, limits = page.size.part.build.length_unit, page.measured.limits
    by = INCH if unit == "in" else 1.0
    lower, upper, wanted = (
        None if size is None else round(size / by, 7) for size in (limits.lower, limits.upper, _wanted(page))
    )
    marks = tuple((round(_millimetres(piece) / by, 7), _mark(piece.verdict)) for piece in pieces)
    starts = [place for place, piece in enumerate(pieces) if place == 0 or piece.batch != pieces[place - 1].batch]
    borders = tuple((place, batch_in_words(pieces[place].batch)) for place in starts) if len(starts) > 1 else ()
    before = len(page.together.pieces) - len(pieces) if page.together else 0
    return RunOfSizes(before, marks, borders, lower, upper, wanted, unit)


def _wanted(page: SpreadPage) -> float | None:
    """The middle of the limits where there are two, else the size itself."""
    limits = page.measured.limits
    if limits.lower is not None and limits.upper is not None:
        return (limits.lower + limits.upper) / 2
    return None if limits.nominal in (limits.lower, limits.upper) else limits.nominal


def _mark(verdict: Verdict) -> str:
    if verdict is Verdict.NOT_DECIDED:
        return "open"
    return "bad" if verdict.is_bad else "good"


def _millimetres(piece: MeasuredPiece) -> float:
    return piece.millimetres or 0.0


def _draw(layout: Layout, run: RunOfSizes) -> Figure:
    height = 280 if layout.narrow else 340
    names = {_("largest"): run.upper, _("wanted"): run.wanted, _("smallest"): run.lower}
    ends = [(size, name) for name, size in names.items() if size is not None]
    right = end_margin(layout, [name for _size, name in ends]) if ends else 20
    figure, axes = new_figure(layout, height, left=96, right=right, top=34, bottom=52)
    axes.spines["bottom"].set_visible(False)
    shown = [figure for figure, _key in run.marks]
    shown += [size for size in (run.lower, run.upper, run.wanted) if size is not None]
    low, high = min(shown), max(shown)
    pad = (high - low) * 0.08 or abs(high) * 0.001 or 1.0
    axes.set_xlim(run.before + 0.3, run.before + len(run.marks) + 0.7)
    axes.set_ylim(low - pad, high + pad)
    _scales(axes, layout, run)
    for limit in (run.lower, run.upper):
        if limit is not None:
            axes.axhline(limit, color=INK, linewidth=THICK, zorder=2)
    if run.wanted is not None:
        axes.axhline(run.wanted, color=BLUE, linewidth=1.4, linestyle=LONG_DASHED_DOTTED, zorder=2)
    _draw_borders(axes, layout, run)
    _draw_pieces(axes, run)
    end_labels(axes, layout, ends)
    name_below(axes, layout, _("pieces, in the order they were made"), pixels=38)
    return figure


def _draw_borders(axes: Axes, layout: Layout, run: RunOfSizes) -> None:
    top = axes.get_ylim()[1]
    wide = len(run.marks) / (4 if layout.narrow else 10)
    named_to = 0.0
    for place, words in run.borders:
        if place:
            axes.axvline(run.before + place + 0.5, color=QUIET, linewidth=THIN, zorder=1)
        # A name is left out where it would stand on the one before.
        if place >= named_to:
            write(axes, layout, run.before + place + 0.5, top, words, ha="left", va="bottom")
            named_to = place + wide


def _draw_pieces(axes: Axes, run: RunOfSizes) -> None:
    places = range(run.before + 1, run.before + len(run.marks) + 1)
    axes.plot(places, [figure for figure, _key in run.marks], color=RULE, linewidth=1.2, zorder=3)
    rows_at(axes, [(place, figure) for place, (figure, _key) in zip(places, run.marks, strict=True)])
    size = 9 if len(run.marks) <= 60 else 5
    for key, how in MARKS.items():
        those = [(place, figure) for place, (figure, mark) in zip(places, run.marks, strict=True) if mark == key]
        if those:
            axes.plot(*zip(*those, strict=True), linestyle="none", markersize=size, zorder=4, clip_on=False, **how)


def _scales(axes: Axes, layout: Layout, run: RunOfSizes) -> None:
    from matplotlib.ticker import MaxNLocator

    first, last = run.before + 1, run.before + len(run.marks)
    steps = MaxNLocator(5 if layout.narrow else 12, integer=True, steps=[1, 2, 5, 10])
    places = [place for place in steps.tick_values(first, last) if first <= place <= last]
    places = sorted({1.0, *places}) if first == 1 else places
    axes.set_xticks(places, [f"{place:.0f}" for place in places], parse_math=False)
    low, high = axes.get_ylim()
    heights = MaxNLocator(5, steps=[1, 2, 5, 10]).tick_values(low, high)
    figures_axis(axes, [height for height in heights if low <= height <= high], run.unit)
