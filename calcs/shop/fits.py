"""Limits and fits after ISO 286, as far as the tables here go: H, h, G and g, p, grades 5 to 11, up to 180 mm.

The tables are asserted, not the formula behind them: the standard rounds, and below 10 mm by a good deal. A letter
that is not here is refused rather than guessed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from calcs.shop.reference_tables import LimitRow, deviation_rows, tolerance_rows
from calcs.units.argument_checks import Quantity, amount
from calcs.units.figures import format_significant
from calcs.units.kinds import LENGTH
from calcs.units.registry import registry
from calcs.working.builder import WorkingBuilder
from calcs.working.result import Step, Working

KNOWN = "Known here are H, G (holes), h, g, p (shafts) with grades 5 to 11, sizes up to 180 mm, like H7 or g6."


@dataclass(frozen=True)
class Limits:
    """The limits of a hole or shaft: deviations in whole micrometres, and the two sizes."""

    symbol: str
    lower_um: int
    upper_um: int
    smallest: Quantity
    largest: Quantity
    working: Working


@dataclass(frozen=True)
class Fit:
    """A hole and a shaft together, micrometres: clearance is positive, interference negative."""

    hole: Limits
    shaft: Limits
    least_um: int
    most_um: int
    words: str
    working: Working


def tolerance_grade(size: Quantity, grade: int) -> int:
    """Return the width of a tolerance in micrometres, IT5 to IT11. ValueError outside the table.

    >>> from calcs.units.registry import registry
    >>> tolerance_grade(registry().Quantity(25, "mm"), 7)
    21
    """
    return int(_row(tolerance_rows(), str(grade), amount(size, LENGTH, "nominal size"), f"IT{grade}").micrometres)


def limits(size: Quantity, symbol: str) -> Limits:
    """Return the limits of a size with a symbol like H7, g6 or p6. ValueError with what is known for the rest.

    >>> from calcs.units.registry import registry
    >>> shaft = limits(registry().Quantity(50, "mm"), "p6")
    >>> shaft.lower_um, shaft.upper_um
    (26, 42)
    """
    nominal = amount(size, LENGTH, "nominal size")
    found = re.fullmatch(r"([A-Za-z]{1,2})(\d{1,2})", str(symbol).strip())
    if not found or found[1] not in ("H", "G", "h", "g", "p"):
        raise ValueError(f"“{str(symbol)[:20]}” is not in the tables. {KNOWN}")
    letter, grade = found[1], int(found[2])
    width = _row(tolerance_rows(), str(grade), nominal, f"{letter}{grade}")
    lower, source = _lower(letter, width, nominal)
    upper = lower + int(width.micrometres)
    return _limits(size, nominal, f"{letter}{grade}", lower, upper, f"{source}; IT{grade}: {width.source}")


def fit(size: Quantity, symbols: str) -> Fit:
    """Return the fit of a hole and a shaft, like H7/p6: the least and the most clearance. ValueError as `limits`.

    >>> from calcs.units.registry import registry
    >>> fit(registry().Quantity(50, "mm"), "H7/p6").words
    'an interference of 1 to 42 µm'
    """
    parts = [part.strip() for part in str(symbols).split("/")]
    if len(parts) != 2 or not parts[0][:1].isupper() or not parts[1][:1].islower():
        raise ValueError("A fit is written as hole and shaft, like H7/g6.")
    hole, shaft = limits(size, parts[0]), limits(size, parts[1])
    least, most = hole.lower_um - shaft.upper_um, hole.upper_um - shaft.lower_um
    words = _fit_words(least, most)
    steps = (
        *hole.working.steps,
        *shaft.working.steps,
        _um("most", "hole's upper − shaft's lower", f"{_signed(hole.upper_um)} − {_bracketed(shaft.lower_um)}", most),
        _um("least", "hole's lower − shaft's upper", f"{_signed(hole.lower_um)} − {_bracketed(shaft.upper_um)}", least),
        Step("fit", "", "", words, ""),
    )
    return Fit(hole, shaft, least, most, words, Working(f"Fit {parts[0]}/{parts[1]}", steps))


def _fit_words(least: int, most: int) -> str:
    if least >= 0:
        return f"a clearance of {least} to {most} µm"
    if most <= 0:
        return f"an interference of {-most} to {-least} µm"
    return f"anything from {most} µm of clearance to {-least} µm of interference"


def _bracketed(micrometres: int) -> str:
    return f"({_signed(micrometres)})" if micrometres < 0 else str(micrometres)


def _signed(micrometres: int) -> str:
    return str(micrometres).replace("-", "−")


def _um(symbol: str, formula: str, numbers: str, micrometres: int, source: str = "") -> Step:
    return Step(symbol, formula, numbers, micrometres, "µm", source, f"{_signed(micrometres)} µm")


def _row(rows: tuple[LimitRow, ...], name: str, nominal: float, what: str) -> LimitRow:
    for row in rows:
        if row.name == name and row.over < nominal - 1e-9 <= row.up_to:
            return row
    raise ValueError(f"{what} at {format_significant(nominal, 'mm')} mm is not in the tables. {KNOWN}")


def _lower(letter: str, width: LimitRow, nominal: float) -> tuple[int, str]:
    """The lower deviation of a hole or shaft, in micrometres, and where it comes from."""
    if letter in ("H", "h"):
        return (0 if letter == "H" else -int(width.micrometres)), "H and h touch the nominal size"
    row = _row(deviation_rows(), letter.lower(), nominal, letter)
    away = int(row.micrometres)
    if letter == "G":
        return -away, f"G, the mirror of g: {row.source}, {row.status}"
    return (away - int(width.micrometres) if letter == "g" else away), f"{letter}: {row.source}, {row.status}"


def _limits(size: Quantity, nominal: float, symbol: str, lower: int, upper: int, source: str) -> Limits:
    sums = WorkingBuilder(f"Limits {symbol}", size)
    sums.given("nominal", "size", nominal, "length")
    steps = [_um(f"{symbol} lower", "", "", lower, source), _um(f"{symbol} upper", "", "", upper, source)]
    unit = sums.unit("length")
    quantity = registry().Quantity
    small, large = ((nominal + off / 1000) / unit.factor for off in (lower, upper))
    for name, value in ((f"{symbol} smallest", small), (f"{symbol} largest", large)):
        words = f"{value:.{5 if sums.inch else 3}f} {unit.sign}"
        steps.append(Step(name, "nominal + deviation", "", value, unit.sign, "", words))
    working = Working(f"Limits {symbol}", (*sums.working().steps, *steps))
    return Limits(symbol, lower, upper, quantity(small, unit.pint), quantity(large, unit.pint), working)
