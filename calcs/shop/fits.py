"""Limits and fits after ISO 286: holes and shafts D to S, grades 5 to 12, up to 250 mm.

The tables are asserted, not the formulae behind them: the standard rounds, and below 10 mm by a good deal. Holes are
the mirror of their shafts; from K on they are raised by the difference to the next finer grade, as the standard has it
(ISO 286-1, deviations of holes). A letter that is not here is refused rather than guessed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from calcs.messages import _, gettext_noop
from calcs.shop.fit_names import FitName, name_of_fit
from calcs.shop.reference_tables import LimitRow, cited, deviation_rows, tolerance_rows
from calcs.units.argument_checks import Quantity, amount
from calcs.units.figures import format_significant
from calcs.units.kinds import LENGTH
from calcs.units.registry import registry
from calcs.working.builder import WorkingBuilder
from calcs.working.result import Step, Working

KNOWN = gettext_noop(
    "Known here are the holes D E F G H JS K M N P R S and the shafts d e f g h js k m n p r s with grades 5 to 12, "
    "sizes up to 250 mm, like H7 or g6."
)
_LETTERS = ("d", "e", "f", "g", "h", "js", "k", "m", "n", "p", "r", "s")
_CLEAR = ("d", "e", "f", "g")
"""Shafts that lie below the nominal size, and holes above it."""


@dataclass(frozen=True)
class Limits:
    """The limits of a hole or shaft: deviations in micrometres (whole but for JS and js), and the two sizes."""

    symbol: str
    lower_um: float
    upper_um: float
    smallest: Quantity
    largest: Quantity
    working: Working


@dataclass(frozen=True)
class Fit:
    """A hole and a shaft together, micrometres: clearance is positive, interference negative."""

    hole: Limits
    shaft: Limits
    least_um: float
    most_um: float
    words: str
    name: FitName | None
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
    if not found or found[1].lower() not in _LETTERS or found[1] not in (found[1].lower(), found[1].upper()):
        raise _not_known(f"“{str(symbol)[:20]}”")
    letter, grade = found[1], int(found[2])
    width = _width(grade, nominal, f"{letter}{grade}")
    lower, source = _lower(letter, grade, nominal, int(width.micrometres))
    upper = lower + int(width.micrometres)
    sources = f"{source}; IT{grade}: {cited(width.source, width.status)}"
    return _limits(size, nominal, f"{letter}{grade}", lower, upper, sources)


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
    name = name_of_fit(hole.symbol, shaft.symbol)
    return Fit(hole, shaft, least, most, words, name, Working(_("Fit {symbols}", symbols="/".join(parts)), steps))


def _fit_words(least_um: float, most_um: float) -> str:
    least, most = abs(least_um), abs(most_um)
    if least_um >= 0:
        return _("a clearance of {least} to {most} µm", least=f"{least:g}", most=f"{most:g}")
    if most_um <= 0:
        return _("an interference of {least} to {most} µm", least=f"{most:g}", most=f"{least:g}")
    return _("anything from {most} µm of clearance to {least} µm of interference", most=f"{most:g}", least=f"{least:g}")


def _bracketed(micrometres: float) -> str:
    return f"({_signed(micrometres)})" if micrometres < 0 else f"{micrometres:g}"


def _signed(micrometres: float) -> str:
    return f"{micrometres:g}".replace("-", "−")


def _um(symbol: str, formula: str, numbers: str, micrometres: float, source: str = "") -> Step:
    return Step(symbol, formula, numbers, micrometres, "µm", source, f"{_signed(micrometres)} µm")


def _not_known(what: str) -> ValueError:
    missing = _("{what} is not in the tables.", what=what)
    return ValueError(f"{missing} {_(KNOWN)}")


def _row(rows: tuple[LimitRow, ...], name: str, nominal: float, what: str) -> LimitRow:
    for row in rows:
        if row.name == name and row.over < nominal - 1e-9 <= row.up_to:
            return row
    raise _not_known(_("{symbol} at {size} mm", symbol=what, size=format_significant(nominal, "mm")))


def _width(grade: int, nominal: float, symbol: str) -> LimitRow:
    return _row(tolerance_rows(), str(grade), nominal, symbol)


def _lower(letter: str, grade: int, nominal: float, width: int) -> tuple[float, str]:
    """The lower deviation of a hole or shaft, in micrometres, and where it comes from."""
    shaft, is_hole = letter.lower(), letter.isupper()
    if shaft == "h":
        return (0 if is_hole else -width), _("H and h touch the nominal size")
    if shaft == "js":
        return -width / 2, _("half the grade on either side")
    if shaft == "k" and grade > 8 and is_hole:
        raise _not_known(f"{letter}{grade}")
    row = _row(deviation_rows(), shaft, nominal, letter)
    away, source = int(row.micrometres), cited(row.source, row.status)
    if is_hole:
        return _lower_of_hole(letter, grade, nominal, width, away, source)
    if shaft == "k" and grade > 7:
        away = 0  # the standard gives k a deviation in grades 4 to 7 alone
    return (away - width if shaft in _CLEAR else away), f"{letter}: {source}"


def _lower_of_hole(letter: str, grade: int, nominal: float, width: int, away: int, source: str) -> tuple[float, str]:
    """A hole from the deviation of the shaft of its letter."""
    mirror = _("{hole}, the mirror of {shaft}: {source}", hole=letter, shaft=letter.lower(), source=source)
    if letter.lower() in _CLEAR:
        return -away, mirror
    if nominal <= 3 or grade > (8 if letter in "KMN" else 7):
        # N in coarser grades touches the nominal size, but for the smallest.
        return (0 if letter == "N" and nominal > 3 else -away) - width, mirror
    finer = _width(grade - 1, nominal, f"{letter}{grade}")
    raised = _("raised by IT{grade} − IT{finer}", grade=grade, finer=grade - 1)
    return -away - int(finer.micrometres), f"{mirror}, {raised}"


def _limits(size: Quantity, nominal: float, symbol: str, lower: float, upper: float, source: str) -> Limits:
    sums = WorkingBuilder(_("Limits {symbol}", symbol=symbol), size)
    sums.given(_("nominal"), _("size"), nominal, "length")
    low, high = _("{symbol} lower", symbol=symbol), _("{symbol} upper", symbol=symbol)
    steps = [_um(low, "", "", lower, source), _um(high, "", "", upper, source)]
    unit = sums.unit("length")
    quantity = registry().Quantity
    small, large = ((nominal + off / 1000) / unit.factor for off in (lower, upper))
    ends = ((_("{symbol} smallest", symbol=symbol), small), (_("{symbol} largest", symbol=symbol), large))
    places = 5 if sums.inch else 3 if lower % 1 == 0 else 4
    for name, value in ends:
        shown = f"{value:.{places}f} {unit.sign}"
        steps.append(Step(name, _("nominal + deviation"), "", value, unit.sign, "", shown))
    working = Working(sums.title, (*sums.working().steps, *steps))
    return Limits(symbol, lower, upper, quantity(small, unit.pint), quantity(large, unit.pint), working)
