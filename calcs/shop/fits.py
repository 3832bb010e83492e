"""Limits and fits after ISO 286, as far as the tables here go: H, h, G and g, p, grades 5 to 11, up to 180 mm.

The tables are asserted, not the formula behind them: the standard rounds, and below 10 mm by a good deal. A letter
that is not here is refused rather than guessed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from calcs.messages import _, gettext_noop
from calcs.shop.reference_tables import LimitRow, deviation_rows, tolerance_rows
from calcs.units.argument_checks import Quantity, amount
from calcs.units.figures import format_significant
from calcs.units.kinds import LENGTH
from calcs.units.registry import registry
from calcs.working.builder import WorkingBuilder
from calcs.working.result import Step, Working

KNOWN = gettext_noop(
    "Known here are H, G (holes), h, g, p (shafts) with grades 5 to 11, sizes up to 180 mm, like H7 or g6."
)


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


def limits(size: Quantity, symbol: str) -> Limits:
    """Return the limits of a size with a symbol like H7, g6 or p6. ValueError with what is known for the rest.

    >>> from calcs.units.registry import registry
    >>> shaft = limits(registry().Quantity(50, "mm"), "p6")
    >>> shaft.lower_um, shaft.upper_um
    (26, 42)
    """
    nominal = amount(size, LENGTH, _("nominal size"))
    found = re.fullmatch(r"([A-Za-z]{1,2})(\d{1,2})", str(symbol).strip())
    if not found or found[1] not in ("H", "G", "h", "g", "p"):
        raise _not_known(f"“{str(symbol)[:20]}”")
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
        raise ValueError(_("A fit is written as hole and shaft, like H7/g6."))
    hole, shaft = limits(size, parts[0]), limits(size, parts[1])
    least, most = hole.lower_um - shaft.upper_um, hole.upper_um - shaft.lower_um
    words = _fit_words(least, most)
    steps = (
        *hole.working.steps,
        *shaft.working.steps,
        _um(
            _("most"),
            _("hole's upper − shaft's lower"),
            f"{_signed(hole.upper_um)} − {_bracketed(shaft.lower_um)}",
            most,
        ),
        _um(
            _("least"),
            _("hole's lower − shaft's upper"),
            f"{_signed(hole.lower_um)} − {_bracketed(shaft.upper_um)}",
            least,
        ),
        Step(_("fit"), "", "", words, ""),
    )
    return Fit(hole, shaft, least, most, words, Working(_("Fit {symbols}", symbols="/".join(parts)), steps))


def _fit_words(least: int, most: int) -> str:
    if least >= 0:
        return _("a clearance of {least} to {most} µm", least=least, most=most)
    if most <= 0:
        return _("an interference of {least} to {most} µm", least=-most, most=-least)
    return _("anything from {most} µm of clearance to {least} µm of interference", most=most, least=-least)


def _bracketed(micrometres: int) -> str:
    return f"({_signed(micrometres)})" if micrometres < 0 else str(micrometres)


def _signed(micrometres: int) -> str:
    return str(micrometres).replace("-", "−")


def _um(symbol: str, formula: str, numbers: str, micrometres: int, source: str = "") -> Step:
    return Step(symbol, formula, numbers, micrometres, "µm", source, f"{_signed(micrometres)} µm")


def _not_known(what: str) -> ValueError:
    missing = _("{what} is not in the tables.", what=what)
    return ValueError(f"{missing} {_(KNOWN)}")


def _row(rows: tuple[LimitRow, ...], name: str, nominal: float, what: str) -> LimitRow:
    for row in rows:
        if row.name == name and row.over < nominal - 1e-9 <= row.up_to:
            return row
    raise _not_known(_("{symbol} at {size} mm", symbol=what, size=format_significant(nominal, "mm")))


def _lower(letter: str, width: LimitRow, nominal: float) -> tuple[int, str]:
    """The lower deviation of a hole or shaft, in micrometres, and where it comes from."""
    if letter in ("H", "h"):
        return (0 if letter == "H" else -int(width.micrometres)), _("H and h touch the nominal size")
    row = _row(deviation_rows(), letter.lower(), nominal, letter)
    away = int(row.micrometres)
    source = f"{row.source}, {_(row.status)}"
    if letter == "G":
        return -away, _("G, the mirror of g: {source}", source=source)
    return (away - int(width.micrometres) if letter == "g" else away), f"{letter}: {source}"


def _limits(size: Quantity, nominal: float, symbol: str, lower: int, upper: int, source: str) -> Limits:
    sums = WorkingBuilder(_("Limits {symbol}", symbol=symbol), size)
    sums.given(_("nominal"), _("size"), nominal, "length")
    low, high = _("{symbol} lower", symbol=symbol), _("{symbol} upper", symbol=symbol)
    steps = [_um(low, "", "", lower, source), _um(high, "", "", upper, source)]
    unit = sums.unit("length")
    quantity = registry().Quantity
    small, large = ((nominal + off / 1000) / unit.factor for off in (lower, upper))
    ends = ((_("{symbol} smallest", symbol=symbol), small), (_("{symbol} largest", symbol=symbol), large))
    for name, value in ends:
        shown = f"{value:.{5 if sums.inch else 3}f} {unit.sign}"
        steps.append(Step(name, _("nominal + deviation"), "", value, unit.sign, "", shown))
    working = Working(sums.title, (*sums.working().steps, *steps))
    return Limits(symbol, lower, upper, quantity(small, unit.pint), quantity(large, unit.pint), working)
