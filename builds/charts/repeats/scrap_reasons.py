"""Why pieces were lost, the commonest reason first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from builds.charts.drawing import (
    INK,
    LEAD,
    SHEET,
    Chart,
    Layout,
    figures_axis,
    make_chart,
    new_figure,
    rows_at,
    shortened,
    write,
)
from builds.queries.repeats.part_yield import Reason
from builds.templatetags.figures import percent
from calcs.messages import _, ngettext

if TYPE_CHECKING:
    from matplotlib.figure import Figure


@dataclass(frozen=True)
class Bars:
    names: tuple[str, ...]
    pieces: tuple[int, ...]


def scrap_reasons(reasons: tuple[Reason, ...], *, name: str = "scrap-reasons") -> Chart | None:
    """A bar for each reason. None where nothing was lost."""
    if not reasons:
        return None
    first, total = reasons[0], sum(reason.pieces for reason in reasons)
    return make_chart(
        name=name,
        title=_("Why pieces were lost"),
        description=ngettext(
            "{n} piece lost; {pieces} of them, {share}: {reason}.",
            "{n} pieces lost; {pieces} of them, {share}: {reason}.",
            total,
            pieces=first.pieces,
            share=percent(first.share),
            reason=first.name,
        ),
        heads=(_("Reason"), _("Pieces"), _("Share"), _("Together with those above")),
        rows=tuple((one.name, str(one.pieces), percent(one.share), percent(one.within)) for one in reasons),
        data=Bars(tuple(one.name for one in reasons[:12]), tuple(one.pieces for one in reasons[:12])),
        draw=_draw,
    )


def _draw(layout: Layout, bars: Bars) -> Figure:
    step, side = (54, 14) if layout.narrow else (42, 270)
    height = step * len(bars.names) + 50
    figure, axes = new_figure(layout, height, left=side, right=40, top=12, bottom=38)
    most = max(bars.pieces)
    axes.set_xlim(0, most * 1.02)
    axes.set_ylim(len(bars.names), 0)
    axes.set_yticks([])
    every = max(1, -(-most // (4 if layout.narrow else 8)))
    figures_axis(axes, range(0, most + 1, every), "", along="x")
    for place, (name, pieces) in enumerate(zip(bars.names, bars.pieces, strict=True)):
        middle, tall = (place + 0.66, 0.36) if layout.narrow else (place + 0.5, 0.5)
        # Crossed, as a scrapped piece is in a row of pieces.
        axes.barh(middle, pieces, tall, facecolor=SHEET, edgecolor=LEAD, hatch="xx", linewidth=1.6, zorder=3)
        if layout.narrow:
            write(axes, layout, 0, place + 0.26, shortened(name, 38), color=INK, va="center")
        else:
            write(axes, layout, -most * 0.015, middle, shortened(name, 32), color=INK, ha="right", va="center")
        write(axes, layout, pieces + most * 0.015, middle, str(pieces), va="center", color=INK)
    rows_at(axes, [(pieces, place + 0.5) for place, pieces in enumerate(bars.pieces)], by="y")
    return figure
