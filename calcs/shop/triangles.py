"""Right triangles: any two parts, one side at least, and the rest follows. Source: trigonometry."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass

from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, degrees
from calcs.units.kinds import LENGTH
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working


@dataclass(frozen=True)
class Triangle:
    """A right triangle: a stands opposite the angle alpha, b beside it, c is the hypotenuse; angles in degrees."""

    a: Quantity
    b: Quantity
    c: Quantity
    alpha: float
    beta: float
    working: Working


def _sin(angle: float) -> float:
    return math.sin(math.radians(angle))


def _cos(angle: float) -> float:
    return math.cos(math.radians(angle))


def _other_leg(hypotenuse: float, leg: float) -> float:
    if leg >= hypotenuse:
        raise ValueError(_("A side of a right triangle is shorter than its hypotenuse. Check the two."))
    return math.sqrt((hypotenuse - leg) * (hypotenuse + leg))


# For each pair of known parts: how each missing part is written, and how it is worked out.
_Rule = tuple[str, str, Callable[[float, float], float]]
_RULES: dict[tuple[str, str], tuple[_Rule, _Rule]] = {
    ("a", "b"): (
        ("c", "√(a² + b²)", math.hypot),
        ("alpha", "arctan(a ÷ b)", lambda a, b: math.degrees(math.atan2(a, b))),
    ),
    ("a", "c"): (
        ("b", "√(c² − a²)", lambda a, c: _other_leg(c, a)),
        ("alpha", "arcsin(a ÷ c)", lambda a, c: math.degrees(math.asin(a / c))),
    ),
    ("b", "c"): (
        ("a", "√(c² − b²)", lambda b, c: _other_leg(c, b)),
        ("alpha", "arccos(b ÷ c)", lambda b, c: math.degrees(math.acos(b / c))),
    ),
    ("a", "alpha"): (
        ("b", "a ÷ tan(alpha)", lambda a, angle: a * _cos(angle) / _sin(angle)),
        ("c", "a ÷ sin(alpha)", lambda a, angle: a / _sin(angle)),
    ),
    ("b", "alpha"): (
        ("a", "b × tan(alpha)", lambda b, angle: b * _sin(angle) / _cos(angle)),
        ("c", "b ÷ cos(alpha)", lambda b, angle: b / _cos(angle)),
    ),
    ("c", "alpha"): (
        ("a", "c × sin(alpha)", lambda c, angle: c * _sin(angle)),
        ("b", "c × cos(alpha)", lambda c, angle: c * _cos(angle)),
    ),
}


def right_triangle(
    *,
    a: Quantity | None = None,
    b: Quantity | None = None,
    c: Quantity | None = None,
    alpha: float | None = None,
    beta: float | None = None,
) -> Triangle:
    """Return the whole right triangle from any two of its parts, one side at least.

    a is opposite alpha, b opposite beta, c the hypotenuse; angles in degrees. ValueError for fewer or more than two,
    for two angles (which fix no size), or for a side that is not shorter than the hypotenuse.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> found = right_triangle(a=Q(3, "in"), b=Q(4, "in"))
    >>> round(found.c.magnitude, 9), round(found.alpha, 3), round(found.beta, 3)
    (5.0, 36.87, 53.13)
    """
    sides = {name: side for name, side in (("a", a), ("b", b), ("c", c)) if side is not None}
    angles = [angle for angle in (alpha, beta) if angle is not None]
    if not sides and len(angles) == 2:
        raise ValueError(_("Two angles fix no size. Give one side at least."))
    if len(sides) + len(angles) != 2:
        raise ValueError(_("Give two parts of the triangle, one side at least; the rest follows from them."))
    sums = WorkingBuilder(_("Right triangle"), *sides.values())
    parts = {name: amount(side, LENGTH, _("side {name}", name=name)) for name, side in sides.items()}
    for name, size in parts.items():
        sums.given(name, _("side {name}", name=name), size, "length")
    if alpha is not None:
        parts["alpha"] = degrees(alpha, _("angle alpha"), 1e-3, 89.999)
        sums.given("alpha", _("angle alpha"), parts["alpha"], "angle")
    elif beta is not None:
        other = degrees(beta, _("angle beta"), 1e-3, 89.999)
        parts["alpha"] = 90 - other
        sums.line("alpha", "90° − beta", f"90 − {format_in_full(other)}", 90 - other, "angle")
    return _solved(sums, parts)


def _solved(sums: WorkingBuilder, parts: dict[str, float]) -> Triangle:
    first, second = parts
    for name, formula, rule in _RULES[first, second]:
        value = rule(parts[first], parts[second])
        shown = {part: sums.show(parts[part], _kind(part)) for part in (first, second)}
        numbers = formula
        for part, figure in shown.items():
            numbers = re.sub(rf"(?<![a-z]){part}(?![a-z])", f"{figure}°" if part == "alpha" else figure, numbers)
        sums.line(name, formula, numbers, value, _kind(name))
        parts = {**parts, name: value}
    beta = 90 - parts["alpha"]
    sums.line("beta", "90° − alpha", f"90 − {format_in_full(parts['alpha'])}", beta, "angle")
    a, b, c = (sums.quantity(parts[name], "length") for name in "abc")
    return Triangle(a, b, c, parts["alpha"], beta, sums.working())


def _kind(name: str) -> str:
    return "angle" if name == "alpha" else "length"
