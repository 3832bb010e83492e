"""The learning curve of an operation: what each lot took, and what the next pieces may take."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from builds.charts.drawing import (
    BLUE,
    BRASS,
    INK,
    LONG_DASHED_DOTTED,
    Chart,
    Layout,
    figures_axis,
    hatched,
    make_chart,
    name_below,
    new_figure,
    round_places,
    rows_at,
    write,
)
from builds.queries.repeats.learning_curve import LearnedOperation
from builds.templatetags.figures import percent
from calcs.forecast.words import FOUR_IN_FIVE
from calcs.messages import _

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from calcs.parts.next_piece import CurveOnwards


@dataclass(frozen=True)
class Curve:
    """Lots as (first piece, last piece, minutes a piece), the curve through them as (piece, minutes), and on from them
    as (piece, low, middle, high)."""

    lots: tuple[tuple[float, float, float], ...]
    through: tuple[tuple[float, float], ...]
    onwards: tuple[tuple[float, float, float, float], ...]


def learning_curve(learned: LearnedOperation) -> Chart | None:
    """Bars for the lots, the range of the pieces to come hatched. None where there is too little to tell."""
    if learned.curve is None:
        return None
    onwards = learned.curve.onwards
    following = onwards[0]
    operation = learned.line.operation
    return make_chart(
        name=f"learning-{operation.pk}",
        title=_("Minutes a piece at {operation}", operation=operation),
        description=_(
            "Each time the pieces double, one takes about {rate} of what it took ({low} to {high}, {chance}). "
            "Piece {piece} may take {span}. Hatching: where the time of one piece lies, {chance}.",
            rate=percent(learned.curve.rate),
            low=percent(learned.curve.low),
            high=percent(learned.curve.high),
            piece=following.piece,
            span=_span(following.low, following.high),
            chance=_(FOUR_IN_FIVE),
        ),
        heads=(_("Pieces"), _("Minutes a piece")),
        rows=tuple((_numbers(lot.first, lot.last), f"{lot.minutes_each:.3g}") for lot in learned.lots)
        + tuple(
            (_("{piece} to come", piece=one.piece), f"{one.middle:.2g} ({_span(one.low, one.high)})")
            for one in onwards[:3]
        ),
        data=Curve(
            tuple((float(lot.first), float(lot.last), round(lot.minutes_each, 3)) for lot in learned.lots),
            _through(learned.curve),
            tuple((float(p.piece), round(p.low, 3), round(p.middle, 3), round(p.high, 3)) for p in onwards),
        ),
        draw=_draw,
    )


def _through(curve: CurveOnwards) -> tuple[tuple[float, float], ...]:
    """The curve over the pieces that it was read from, at some fifty of them."""
    # Not at the top: NumPy comes with it.
    from calcs.parts.learning_curve import unit_time

    following = curve.onwards[0]
    first = following.middle / unit_time(1.0, curve.rate, following.piece)
    step = max(1, curve.pieces // 50)
    pieces = (*range(1, curve.pieces, step), curve.pieces)
    return tuple((float(piece), round(unit_time(first, curve.rate, piece), 3)) for piece in pieces)


def _numbers(first: int, last: int) -> str:
    return str(first) if first == last else _("{first} to {last}", first=first, last=last)


def _span(low: float, high: float) -> str:
    places = 0 if high >= 10 else 1
    return _("{low} to {high} min", low=f"{low:.{places}f}", high=f"{high:.{places}f}")


def _draw(layout: Layout, curve: Curve) -> Figure:
    height = 250 if layout.narrow else 300
    figure, axes = new_figure(layout, height, left=layout.left, right=16, top=20, bottom=50)
    last = curve.onwards[-1][0] + 0.5
    highest = max(curve.through[0][1], *(lot[2] for lot in curve.lots), *(one[3] for one in curve.onwards)) * 1.06
    axes.set_xlim(0.5, last)
    axes.set_ylim(0, highest)
    _scales(axes, layout, last, highest)
    for first, end, minutes in curve.lots:
        wide = end - first + 1
        axes.bar(first - 0.5, minutes, wide, align="edge", facecolor=BRASS, edgecolor=INK, linewidth=1.2, zorder=3)
    axes.plot(*zip(*curve.through, strict=True), color=INK, linewidth=1.8, zorder=4)
    places = [one[0] for one in curve.onwards]
    low, middle, high = ([one[which] for one in curve.onwards] for which in (1, 2, 3))
    axes.fill_between(places, low, high, **hatched(layout), zorder=2)
    axes.plot(places, middle, color=BLUE, linewidth=2.4, linestyle=LONG_DASHED_DOTTED, zorder=4)
    lots = [((first + end) / 2, minutes) for first, end, minutes in curve.lots]
    rows_at(axes, [*lots, *((piece, each) for piece, _low, each, _high in curve.onwards[:3])])
    write(axes, layout, places[-1], high[-1] + highest * 0.03, _("to come"), ha="right", color=INK)
    name_below(axes, layout, _("piece"))
    return figure


def _scales(axes: Axes, layout: Layout, last: float, highest: float) -> None:
    from matplotlib.ticker import MaxNLocator

    steps = MaxNLocator(5 if layout.narrow else 10, integer=True, steps=[1, 2, 5, 10])
    places = [place for place in steps.tick_values(1, last) if 1 <= place <= last]
    axes.set_xticks(places, [f"{place:.0f}" for place in places], parse_math=False)
    figures_axis(axes, round_places(highest, 5), "min")
