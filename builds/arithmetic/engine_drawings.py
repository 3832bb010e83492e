"""Drawings of engines that turn with the crank: what they are made of, and the one of a crank with its piston.

Each is drawn by the server for one angle, in the lines of a drawing: outlines continuous thick, centre lines and the
way of the crank pin long-dashed dotted, what is only measured thin.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from builds.arithmetic.answers import Position
from calcs.engines.slider_crank import Piston, exact_motion
from calcs.messages import _
from calcs.units.quantity_text import format_quantity

TEMPLATE = "arithmetic/engine.html"
QUARTERS = (0, 90, 180, 270)
Point = tuple[float, float]


@dataclass(frozen=True)
class Round:
    """A circle as it is drawn."""

    x: str
    y: str
    r: str


@dataclass(frozen=True)
class Label:
    """A text beside the drawing; `anchor` is SVG's."""

    x: str
    y: str
    text: str
    anchor: str = "middle"


@dataclass(frozen=True)
class EngineDrawing:
    """What the template draws; `axes`, `outlines`, `thin` and `bodies` are paths, `box` is the drawing's own sheet."""

    template: str
    words: str
    box: str
    axes: str
    outlines: str
    thin: str
    bodies: str
    circles: tuple[Round, ...]
    rings: tuple[Round, ...] = ()
    labels: tuple[Label, ...] = ()


def quarters(drawn_at: Callable[[int], EngineDrawing]) -> tuple[Position, ...]:
    """The drawing at the four quarters of a turn."""
    return tuple(Position(angle, drawn_at(angle)) for angle in QUARTERS)


def path(points: Iterable[Point], *, closed: bool = False) -> str:
    """A path through points."""
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points) + ("Z" if closed else "")


def circle(middle: Point, r: float) -> Round:
    """A circle round a point."""
    return Round(f"{middle[0]:.1f}", f"{middle[1]:.1f}", f"{r:.1f}")


def label(x: float, y: float, text: str, anchor: str = "middle") -> Label:
    """A text at a place."""
    return Label(f"{x:.1f}", f"{y:.1f}", text, anchor)


def arm(one: Point, other: Point, wide: float, narrow: float) -> str:
    """A rod between two centres, wider at the first."""
    away, along = other[0] - one[0], other[1] - one[1]
    long = math.hypot(away, along) or 1.0
    over, down = -along / long / 2, away / long / 2
    ends = ((one, wide), (other, narrow), (other, -narrow), (one, -wide))
    return path([(x + over * half, y + down * half) for (x, y), half in ends], closed=True)


def block(middle: float, top: float, wide: float, high: float) -> str:
    """An upright rectangle, by the middle of its top edge."""
    left, right = middle - wide / 2, middle + wide / 2
    return path([(left, top), (right, top), (right, top + high), (left, top + high)], closed=True)


def piston_words(found: Piston, angle: float) -> str:
    """Where crank and piston stand, as a sentence."""
    place = format_quantity(below_top(found, angle))
    if angle % 360 in (0, 180):
        ends = _("Crank at {angle}°: the piston stands at the top.")
        if angle % 360 == 180:
            ends = _("Crank at {angle}°: the piston stands at the bottom, {place} below its top.")
        return ends.format(angle=f"{angle:.4g}", place=place)
    way = _("Crank at {angle}°: the piston stands {place} below its top and goes down.")
    if angle % 360 > 180:
        way = _("Crank at {angle}°: the piston stands {place} below its top and goes up.")
    return way.format(angle=f"{angle:.4g}", place=place)


def below_top(found: Piston, angle: float) -> object:
    """How far below its top the piston stands at an angle, in the unit of the sum."""
    from calcs.units.registry import millimetres

    return millimetres(exact_motion(found.crank, found.rod, angle, 1.0).place).to(found.place.units)


_MIDDLE, _WIDE, _HIGH = 150.0, 330.0, 420.0


def crank_drawing(found: Piston, angle: float) -> EngineDrawing:
    """The crank, its rod and its piston, true to scale, the cylinder above."""
    whole = 2 * found.crank + found.rod + 1.5 * found.crank
    scale = (_HIGH - 40) / whole
    r, rod = found.crank * scale, found.rod * scale
    crown, shaft = 0.9 * r, _HIGH - 20 - r
    turned = math.radians(angle)
    pin = (_MIDDLE + r * math.sin(turned), shaft - r * math.cos(turned))
    down = exact_motion(found.crank, found.rod, angle, 1.0).place * scale
    wrist = (_MIDDLE, shaft - r - rod + down)
    thick, wide = max(6.0, min(26.0, 0.3 * r)), 1.7 * r
    head = shaft - r - rod - crown - 8
    skirt = wrist[1] - down + 2 * r + 0.6 * r
    left, right = _MIDDLE - wide / 2 - 3, _MIDDLE + wide / 2 + 3
    walls = path([(left, skirt), (left, head), (right, head), (right, skirt)])
    top, now = head + 8, wrist[1] - crown
    beside = right + 26
    measured = f"M{right + 4:.1f} {top:.1f}H{beside + 8:.1f}M{right + 4:.1f} {now:.1f}H{beside + 8:.1f}"
    return EngineDrawing(
        TEMPLATE,
        piston_words(found, angle),
        f"0 0 {_WIDE:g} {_HIGH:g}",
        f"M{_MIDDLE:g} 4V{_HIGH - 4:g}M{_MIDDLE - r - 14:.1f} {shaft:.1f}H{_MIDDLE + r + 14:.1f}",
        walls,
        f"{measured}M{beside:.1f} {top:.1f}V{now:.1f}",
        block(_MIDDLE, wrist[1] - crown, wide, 1.5 * r)
        + arm(pin, wrist, thick, thick * 0.7)
        + arm((_MIDDLE, shaft), pin, thick * 1.3, thick),
        (circle(wrist, thick * 0.35), circle(pin, thick * 0.6), circle((_MIDDLE, shaft), thick * 0.8)),
        (circle((_MIDDLE, shaft), r),),
        (
            label(beside + 12, (top + now) / 2 + 5, format_quantity(below_top(found, angle)), "start"),
            label(_MIDDLE + r + 22, shaft + 5, f"{angle:.4g}°", "start"),
        ),
    )
