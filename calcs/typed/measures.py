"""Measures other than lengths and times as people type them: a figure and its unit, "250 g", "20 cm²/min", "¾ hp".

One reader for all sorts: a sort (`Measure`) lists the units it knows, each with its exact size in the base unit.
Figures are read exactly, as those of lengths are; a bare figure takes the default unit, or is refused.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from calcs.typed.reading import Reading, Refusal, check_size, quote_input, refused
from calcs.typed.text import NUMBER, exact_number, in_figures, plain_text, words_to_figures
from calcs.units.registry import registry

_UNKNOWN = re.compile(r"[?\-._ ]*|tb[acd]|un ?known|not known|n/?a")
_FIGURE = re.compile(rf"({NUMBER})\s*(.*)")
_ROUGH = re.compile(r"(?:~|(?:approx(?:imately)?|about|around|roughly|circa|ca|say)\b\.?)\s*(.+)")
_A_TIME = re.compile(r"\s+(?:a|an|each|every)\s+(minute|min|second|sec|s)$")
_INCH = Fraction(254, 10)
_POUND = Fraction(45359237, 100_000_000)
_HORSEPOWER = Fraction(745_699_871_582, 10**9)


@dataclass(frozen=True)
class Measure:
    """A sort of measure: how sentences call it, its units by every spelling, and the sizes that make sense.

    units: exact size in the base unit. base: that unit for Pint, and as it is printed. also: the unit that stands
    beside it in the reading. low, high: in the base unit.
    """

    name: str
    units: Mapping[str, Fraction]
    base: str
    low: Fraction
    high: Fraction
    example: str
    also: Mapping[str, str]


def _spellings(*groups: tuple[str, Fraction]) -> dict[str, Fraction]:
    return {unit: size for words, size in groups for unit in words.split("|")}


MASS = Measure(
    "a mass",
    _spellings(
        ("g|gm|gms|gr|gram|grams|gramme|grammes", Fraction(1)),
        ("kg|kgs|kilo|kilos|kilogram|kilograms", Fraction(1000)),
        ("t|tonne|tonnes", Fraction(10**6)),
        ("lb|lbs|pound|pounds", _POUND * 1000),
        ("oz|ounce|ounces", _POUND * 1000 / 16),
    ),
    "gram",
    Fraction(1, 1000),
    Fraction(10**9),
    "250 g or 9 oz",
    {"g": "oz", "kg": "lb", "t": "lb", "lb": "kg", "oz": "g"},
)
VOLUME = Measure(
    "a volume",
    _spellings(
        ("mm^3|mm3|cu mm|cubic mm|cubic millimetre|cubic millimetres", Fraction(1, 1000)),
        ("cm^3|cm3|cc|ccs|ml|cu cm|cubic cm|cubic centimetre|cubic centimetres", Fraction(1)),
        ("l|litre|litres|liter|liters|dm^3", Fraction(1000)),
        ("m^3|m3|cu m|cubic metre|cubic metres", Fraction(10**6)),
        ("in^3|in3|cu in|cu.in|ci|cid|cubic in|cubic inch|cubic inches", (_INCH / 10) ** 3),
        ("ft^3|ft3|cu ft|cubic foot|cubic feet", (_INCH * 12 / 10) ** 3),
    ),
    "centimeter ** 3",
    Fraction(1, 10**6),
    Fraction(10**10),
    "20 cm³ or 1.2 in³",
    {"cm^3": "in^3", "mm^3": "in^3", "l": "in^3", "m^3": "ft^3", "in^3": "cm^3", "ft^3": "l"},
)
AREA = Measure(
    "an area",
    _spellings(
        ("mm^2|mm2|sq mm|square mm|square millimetre|square millimetres", Fraction(1)),
        ("cm^2|cm2|sq cm|square cm|square centimetre|square centimetres", Fraction(100)),
        ("m^2|m2|sq m|square metre|square metres", Fraction(10**6)),
        ("in^2|in2|sq in|sq.in|square in|square inch|square inches", _INCH**2),
        ("ft^2|ft2|sq ft|square foot|square feet", (_INCH * 12) ** 2),
    ),
    "millimeter ** 2",
    Fraction(1, 10**6),
    Fraction(10**9),
    "300 mm² or 0.5 in²",
    {"mm^2": "in^2", "cm^2": "in^2", "m^2": "ft^2", "in^2": "mm^2", "ft^2": "m^2"},
)
DENSITY = Measure(
    "a density",
    _spellings(
        ("kg/m^3|kg/m3", Fraction(1)),
        ("g/cm^3|g/cm3|g/cc|kg/l|kg/dm^3", Fraction(1000)),
        ("lb/in^3|lb/in3|lb/cu in|lbs/in^3", _POUND / (_INCH / 1000) ** 3),
        ("lb/ft^3|lb/ft3|lb/cu ft", _POUND / (_INCH * 12 / 1000) ** 3),
    ),
    "kilogram / meter ** 3",
    Fraction(1, 10),
    Fraction(25_000),
    "7850 kg/m³ or 0.284 lb/in³",
    {"kg/m^3": "lb/in^3", "g/cm^3": "lb/in^3", "lb/in^3": "kg/m^3", "lb/ft^3": "kg/m^3"},
)
POWER = Measure(
    "a power",
    _spellings(
        ("w|watt|watts", Fraction(1)),
        ("kw|kilowatt|kilowatts", Fraction(1000)),
        ("hp|h.p.|bhp|horsepower|horse power", _HORSEPOWER),
    ),
    "watt",
    Fraction(1),
    Fraction(10**6),
    "500 W or 3/4 hp",
    {"w": "hp", "kw": "hp", "hp": "w"},
)
SAWN = Measure(
    "an area sawn in a time",
    _spellings(
        ("mm^2/min|mm2/min|sq mm/min", Fraction(1)),
        ("cm^2/min|cm2/min|sq cm/min", Fraction(100)),
        ("in^2/min|in2/min|sq in/min", _INCH**2),
    ),
    "millimeter ** 2 / minute",
    Fraction(1),
    Fraction(10**8),
    "20 cm²/min or 3 in²/min",
    {"mm^2/min": "in^2/min", "cm^2/min": "in^2/min", "in^2/min": "cm^2/min"},
)


def read_measure(text: str | None, sort: Measure, default_unit: str | None = None, *, below: str = "") -> Reading:
    """Read one measure; never raises for any text. None and blank count as unknown.

    default_unit: a spelling of one of the sort's units, for a figure without one; None refuses such a figure.
    The value is a Pint quantity in the sort's base unit. below: what a refusal says beside the examples.

    >>> read_measure("1/2 lb", MASS).message
    '1/2 lb → 0.5 lb = about 0.2268 kg'
    >>> read_measure("20", SAWN, "cm^2/min").message
    '20 → 20 cm²/min = about 3.1 in²/min (a figure without a unit is taken in cm²/min here)'
    >>> read_measure("twelve bananas", MASS).message
    'This was not understood as a mass. Write it like 250 g or 9 oz.'
    """
    typed = "" if text is None else str(text)
    try:
        check_size(typed)
        plain = plain_text(typed.replace("²", "^2").replace("³", "^3")).rstrip(" ,;.")
        if _UNKNOWN.fullmatch(plain):
            return Reading(typed, None, "unknown", f"{sort.name[0].upper()}{sort.name[1:]} is not given.")
        return _read(typed, plain, sort, default_unit)
    except Refusal as trouble:
        return refused(typed, f"{trouble.sentence} {below}".strip())


def _read(typed: str, plain: str, sort: Measure, default_unit: str | None) -> Reading:
    rough = _ROUGH.fullmatch(plain)
    value, unit, noted = _figure_and_unit(rough[1] if rough else plain, sort, default_unit)
    size = value * sort.units[unit]
    if size <= 0:
        raise Refusal(f"{sort.name[0].upper()}{sort.name[1:]} is more than zero. Write it like {sort.example}.")
    if not sort.low <= size <= sort.high:
        raise Refusal(f"That lies outside what a workshop can mean. Write {sort.name} like {sort.example}.")
    message = f"{quote_input(typed)} → {'about ' if rough else ''}{_in_words(value, unit, sort)}{noted}"
    return Reading(typed, registry().Quantity(float(size), sort.base), "rough" if rough else "ok", message)


def _figure_and_unit(plain: str, sort: Measure, default_unit: str | None) -> tuple[Fraction, str, str]:
    misread = Refusal(f"This was not understood as {sort.name}. Write it like {sort.example}.")
    if plain.startswith("-"):
        raise Refusal(f"{sort.name[0].upper()}{sort.name[1:]} is more than zero. Write it like {sort.example}.")
    # Before the number words, which would make "1 minute" of "a minute".
    found = _FIGURE.fullmatch(words_to_figures(_A_TIME.sub(r"/\1", plain)))
    if not found:
        raise misread
    unit = re.sub(r"\s*(?:/|\bper\b)\s*", "/", found[2].strip())
    unit = re.sub(r"/minute$", "/min", unit)
    if unit:
        if unit not in sort.units:
            raise misread
        return exact_number(found[1]), unit, ""
    if default_unit is None:
        raise Refusal(f"“{quote_input(plain)}” has no unit. Write {sort.name} like {sort.example}.")
    note = f" (a figure without a unit is taken in {_printed(default_unit)} here)"
    return exact_number(found[1]), default_unit, note


def _in_words(value: Fraction, unit: str, sort: Measure) -> str:
    size = sort.units[unit]
    main = next(spelling for spelling, other in sort.units.items() if other == size)
    words = f"{in_figures(value)} {_printed(main)}"
    beside = sort.also.get(main)
    if beside is None:
        return words
    other = value * size / sort.units[beside]
    return f"{words} = {_about(other)} {_printed(beside)}"


def _about(value: Fraction) -> str:
    """Four figures of the size in the other unit; more would only pretend."""
    text = f"{float(value):.4g}"
    if "e" in text:
        text = in_figures(value).removeprefix("about ")
    return text if Fraction(text) == value else f"about {text}"


def _printed(unit: str) -> str:
    capital = {"w": "W", "kw": "kW"}
    return capital.get(unit, unit.replace("^2", "²").replace("^3", "³"))
