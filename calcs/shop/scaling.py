"""Full size to model: reading a scale as people type it, and what it does to lengths, areas and volumes.

A scale is the exact ratio model / full size: 1:6 is Fraction(1, 6). Lengths go with the ratio, areas with its
square, volumes (and masses of the same material) with its cube: the square-cube law.
"""

import math
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from calcs.typed.lengths_grammar import MILLIMETRES
from calcs.typed.scales import check_ratio
from calcs.typed.text import in_figures
from calcs.units.argument_checks import amount, count
from calcs.units.figures import format_plain, format_significant
from calcs.units.kinds import LENGTH
from calcs.working.builder import Result, WorkingBuilder
from calcs.working.result import Step, Working

if TYPE_CHECKING:
    import pint


def scaled_length(full_size: "pint.Quantity[Any]", ratio: Fraction | float) -> "pint.Quantity[Any]":
    """The length on the model, in the unit given. Ratio is model / full size, more than zero.

    Raises ValueError for a ratio of zero or less, or a quantity that is not a length.

    >>> from calcs.units.registry import registry
    >>> scaled_length(registry().Quantity(60, "inch"), Fraction(1, 4)).magnitude
    15.0
    """
    return _scaled(full_size, ratio, 1, ("[length]",), "a length")


def scaled_area(full_size: "pint.Quantity[Any]", ratio: Fraction | float) -> "pint.Quantity[Any]":
    """The area on the model: the ratio squared. Raises ValueError as `scaled_length` does."""
    return _scaled(full_size, ratio, 2, ("[length] ** 2",), "an area")


def scaled_volume(full_size: "pint.Quantity[Any]", ratio: Fraction | float) -> "pint.Quantity[Any]":
    """The volume on the model, or the mass in the same material: the ratio cubed. Raises as `scaled_length`."""
    return _scaled(full_size, ratio, 3, ("[length] ** 3", "[mass]"), "a volume or a mass")


def _scaled(
    full_size: "pint.Quantity[Any]", ratio: Fraction | float, power: int, kinds: tuple[str, ...], name: str
) -> "pint.Quantity[Any]":
    check_ratio(ratio)
    if not any(full_size.check(kind) for kind in kinds):
        raise ValueError(f"This scales {name}, and the quantity given is something else.")
    factor = Fraction(ratio) ** power
    scaled: pint.Quantity[Any] = full_size * factor.numerator / factor.denominator
    return scaled


def ratio_per_foot(size: "pint.Quantity[Any]") -> Fraction:
    """The scale of so many inches (or mm) to the foot, as a ratio. ValueError for what is no length.

    >>> from calcs.units.registry import registry
    >>> ratio_per_foot(registry().Quantity(1.5, "inch"))
    Fraction(1, 8)
    """
    return Fraction(amount(size, LENGTH, "size to the foot") / float(MILLIMETRES["ft"])).limit_denominator(100_000)


def to_model(full_size: "pint.Quantity[Any]", ratio: Fraction | float) -> Result:
    """The size on the model, with its working: lengths by the ratio, areas by its square, volumes and masses (of
    the same material) by its cube. The answer keeps the unit given. Raises ValueError as `scaled_length` does.

    >>> from calcs.units.registry import registry
    >>> to_model(registry().Quantity(640, "kg"), Fraction(1, 8)).value.magnitude
    1.25
    """
    check_ratio(ratio)
    return _between("To the model", "full size", full_size, Fraction(ratio))


def to_full_size(model: "pint.Quantity[Any]", ratio: Fraction | float) -> Result:
    """The size that a model's size stands for, with its working; the other way round from `to_model`.

    >>> from calcs.units.registry import registry
    >>> to_full_size(registry().Quantity(2, "inch"), Fraction(1, 6)).value.magnitude
    12.0
    """
    check_ratio(ratio)
    return _between("To full size", "model", model, 1 / Fraction(ratio))


_POWERS = (
    ("[length]", 1, "length"),
    ("[length] ** 2", 2, "area"),
    ("[length] ** 3", 3, "volume"),
    ("[mass]", 3, "mass"),
)


def _between(title: str, symbol: str, given: "pint.Quantity[Any]", factor: Fraction) -> Result:
    from calcs.units.registry import registry

    check = getattr(given, "check", lambda _: False)
    found = next(((power, name) for kind, power, name in _POWERS if check(kind)), None)
    if found is None:
        raise ValueError("This scales lengths, areas, volumes and masses, and what was given is something else.")
    power, name = found
    size = float(given.magnitude) if isinstance(given.magnitude, (int, float)) else math.nan
    if not math.isfinite(size) or size < 0:
        raise ValueError(f"The {name} to be scaled must be a finite figure of zero or more.")
    try:
        value = float(Fraction(size) * factor**power)
    except OverflowError:
        raise ValueError(f"The {name} to be scaled lies outside what a workshop can mean.") from None
    unit = f"{given.units:~P}"
    ratio = in_figures(factor) if factor >= 1 else f"1/{in_figures(1 / factor)}"
    raised = {1: "", 2: "²", 3: "³"}[power]
    steps = (
        Step(symbol, name, "", size, unit, "", f"{format_plain(size)} {unit}"),
        Step(
            "result",
            f"{symbol} × ratio{raised}",
            f"{format_plain(size)} × ({ratio}){raised}",
            value,
            unit,
            "square-cube law" if power > 1 else "",
            f"{format_significant(value, unit)} {unit}",
        ),
    )
    return Result(registry().Quantity(value, given.units), Working(title, steps))


def swept_volume(bore: "pint.Quantity[Any]", stroke: "pint.Quantity[Any]", cylinders: int = 1) -> Result:
    """The volume that an engine's pistons sweep: (π/4)·bore²·stroke·cylinders, in cm³ or in³ as the bore is given.

    >>> from calcs.units.registry import registry
    >>> round(swept_volume(registry().Quantity(1, "inch"), registry().Quantity(1, "inch")).value.magnitude, 4)
    0.7854
    """
    across, long = amount(bore, LENGTH, "bore"), amount(stroke, LENGTH, "stroke")
    number = count(cylinders, "number of cylinders", 1000)
    sums = WorkingBuilder("Swept volume", bore)
    per = "" if sums.inch else " ÷ 1000"
    numbers = f"π ÷ 4 × {sums.show(across, 'length')}² × {sums.show(long, 'length')} × {number}{per}"
    cubic = math.pi / 4 * across**2 * long * number
    return Result(sums.line("V", f"(π ÷ 4)·bore²·stroke·cylinders{per}", numbers, cubic, "volume"), sums.working())
