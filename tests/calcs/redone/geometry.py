"""Other ways to a figure: by complex numbers, by counting, by summing small pieces. Nothing here asks the sums."""

import cmath
import math
from collections.abc import Callable, Sequence

Point = complex
Curve = Callable[[float], float]


def polygon(corners: int, radius: float = 1.0, turned: float = 0.0) -> list[Point]:
    """The corners of a regular polygon, as the roots of one; turned in degrees."""
    first = radius * cmath.exp(1j * math.radians(turned))
    return [first * cmath.exp(2j * math.pi * place / corners) for place in range(corners)]


def area_of(corners: Sequence[Point]) -> float:
    """The area of a polygon, corner by corner."""
    pairs = zip(corners, [*corners[1:], corners[0]], strict=True)
    return abs(sum((one.conjugate() * other).imag for one, other in pairs)) / 2


def width_of(corners: Sequence[Point], bearing: float) -> float:
    """How wide a shape is across a bearing in degrees, as a vernier measures it."""
    along = [(corner * cmath.exp(-1j * math.radians(bearing))).real for corner in corners]
    return max(along) - min(along)


def summed(curve: Curve, start: float, end: float, pieces: int = 4000) -> float:
    """What a curve comes to between two places, in thin strips taken in their middle."""
    step = (end - start) / pieces
    return step * sum(curve(start + (piece + 0.5) * step) for piece in range(pieces))


def where_zero(curve: Curve, low: float, high: float) -> float:
    """Where a curve crosses nothing, by halving."""
    rising = curve(high) > 0
    for _turn in range(200):
        middle = (low + high) / 2
        if (curve(middle) > 0) == rising:
            high = middle
        else:
            low = middle
    return (low + high) / 2


def angle_of(point: Point) -> float:
    """The bearing of a point in degrees."""
    return math.degrees(cmath.phase(point))
