"""A core in its frame, cut open twice: across the middles of four faces, and through two opposite edges of the block.

The second is where frame and core come nearest. Both are true to the sizes; on the sheet a point's y grows
downwards.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from calcs.messages import _
from calcs.shop.captive_core import Core, Frame

Point = tuple[float, float]
# The block's edge in the drawing's units, and the steps in which a curve is drawn.
EDGE, STEPS = 150.0, 24


@dataclass(frozen=True)
class Section:
    """One view, as SVG paths about its own middle; `left` is where that lies on the sheet."""

    left: str
    words: str
    half: str
    half_wide: str
    frame: str
    core: str


@dataclass(frozen=True)
class CaptiveDrawing:
    """What the template draws."""

    template: str
    words: str
    sections: tuple[Section, ...]


def drawing_of(frame: Frame, core: Core, words: str) -> CaptiveDrawing:
    """The two sections side by side. words: what stands below them and is read aloud."""
    scale, names = EDGE / frame.block, (_("across the middle"), _("through two edges"))
    views = ((frame_across(frame), core_across(core)), (frame_diagonal(frame), core_diagonal(core)))
    halves = (EDGE / 2, EDGE / math.sqrt(2))
    lefts = (halves[0] + 4, EDGE + halves[1] + 24)
    sections = tuple(
        Section(
            f"{left:.1f}",
            name,
            f"{EDGE / 2:.1f}",
            f"{half:.1f}",
            " ".join(as_path(piece, scale) for piece in pieces),
            as_path(middle, scale),
        )
        for (pieces, middle), half, left, name in zip(views, halves, lefts, names, strict=True)
    )
    return CaptiveDrawing("arithmetic/captive.html", words, sections)


def as_path(points: Iterable[Point], scale: float) -> str:
    """A closed outline."""
    return "M" + "L".join(f"{x * scale:.2f} {-y * scale:.2f}" for x, y in points) + "Z"


def frame_across(frame: Frame) -> list[list[Point]]:
    """The four corners that a section through the middles of the faces leaves, each with the lips of its walls."""
    half, inside, rim, out = frame.half, frame.inside, frame.window / 2, frame.widened / 2
    corner = [(half, half), (rim, half), (rim, inside), (out, inside), (out, out), (inside, out), (inside, rim)]
    corner.append((half, rim))
    return [[(x * across, y * up) for x, y in corner] for across in (1, -1) for up in (1, -1)]


def frame_diagonal(frame: Frame) -> list[list[Point]]:
    """The two sides that a section through opposite edges leaves: there the rooms are cut as ellipses."""
    half, inside, rim, out = frame.half, frame.inside, frame.window / 2, frame.widened / 2
    upper = [(half * math.sqrt(2), half), (rim, half), (rim, inside), (out, inside)]
    upper += _curve(lambda x: math.sqrt(max(0.0, out**2 - x**2 / 2)), out, out * math.sqrt(2))
    side = upper + [(x, -y) for x, y in reversed(upper)]
    return [side, [(-x, y) for x, y in side]]


def core_across(core: Core) -> list[Point]:
    """The core in a section through the middles of the faces: a circle, a square, a square on its point."""
    half = core.size / 2
    if core.shape == "cube":
        return [(half, half), (-half, half), (-half, -half), (half, -half)]
    return _circle(half) if core.shape == "ball" else [(half, 0), (0, half), (-half, 0), (0, -half)]


def core_diagonal(core: Core) -> list[Point]:
    """The core in a section through opposite edges of the block."""
    half = core.size / 2
    if core.shape == "ball":
        return _circle(half)
    if core.shape == "cube":
        wide = half * math.sqrt(2)
        return [(wide, half), (-wide, half), (-wide, -half), (wide, -half)]
    # Straight down from the point to where the flanks of three points meet, then two flanks cut as a parabola.
    meets, end = half / (1 + math.sqrt(0.5)), half / math.sqrt(2)
    upper = [(0.0, half), *_curve(lambda x: math.sqrt(max(0.0, half**2 - math.sqrt(2) * half * x)), meets, end)]
    right = upper + [(x, -y) for x, y in reversed(upper)]
    return right + [(-x, y) for x, y in reversed(right)]


def _circle(radius: float) -> list[Point]:
    turns = [math.tau * step / (4 * STEPS) for step in range(4 * STEPS)]
    return [(radius * math.cos(turn), radius * math.sin(turn)) for turn in turns]


def _curve(height: Callable[[float], float], start: float, end: float) -> list[Point]:
    """Points of a curve that ends upright on the axis, closer together towards that end."""
    along = [start + (end - start) * math.sin(math.pi / 2 * step / STEPS) for step in range(STEPS + 1)]
    return [(x, height(x)) for x in along]
