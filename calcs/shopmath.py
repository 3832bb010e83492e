"""Shop mathematics: bolt circles, tapers, the cutter for a corner, the thickness of a disc.

Sources: plane geometry; a taper per foot is the difference of diameters over 12 inches of length (common practice);
set-over of the tailstock = ½·taper·length between centres (common practice, good for small angles). Right triangles
are in `calcs.triangles`, the dividing head in `calcs.dividing`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from calcs.given import LENGTH, Quantity, amount, count, degrees, ratio
from calcs.quantities import registry
from calcs.sums import Result, Sums
from calcs.working import Step, Working, as_given, deserved

Direction = Literal["anticlockwise", "clockwise"]


@dataclass(frozen=True)
class Hole:
    """One hole of a circle: its bearing in degrees and its place from the datum."""

    bearing: float
    x: Quantity
    y: Quantity


@dataclass(frozen=True)
class BoltCircle:
    """The holes in order, the distance from one to the next (None for one hole), and the working."""

    holes: tuple[Hole, ...]
    chord: Quantity | None
    working: Working


def bolt_circle(
    radius: Quantity,
    holes: int,
    *,
    centre: tuple[Quantity, Quantity] | None = None,
    first: float = 0.0,
    direction: Direction = "anticlockwise",
) -> BoltCircle:
    """Return the coordinates of holes spaced evenly on a circle: x = x0 + r·cos, y = y0 + r·sin of the bearing.

    first: bearing of the first hole in degrees, from the x axis (3 o'clock) anticlockwise; direction: the way the
    others follow. centre: (x0, y0), the datum itself where left out. ValueError for no holes or no radius.

    >>> from calcs.quantities import registry
    >>> circle = bolt_circle(registry().Quantity(1, "in"), 4, first=90)
    >>> [(round(hole.x.magnitude, 6) + 0, round(hole.y.magnitude, 6) + 0) for hole in circle.holes]
    [(0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (1.0, 0.0)]
    """
    out = amount(radius, LENGTH, "radius")
    number = count(holes, "number of holes", 1000)
    start = degrees(first, "bearing of the first hole", -360, 360)
    if direction not in ("anticlockwise", "clockwise"):
        raise ValueError("The direction is anticlockwise or clockwise.")
    sums = Sums("Bolt circle", radius)
    sums.given("r", "radius", out, "length")
    x0, y0 = (0.0, 0.0) if centre is None else (_place(centre[0]), _place(centre[1]))
    turn = (1 if direction == "anticlockwise" else -1) * 360 / number
    sums.line("step", "360° ÷ holes", f"360 ÷ {number}", 360 / number, "angle")
    made = tuple(_hole(sums, n, start + turn * n, out, x0, y0) for n in range(number))
    chord = None
    if number > 1:
        numbers = f"2 × {sums.show(out, 'length')} × sin({deserved(180 / number)}°)"
        across = 2 * out * math.sin(math.pi / number)
        chord = sums.line("chord", "2·r·sin(180° ÷ holes), from hole to hole,", numbers, across, "length")
    return BoltCircle(made, chord, sums.working())


def _hole(sums: Sums, number: int, bearing: float, out: float, x0: float, y0: float) -> Hole:
    angle = math.radians(bearing)
    # The sine of 180° is zero, not a millionth of a millionth.
    x, y = (round(out * f(angle) + at, 9) for f, at in ((math.cos, x0), (math.sin, y0)))
    radius, b = sums.show(out, "length"), deserved(bearing % 360, "°")
    qx = sums.line(
        f"x{number + 1}", "x0 + r·cos(bearing)", f"{sums.show(x0, 'length')} + {radius} × cos({b}°)", x, "length"
    )
    qy = sums.line(
        f"y{number + 1}", "y0 + r·sin(bearing)", f"{sums.show(y0, 'length')} + {radius} × sin({b}°)", y, "length"
    )
    return Hole(bearing % 360, qx, qy)


def _place(value: Quantity) -> float:
    """A coordinate: a length that may be negative or zero."""
    size = getattr(value, "magnitude", None)
    if isinstance(size, (int, float)) and size < 0:
        return -amount(-value, LENGTH, "place of the centre", zero=True)
    return amount(value, LENGTH, "place of the centre", zero=True)


@dataclass(frozen=True)
class Taper:
    """A taper four ways: diameter per length, inches per foot, n of 1:n, and its angles in degrees."""

    rate: float
    per_foot: Quantity
    one_in: float
    included: float
    half: float
    working: Working


def taper_from_sizes(large: Quantity, small: Quantity, length: Quantity) -> Taper:
    """Return the taper between two diameters a length apart: (D − d) ÷ L. ValueError where there is none.

    >>> from calcs.quantities import registry
    >>> Q = registry().Quantity
    >>> taper = taper_from_sizes(Q(1, "in"), Q(0.75, "in"), Q(6, "in"))
    >>> round(taper.per_foot.magnitude, 9), round(taper.one_in, 9), round(taper.included, 3)
    (0.5, 24.0, 2.387)
    """
    big, little, long = (
        amount(large, LENGTH, "large diameter"),
        amount(small, LENGTH, "small diameter"),
        amount(length, LENGTH, "length of the taper"),
    )
    if little >= big:
        raise ValueError("The small diameter is not smaller than the large one, so there is no taper.")
    sums = Sums("Taper", large)
    numbers = f"({sums.show(big, 'length')} − {sums.show(little, 'length')}) ÷ {sums.show(long, 'length')}"
    return _taper(sums, (big - little) / long, "(D − d) ÷ L", numbers)


def taper_from_angle(included: float) -> Taper:
    """Return the taper of an included angle in degrees: 2·tan(½·angle)."""
    angle = degrees(included, "included angle", 1e-3, 179)
    rate = 2 * math.tan(math.radians(angle / 2))
    return _taper(Sums("Taper"), rate, "2·tan(½·angle)", f"2 × tan({as_given(angle / 2)}°)")


def taper_from_per_foot(per_foot: Quantity) -> Taper:
    """Return the taper of so much diameter to the foot of length.

    >>> from calcs.quantities import registry
    >>> round(taper_from_per_foot(registry().Quantity(0.6, "in")).half, 3)
    1.432
    """
    size = amount(per_foot, LENGTH, "taper per foot")
    sums = Sums("Taper", per_foot)
    foot = 12 if sums.inch else 304.8
    numbers = f"{sums.show(size, 'length')} ÷ {foot}"
    return _taper(sums, size / 304.8, f"per foot ÷ {foot}", numbers)


def taper_from_ratio(one_in: float) -> Taper:
    """Return the taper 1:n, one of diameter in n of length."""
    number = ratio(one_in, "n of a taper 1:n", 0.01, 1e5)
    return _taper(Sums("Taper"), 1 / number, "1 ÷ n", f"1 ÷ {as_given(number)}")


def _taper(sums: Sums, rate: float, formula: str, numbers: str) -> Taper:
    if not 1e-6 <= rate <= 300:
        raise ValueError("That is no taper that could be turned. Check the diameters and the length.")
    half = math.degrees(math.atan(rate / 2))
    steps = [
        Step("taper", formula, numbers, rate, "for each unit of length", "", f"{rate:.6f} for each unit of length"),
        Step("1:n", "1 ÷ taper", f"1 ÷ {rate:.6f}", 1 / rate, "", "", f"1:{deserved(1 / rate, 'mm')}"),
        Step("half angle", "arctan(½·taper)", f"arctan({rate:.6f} ÷ 2)", half, "°", "", f"{half:.4f} °"),
        Step("included angle", "2·half angle", f"2 × {half:.4f}", 2 * half, "°", "", f"{2 * half:.4f} °"),
        Step("per foot", "12·taper", f"12 × {rate:.6f}", 12 * rate, "in", "", f"{deserved(12 * rate, 'in')} in"),
    ]
    per_foot = registry().Quantity(12 * rate, "inch")
    return Taper(rate, per_foot, 1 / rate, 2 * half, half, Working(sums.title, tuple(steps)))


def tailstock_set_over(taper: Taper, between_centres: Quantity) -> Result:
    """Return how far the tailstock is set over: ½·taper·length of the whole piece between centres.

    >>> from calcs.quantities import registry
    >>> Q = registry().Quantity
    >>> round(tailstock_set_over(taper_from_per_foot(Q(0.5, "in")), Q(9, "in")).value.magnitude, 4)
    0.1875
    """
    long = amount(between_centres, LENGTH, "length between centres")
    sums = Sums("Set-over of the tailstock", between_centres)
    numbers = f"{taper.rate:.6f} × {sums.show(long, 'length')} ÷ 2"
    value = sums.line("set-over", "½·taper·length between centres", numbers, taper.rate * long / 2, "length")
    return Result(value, sums.working())


def corner_cutter(radius: Quantity) -> Result:
    """Return the diameter of the largest cutter that leaves a corner of that radius: 2·r.

    >>> from calcs.quantities import registry
    >>> round(corner_cutter(registry().Quantity(20, "thou")).value.to("thou").magnitude, 9)
    40.0
    """
    size = amount(radius, LENGTH, "radius of the corner")
    sums = Sums("Cutter for a corner", radius)
    value = sums.line("D", "2·r", f"2 × {sums.show(size, 'length')}", 2 * size, "length")
    return Result(value, sums.working())


def disc_thickness(diameter: Quantity, diameters_to_one: float) -> Result:
    """Return the thickness of a disc that is so many times as wide as thick: D ÷ n.

    >>> from calcs.quantities import registry
    >>> disc_thickness(registry().Quantity(3, "in"), 6).value.magnitude
    0.5
    """
    across = amount(diameter, LENGTH, "diameter")
    times = ratio(diameters_to_one, "ratio of diameter to thickness", 1e-3, 1e5)
    sums = Sums("Thickness of a disc", diameter)
    numbers = f"{sums.show(across, 'length')} ÷ {as_given(times)}"
    return Result(sums.line("thickness", "D ÷ n", numbers, across / times, "length"), sums.working())
