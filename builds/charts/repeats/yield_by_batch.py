"""The yield of a part from batch to batch, each with its doubt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from builds.charts.drawing import (
    INK,
    WIDE,
    Chart,
    Layout,
    hatched,
    make_chart,
    name_below,
    new_figure,
    percent_axis,
    rows_at,
    write,
)
from builds.queries.repeats.part_yield import BatchShare, YieldPage
from builds.templatetags.figures import day, percent
from calcs.forecast.words import FOUR_IN_FIVE
from calcs.messages import _

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# The last so many batches; more would be hairs.
MOST_BATCHES = 24


@dataclass(frozen=True)
class Mark:
    """One batch: its number, pieces out good and settled, and shares from 0 to 1."""

    number: int
    good: int
    settled: int
    share: float
    low: float
    high: float


def yield_by_batch(page: YieldPage, *, name: str = "yield-by-batch") -> Chart | None:
    """A hatched range and a mark for each batch. None for fewer than two of which pieces have come out."""
    settled = page.settled[-MOST_BATCHES:]
    if len(settled) < 2:
        return None
    return make_chart(
        name=name,
        title=_("Yield from batch to batch"),
        description=_in_words(settled),
        heads=(
            _("Batch"),
            _("Started"),
            _("Good"),
            _("Settled"),
            _("Yield so far"),
            _("Range, {chance}", chance=_(FOUR_IN_FIVE)),
        ),
        rows=tuple(_row(batch) for batch in settled),
        data=tuple(_mark(batch) for batch in settled),
        draw=_draw,
    )


def _in_words(batches: tuple[BatchShare, ...]) -> str:
    return _(
        "From {first} to {last}. Hatching: where the true yield of a batch lies, {chance}.",
        first=_one_in_words(batches[0]),
        last=_one_in_words(batches[-1]),
        chance=_(FOUR_IN_FIVE),
    )


def _one_in_words(share: BatchShare) -> str:
    row = share.line
    return _(
        "{share} in batch {batch} ({good} of {settled})",
        share=percent(share.share),
        batch=row.batch.number,
        good=row.good,
        settled=row.settled,
    )


def _mark(batch: BatchShare) -> Mark:
    low, high = batch.exact or (0.0, 1.0)
    line = batch.line
    return Mark(line.batch.number, line.good, line.settled, round(batch.share or 0.0, 5), round(low, 5), round(high, 5))


def _row(batch: BatchShare) -> tuple[str, ...]:
    row, (low, high) = batch.line, batch.exact or (0.0, 1.0)
    return (
        str(row.batch.number),
        day(row.batch.started_on),
        str(row.good),
        str(row.settled),
        percent(batch.share),
        _("{low} to {high}", low=percent(low), high=percent(high)),
    )


def _draw(layout: Layout, marks: tuple[Mark, ...]) -> Figure:
    height, top, bottom = (250, 16, 56) if layout.narrow else (300, 16, 60)
    figure, axes = new_figure(layout, height, left=layout.left, right=16, top=top, bottom=bottom)
    axes.set_xlim(-0.6, len(marks) - 0.4)
    axes.set_ylim(0, 1.0)
    percent_axis(axes, layout)
    few = len(marks) <= (4 if layout.narrow else 10)
    step = max(1, -(-len(marks) // (6 if layout.narrow else 14)))
    ticks = list(range(0, len(marks), step))
    numbers = [marks[tick].number for tick in ticks]
    names = [_("batch {number}", number=number) if few else str(number) for number in numbers]
    axes.set_xticks(ticks, names, parse_math=False)
    below = -40 / (height - top - bottom)
    for place, mark in enumerate(marks):
        _draw_mark(axes, place, mark)
        if few:
            settled = _("{good} of {settled}", good=mark.good, settled=mark.settled)
            write(axes, layout, place, below, settled, ha="center", va="center")
    rows_at(axes, [(place, mark.share) for place, mark in enumerate(marks)])
    if not few:
        name_below(axes, layout, _("batch"), pixels=40)
    return figure


def _draw_mark(axes: Axes, place: int, mark: Mark) -> None:
    wide = 0.36
    hatch = hatched(WIDE, close=True)
    axes.bar(place, mark.high - mark.low, wide, mark.low, **hatch, zorder=2, clip_on=False)
    ends = (place - wide * 0.65, place + wide * 0.65)
    axes.plot(ends, [mark.share] * 2, color=INK, linewidth=3.2, zorder=4, clip_on=False)
