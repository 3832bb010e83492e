"""Measures other than lengths and times as people type them: a figure and its unit, "250 g", "20 cm²/min", "¾ hp".

One reader for all kinds of quantity: the table of kinds has the units. Figures are read exactly, as those of lengths
are; a bare figure takes the default unit, or is refused.
"""

from __future__ import annotations

import re
from fractions import Fraction

from calcs.messages import _
from calcs.typed.number_words import words_to_figures
from calcs.typed.reading import Reading, Refusal, check_size, quote_input, refused, taken
from calcs.typed.text import NUMBER, about, exact_number, in_figures, plain_text
from calcs.units.kinds import QuantityKind, Unit
from calcs.units.registry import registry

_UNKNOWN = re.compile(r"[?\-._ ]*|tb[acd]|un ?known|not known|n/?a")
_FIGURE = re.compile(rf"({NUMBER})\s*(.*)")
_ROUGH = re.compile(r"(?:~|(?:approx(?:imately)?|about|around|roughly|circa|ca|say)\b\.?)\s*(.+)")
_A_TIME = re.compile(r"\s+(?:a|an|each|every)\s+(minute|min|second|sec|s)$")


def read_measure(text: str | None, kind: QuantityKind, default_unit: str | None = None) -> Reading:
    """Read one measure; never raises for any text. None and blank count as unknown.

    default_unit: a spelling of one of the kind's units, for a figure without one; None refuses such a figure.
    The value is a Pint quantity in the kind's base unit.

    >>> from calcs.units.kinds import AREA_RATE, MASS
    >>> read_measure("1/2 lb", MASS).message
    '1/2 lb → 0.5 lb = about 0.2268 kg'
    >>> read_measure("20", AREA_RATE, "cm^2/min").message
    '20 → 20 cm²/min = about 3.1 in²/min (a figure without a unit is taken in cm²/min here)'
    >>> read_measure("twelve bananas", MASS).message
    'This was not understood as a mass. Write it like 250 g or 9 oz.'
    """
    typed = "" if text is None else str(text)
    try:
        check_size(typed)
        plain = plain_text(typed.replace("²", "^2").replace("³", "^3")).rstrip(" ,;.")
        if _UNKNOWN.fullmatch(plain):
            return Reading(typed, None, "unknown", _("{kind} is not given.", kind=_capital(kind)))
        return _read(typed, plain, kind, default_unit)
    except Refusal as trouble:
        return refused(typed, trouble.sentence)


def _capital(kind: QuantityKind) -> str:
    return kind.name[:1].upper() + kind.name[1:]


def _read(typed: str, plain: str, kind: QuantityKind, default_unit: str | None) -> Reading:
    rough = _ROUGH.fullmatch(plain)
    value, unit, bare = _figure_and_unit(rough[1] if rough else plain, kind, default_unit)
    size = value * unit.size
    if size <= 0:
        raise _not_positive(kind)
    if not kind.low <= float(size) <= kind.high:
        outside = _("That is beyond anything in a workshop. Write {kind} like {example}.")
        raise Refusal(outside.format(kind=kind.name, example=kind.example))
    words = _in_words(value, unit, kind)
    notes = (_("a figure without a unit is taken in {unit} here", unit=unit.sign),) if bare else ()
    quantity = registry().Quantity(float(size), kind.base)
    return taken(typed, quantity, about(words) if rough else words, notes, status="rough" if rough else "ok")


def _not_positive(kind: QuantityKind) -> Refusal:
    return Refusal(_("{kind} is more than zero. Write it like {example}.", kind=_capital(kind), example=kind.example))


def _figure_and_unit(plain: str, kind: QuantityKind, default_unit: str | None) -> tuple[Fraction, Unit, bool]:
    """The figure, its unit, and whether that is the default."""
    if plain.startswith("-"):
        raise _not_positive(kind)
    # Before the number words, which would make "1 minute" of "a minute".
    found = _FIGURE.fullmatch(words_to_figures(_A_TIME.sub(r"/\1", plain)))
    spelled = re.sub(r"/minute$", "/min", re.sub(r"\s*(?:/|\bper\b)\s*", "/", found[2].strip())) if found else ""
    if found is None or (spelled and spelled not in kind.spelled):
        misread = _("This was not understood as {kind}. Write it like {example}.", kind=kind.name, example=kind.example)
        raise Refusal(misread)
    if not spelled and default_unit is None:
        without = _("“{text}” has no unit. Write {kind} like {example}.")
        raise Refusal(without.format(text=quote_input(plain), kind=kind.name, example=kind.example))
    return exact_number(found[1]), kind.spelled[spelled or str(default_unit).lower()], not spelled


def _in_words(value: Fraction, unit: Unit, kind: QuantityKind) -> str:
    words = f"{in_figures(value)} {unit.sign}"
    if not unit.beside:
        return words
    other = value * unit.size / kind.signed[unit.beside].size
    return f"{words} = {_about(other)} {unit.beside}"


def _about(value: Fraction) -> str:
    """Four figures of the size in the other unit; more would only pretend."""
    text = f"{float(value):.4g}"
    if "e" in text:
        return in_figures(value)
    return text if Fraction(text) == value else about(text)
