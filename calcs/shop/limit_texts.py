"""Sizes with their limits, as they are written: "12 h6", "20 ±0.05", "0.500 +0.002 -0", "12.5/12.4", "max 12".

Figures are exact millimetres. Classes are those of ISO 286 (`calcs.shop.fits`); a small letter is a shaft and a large
one a hole, as it was typed.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from calcs.messages import _
from calcs.shop.fits import limits
from calcs.typed.lengths import as_reading, find_typed
from calcs.typed.lengths_grammar import Found, deviations_of
from calcs.typed.lengths_sizes import named_size
from calcs.typed.reading import Refusal, Status, quote_input, taken
from calcs.typed.text import decimal_places, plain_text
from calcs.units.kinds import INCH
from calcs.units.registry import LengthUnit, millimetres

Ends = tuple[Fraction | None, Fraction | None]

# Sizes that are told for knowledge only (ISO 129-1), or whose tolerance stands elsewhere (ISO 1101).
_REFERENCE = re.compile(r"[(\[][^()\[\]]*[)\]]|.*\b(?:ref(?:erence)?|basic)\b.*")


@dataclass(frozen=True)
class LimitReading:
    """The reading of one size with its limits, exact mm; never a figure that was not typed or in a table.

    nominal: the size itself, the first of two limits; None for a range and where nothing could be read. It may stand
    where limits that nobody can take are refused. lower, upper:
    None where there is no such limit. words: the limits in the unit that was asked for, "" where there are none.
    of, fit, status, message: as those of `Reading`. inch: whether it was typed in inches. takes_general: whether a
    general tolerance holds for it where it has no limits of its own; not for a reference size, a rough one, or one
    that goes by a name, such as M3.

    >>> read_limits("12 h6", "mm").message
    '12 h6 → 11.989 to 12.000 mm (h6 after ISO 286)'
    """

    text: str
    nominal: Fraction | None
    lower: Fraction | None
    upper: Fraction | None
    status: Status
    message: str
    words: str = ""
    of: str = ""
    fit: str = ""
    inch: bool = False
    takes_general: bool = False

    @property
    def has_limits(self) -> bool:
        """Whether it has an upper limit or a lower one."""
        return self.lower is not None or self.upper is not None


def read_limits(text: str | None, unit: LengthUnit | None) -> LimitReading:
    """Read a size with its limits; never raises for any text. None and blank count as unknown.

    unit: what a figure without a unit is in, "mm", "in" or None (then it is refused), and what `words` are in.
    What may be a sum, a fit of two parts, or a size in another unit is refused with a question.
    """
    typed = "" if text is None else str(text)
    try:
        found = find_typed(typed, unit, lone_deviation=True)
    except Refusal as trouble:
        return LimitReading(typed, None, None, None, "refused", trouble.sentence)
    reading = as_reading(typed, found)
    if found is None:
        return LimitReading(typed, None, None, None, reading.status, reading.message)
    nominal = None if found.high is not None else found.mm
    read = LimitReading(
        typed, nominal, None, None, reading.status, reading.message, "", reading.of, reading.fit, found.inch
    )
    try:
        return _with_limits(read, found, unit)
    except Refusal as trouble:
        return replace(read, status="refused", message=trouble.sentence)


def limits_in_words(lower: Fraction | None, upper: Fraction | None, unit: LengthUnit) -> str:
    """Two limits with as many decimals as both need, or as leave 98 hundredths of the room between them.

    No more than 0.0001 mm or 0.00001 in is shown, and one that has to be rounded is rounded inwards: whoever keeps to
    what is shown keeps to the limits. One of them may be missing.

    >>> limits_in_words(Fraction("11.989"), Fraction(12), "mm"), limits_in_words(None, Fraction("12.7"), "in")
    ('11.989 to 12.000 mm', 'at most 0.5 in')
    """
    least, most = (None if end is None else end / (INCH if unit == "in" else 1) for end in (lower, upper))
    room = None if least is None or most is None else most - least
    places = _places([end for end in (least, most) if end is not None], room, 5 if unit == "in" else 4)
    low = "" if least is None else _rounded(least, places, math.ceil)
    high = "" if most is None else _rounded(most, places, math.floor)
    if low and high:
        return _("{low} to {high}", low=low, high=f"{high} {unit}")
    if low:
        return _("at least {size}", size=f"{low} {unit}")
    return _("at most {size}", size=f"{high} {unit}") if high else ""


def as_typed(nominal: Fraction, lower: Fraction | None, upper: Fraction | None, unit: LengthUnit) -> str:
    """A size with its limits as one would type it; `read_limits` reads it back, to 0.0001 mm or 0.00001 in.

    >>> as_typed(Fraction(2), Fraction("1.998"), Fraction(2), "mm"), as_typed(*map(Fraction, (2, 1, 3)), "mm")
    ('2 mm +0 -0.002', '2 mm ±1')
    """
    scale, places = (INCH, 5) if unit == "in" else (Fraction(1), 4)

    def shown(size: Fraction) -> str:
        return f"{decimal_places(size / scale, places)} {unit}"

    if upper is None:
        return shown(nominal) if lower is None else f"at least {shown(lower)}"
    if lower is None:
        return f"max {shown(upper)}"
    up, down = (round((end - nominal) / scale, places) for end in (upper, lower))
    if up == -down:
        return f"{shown(nominal)} ±{decimal_places(up, places)}"
    return f"{shown(nominal)} {_signed(up, '+', places)} {_signed(down, '-', places)}"


def _signed(away: Fraction, sign_of_nothing: str, places: int) -> str:
    sign = sign_of_nothing if not away else "+" if away > 0 else "-"
    return f"{sign}{decimal_places(abs(away), places)}"


def _places(ends: list[Fraction], room: Fraction | None, most: int) -> int:
    for places in range(5):
        if all(round(end, places) == end for end in ends):
            return places
    return next((places for places in range(most) if room is not None and room * 10**places >= 100), most)


def _rounded(size: Fraction, places: int, inwards: Callable[[Fraction], int]) -> str:
    return f"{inwards(size * 10**places) / 10**places:.{places}f}"


def _with_limits(read: LimitReading, found: Found, unit: LengthUnit | None) -> LimitReading:
    plain = plain_text(read.text)
    reference = _REFERENCE.fullmatch(plain)
    lower, upper = (None, None) if reference else _checked(_ends(found, read.fit), read.text)
    if lower is None and upper is None:
        return replace(read, takes_general=read.status == "ok" and not reference and not _goes_by_a_name(plain))
    own: LengthUnit = "in" if found.inch else "mm"
    words = [limits_in_words(lower, upper, each) for each in dict.fromkeys([own, unit or own])]
    notes = (_("{symbol} after ISO 286", symbol=read.fit),) if read.fit else ()
    message = taken(read.text, None, " = ".join(words), notes).message
    return replace(read, lower=lower, upper=upper, message=message, words=words[-1])


def _goes_by_a_name(plain: str) -> bool:
    """Whether it is a thread, a drill or a wire, whose limits are those of its own standard."""
    try:
        return named_size(plain) is not None
    except Refusal:
        return True


def _ends(found: Found, fit: str) -> Ends:
    if found.bound:
        return (found.mm, None) if found.bound == "least" else (None, found.mm)
    if found.rough:
        return None, None
    other = found.high if found.high is not None else found.other_limit
    if other is not None:
        return min(found.mm, other), max(found.mm, other)
    ends = [found.mm + away for away in deviations_of(found)]
    if fit:
        by_class = _of_class(found.mm, fit)
        if ends and sorted(ends) != list(by_class):
            raise Refusal(_("The figures are not those of {symbol} after ISO 286. Write the one meant.", symbol=fit))
        return by_class
    return (min(ends), max(ends)) if ends else (None, None)


def _of_class(nominal: Fraction, symbol: str) -> tuple[Fraction, Fraction]:
    """The limits of a class. Its deviations are whole micrometres, or halves, which floats hold exactly."""
    if "/" in symbol:
        hole, shaft = (part.strip() for part in symbol.split("/"))
        both = _("{symbol} is a hole and its shaft. Write the one that this size is of: {hole} or {shaft}.")
        raise Refusal(both.format(symbol=symbol, hole=hole, shaft=shaft))
    try:
        found = limits(millimetres(nominal), symbol)
    except ValueError as unknown:
        raise Refusal(str(unknown)) from None
    return nominal + Fraction(found.lower_um) / 1000, nominal + Fraction(found.upper_um) / 1000


def _checked(ends: Ends, text: str) -> Ends:
    lower, upper = ends
    if lower is not None and upper is not None:
        if lower < 0:
            raise Refusal(_("The lower limit of “{text}” lies below zero.", text=quote_input(text)))
        if lower == upper:
            raise Refusal(_("“{text}” leaves no room between its limits.", text=quote_input(text)))
    return ends
