"""Words beside what they name: where lines end, or at the foot of upright ones, never one over another."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from builds.charts.drawing import INK, Layout, write

if TYPE_CHECKING:
    from matplotlib.axes import Axes

# How wide a letter is, as a share of its size: a little more than in the page's own letters (a judgement).
LETTER = 0.56
# Pixels between a mark and its words, and between one label and the next above it.
APART, GAP = 6, 4


def width_of(layout: Layout, words: str) -> float:
    """Pixels that words may take on a drawing."""
    return len(words) * layout.letters * LETTER


def end_margin(layout: Layout, labels: Sequence[str]) -> float:
    """Pixels to leave at the right for `end_labels`."""
    return max(width_of(layout, line) for words in labels for line in _lines(layout, words)) + 2 * APART


def end_labels(axes: Axes, layout: Layout, labels: Sequence[tuple[float, str]]) -> None:
    """Name lines at the right of the field, each beside the height at which it ends, or as near as there is room."""
    box, high = axes.get_window_extent(), layout.letters * 1.2
    inside = ((_pixels(axes, (0, end))[1], _lines(layout, words)) for end, words in labels)
    # Where several end at one height they keep the order they were given in.
    ends = sorted(inside, key=lambda one: one[0])
    low = box.y0 - GAP
    middles: list[float] = []
    for end, lines in ends:
        half = high * len(lines) / 2
        middles.append(max(min(end, box.y1), low + GAP + half))
        low = middles[-1] + half
    top = box.y1 + high
    for place in reversed(range(len(ends))):
        half = high * len(ends[place][1]) / 2
        middles[place] = min(middles[place], top - half)
        top = middles[place] - half - GAP
    for middle, (_end, lines) in zip(middles, ends, strict=True):
        for place, words in enumerate(lines):
            down = middle + high * ((len(lines) - 1) / 2 - place)
            write_at(axes, layout, (box.x1 + APART, down), words, va="center")


def foot_labels(axes: Axes, layout: Layout, labels: Sequence[tuple[float, str]]) -> None:
    """Name upright lines at their feet: right or left of each, higher up where the first row has no room."""
    box, high = axes.get_window_extent(), layout.letters * 1.3
    lines = [_pixels(axes, (x, 0))[0] for x, _words in labels]
    taken: list[tuple[int, float, float]] = []
    for line, (_x, words) in zip(lines, labels, strict=True):
        wide = width_of(layout, words)
        spots = [(row, left) for row in range(len(labels) + 1) for left in (line + APART, line - APART - wide)]
        inside = [(row, left) for row, left in spots if box.x0 <= left and left + wide <= box.x1 + 2]
        free = [spot for spot in inside if not _hits(spot, wide, taken)]
        clear = [(row, left) for row, left in free if not any(left - 2 < other < left + wide + 2 for other in lines)]
        row, left = min(clear or free or spots, key=lambda spot: spot[0])
        taken.append((row, left, left + wide))
        on_left = left < line
        at = line - APART if on_left else line + APART
        write_at(axes, layout, (at, box.y0 + APART + row * high), words, ha="right" if on_left else "left")


def _hits(spot: tuple[int, float], wide: float, taken: list[tuple[int, float, float]]) -> bool:
    row, left = spot
    return any(row == other and left < end and start < left + wide for other, start, end in taken)


def write_at(
    axes: Axes, layout: Layout, place: tuple[float, float], words: str, ha: str = "left", va: str = "baseline"
) -> None:
    """Put words at a place that is given in the drawing's pixels, from the left and from below."""
    x, y = axes.transData.inverted().transform(place)
    write(axes, layout, x, y, words, ha=ha, va=va, color=INK)


def beside(axes: Axes, layout: Layout, place: tuple[float, float], words: str) -> None:
    """Name the end of a rising line above and left of it, else below and right; not at all where neither has room."""
    box, (x, y), wide = axes.get_window_extent(), _pixels(axes, place), width_of(layout, words)
    # Below it, two rows of `foot_labels` keep their room.
    lowest = box.y0 + layout.letters * 4
    if x - APART - wide >= box.x0:
        write_at(axes, layout, (x - APART, y + 2 * APART), words, ha="right")
    elif y - 2 * APART >= lowest and x + APART + wide <= box.x1:
        write_at(axes, layout, (x + APART, y - 2 * APART), words, va="top")


def _pixels(axes: Axes, place: tuple[float, float]) -> tuple[float, float]:
    x, y = axes.transData.transform(place)
    return float(x), float(y)


def _lines(layout: Layout, words: str) -> list[str]:
    """A word a line where the drawing is narrow."""
    return words.split(" ") if layout.narrow else [words]
