"""Lengths as people type them, and back to text; the one Pint registry.

1 in = 25.4 mm exactly. Values are worked out with exact fractions and rounded once, to the nearest float, when
they become a quantity in millimetres.
"""

import math
import re
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Literal

from calcs.lengths_grammar import Found, find_length, in_words
from calcs.lengths_refusals import refuse_lookalikes
from calcs.lengths_sizes import INCH
from calcs.reading import Reading, Refusal, check_size, refused, shown
from calcs.typed_text import plain_text, words_to_figures

if TYPE_CHECKING:
    import pint

LengthUnit = Literal["mm", "in"]

_UNKNOWN = re.compile(
    r"[?\-._ ]*|tb[acd]|un ?known|not known|n/?a|to suit|to fit"
    r"|(?:as|as per|per|to|see) (?:the )?(?:drg|drawing|drawn|dwg)\.?"
)
# Below this a length is dust; shown as zero so that the text stays short enough to be read back.
_SMALLEST_MM = 1e-9


@lru_cache(maxsize=1)
def registry() -> "pint.UnitRegistry[Any]":
    """The application's one Pint registry, made at the first call (Pint takes a third of a second to load)."""
    import pint

    units: pint.UnitRegistry[Any] = pint.UnitRegistry()
    if "thou" not in units:
        units.define("thou = 0.001 * inch")
    pint.set_application_registry(units)  # type: ignore[no-untyped-call]
    return units


def millimetres(value: Fraction | float) -> "pint.Quantity[Any]":
    """A length of so many millimetres as a Pint quantity with a float magnitude."""
    quantity: pint.Quantity[Any] = registry().Quantity(float(value), "millimeter")
    return quantity


def read_length(text: str | None, default_unit: LengthUnit | None) -> Reading:
    """Read one length; never raises for any text. None and blank count as unknown.

    text: what was typed. default_unit: the unit of a figure that has none, "mm", "in" or None (then such a
    figure is refused). The value is a Pint quantity in mm, exact to the nearest float, between 0 and 50 m.
    A range has no value but low and high; a tolerance is left aside; "about" makes the status "rough".
    Raises ValueError for another default unit only.

    >>> read_length("2-1/2", "in").said
    '2-1/2 → 2.5 in = 63.5 mm (a figure without a unit is taken in inches here)'
    >>> read_length("12.7", None).said
    '“12.7” has no unit. Write 12.7 mm or 12.7 in.'
    """
    if default_unit not in ("mm", "in", None):
        raise ValueError('The default unit of lengths is "mm", "in" or None.')
    typed = "" if text is None else str(text)
    try:
        check_size(typed)
        plain = plain_text(typed)
        if _UNKNOWN.fullmatch(plain):
            return Reading(typed, None, "unknown", "No size is given: it counts as unknown, not as zero.")
        figures = words_to_figures(plain.rstrip(" ,;.:"))
        refuse_lookalikes(figures, typed)
        return _as_reading(typed, find_length(figures, default_unit))
    except Refusal as trouble:
        return refused(typed, trouble.sentence)


def _as_reading(typed: str, found: Found) -> Reading:
    said = f"{shown(typed)} → {'about ' if found.rough else ''}{in_words(found)}"
    if found.high is not None:
        return Reading(typed, None, "range", said, low=millimetres(found.mm), high=millimetres(found.high))
    return Reading(typed, millimetres(found.mm), "rough" if found.rough else "ok", said)


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


def _plain_figure(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _inches_that_read_back(size: float) -> str:
    """The shortest decimal of inches whose exact value in mm rounds to this very float."""
    inches = Fraction(Decimal(repr(size))) / INCH
    exponent = math.floor(math.log10(inches))
    for digits in range(1, 20):
        places = digits - 1 - exponent
        scaled = round(inches * Fraction(10) ** places)
        if float(scaled / Fraction(10) ** places * INCH) == size:
            return _plain_figure(Decimal(scaled).scaleb(-places))
    raise AssertionError("twenty digits hold any float")  # 17 significant digits always suffice
