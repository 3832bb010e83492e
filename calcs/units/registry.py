"""The one Pint registry, lengths as quantities, and quantities' units and lengths as text."""

import math
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Any, Literal

from calcs.units.kinds import INCH, KINDS

if TYPE_CHECKING:
    import pint

LengthUnit = Literal["mm", "in"]
# Below this a length is dust; shown as zero so that the text stays short enough to be read back.
_SMALLEST_MM = 1e-9
_SIXTY_FOURTH = float(INCH / 64)


@cache
def registry() -> "pint.UnitRegistry[Any]":
    """The application's one Pint registry, made at the first call (Pint takes a third of a second to load)."""
    import pint

    units: pint.UnitRegistry[Any] = pint.UnitRegistry()
    if "thou" not in units:
        units.define("thou = 0.001 * inch")
    pint.set_application_registry(units)  # type: ignore[no-untyped-call]
    return units


@cache
def _signs() -> dict[str, str]:
    """Signs by Pint's own names of units; where kinds share a unit, the first kind's sign stands."""
    units = [unit for kind in KINDS.values() for unit in (*kind.metric, *kind.inch)]
    return {str(registry().Unit(unit.pint)): unit.sign for unit in reversed(units)}


def sign_of(unit: object) -> str:
    """The printed sign of a unit of Pint's, or Pint's name of it where the table of kinds has none.

    >>> sign_of(registry().Unit("rpm")), sign_of("inch ** 3"), sign_of("furlong")
    ('rev/min', 'in³', 'furlong')
    """
    return _signs().get(str(unit), str(unit))


def millimetres(value: Fraction | float) -> "pint.Quantity[Any]":
    """A length of so many millimetres as a Pint quantity with a float magnitude."""
    quantity: pint.Quantity[Any] = registry().Quantity(float(value), "millimeter")
    return quantity


def format_length(quantity: "pint.Quantity[Any]", unit: LengthUnit) -> str:
    """A length as text in "mm" or "in"; `read_length` reads it back to the same float of millimetres.

    The shortest such figure is chosen: an inch size typed as 0.375 comes back as 0.375, with no tail. Lengths
    under 1e-9 mm are shown as 0. Raises ValueError for a negative or endless length, or another unit.

    >>> format_length(millimetres(9.525), "in"), format_length(millimetres(12.7), "mm")
    ('0.375 in', '12.7 mm')
    """
    size = float(quantity.to("millimeter").magnitude)
    if not math.isfinite(size) or size < 0:
        raise ValueError("A length to be shown is a finite figure of zero or more.")
    if unit not in ("mm", "in"):
        raise ValueError('A length is shown in "mm" or "in".')
    if size < _SMALLEST_MM:
        return f"0 {unit}"
    return f"{_plain_figure(Decimal(repr(size)))} mm" if unit == "mm" else f"{_inches_that_read_back(size)} in"


def format_in_fractions(quantity: "pint.Quantity[Any]", unit: LengthUnit) -> str:
    """A length as stock is sold: so many halves to sixty-fourths of an inch as such, any other as `format_length`.

    Nothing is rounded: `read_length` reads this back to the same float of millimetres too. ValueError as there.

    >>> [format_in_fractions(millimetres(size), "in") for size in (31.75, 11.1125, 304.8, 0.508)]
    ['1-1/4 in', '7/16 in', '12 in', '0.02 in']
    """
    text, size = format_length(quantity, unit), float(quantity.to("millimeter").magnitude)
    inches = Fraction(round(size / _SIXTY_FOURTH), 64)
    if unit == "mm" or not inches or float(inches * INCH) != size:
        return text
    whole, part = divmod(inches, 1)
    return f"{'-'.join(str(one) for one in (whole, part) if one)} in"


def _plain_figure(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _inches_that_read_back(size: float) -> str:
    """The shortest decimal of inches whose exact value in mm rounds to this very float."""
    # Of the float itself, not of its shortest decimal, which may lie at the very edge of what rounds to it.
    inches = Fraction(size) / INCH
    exponent = math.floor(math.log10(inches))
    for digits in range(1, 20):
        places = digits - 1 - exponent
        scaled = round(inches * Fraction(10) ** places)
        if float(scaled / Fraction(10) ** places * INCH) == size:
            return _plain_figure(Decimal(scaled).scaleb(-places))
    raise AssertionError("nineteen digits hold any float")  # 17 significant digits always suffice
