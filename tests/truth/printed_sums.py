"""Printed sums, found in what a page shows and done again with their units.

A chain such as "t = 3 × 2.5 + 4 = 11.5 min" is cut at its equals signs. Two neighbours that are both figures, at least
one of them a sum or in another unit, are worked out; a side with a word or a symbol in it is nobody's sum.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from html.parser import HTMLParser
from itertools import pairwise
from typing import Any

import pint

UNITS: pint.UnitRegistry[Any] = pint.UnitRegistry()
UNITS.define("money = [money]")
Figure = Any

# What parts two texts that are no sum together, however near they stand.
APART = {"td", "th", "li", "dt", "dd", "h1", "h2", "h3", "summary", "tr", "label", "option", "button", "figcaption"}

_NUMBER = r"(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?"
_TOKEN = re.compile(
    rf"\s*(?:(?:(?P<whole>\d+) )?(?P<top>\d+)/(?P<bottom>[1-9]\d*)(?![\d/,.])"
    rf"|(?P<number>{_NUMBER})(?P<half>½)?|(?P<part>[½¼¾])|(?P<money>[€£$])|(?P<word>arcsin|arccos|arctan|sin|cos|tan"
    r"|[A-Za-zµ][A-Za-zµ/]*[²³]?(?:/[a-z]+[²³]?)?)|(?P<sign>[+−×÷·()√π°%²³/^]|per cent))"
)
_PER = re.compile(r"\s*an? (hour|week)\b")
_FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75}
UNIT_NAMES = {
    "h": "hour", "min": "minute", "s": "second", "mm": "millimeter", "m": "meter", "cm": "centimeter", "in": "inch",
    "ft": "foot", "thou": "thou", "µm": "micrometer", "mm²": "millimeter**2", "mm³": "millimeter**3",
    "cm²": "centimeter**2", "cm³": "centimeter**3", "in²": "inch**2", "in³": "inch**3", "g": "gram", "kg": "kilogram",
    "lb": "pound", "oz": "ounce", "g/cm³": "gram/centimeter**3", "kg/m³": "kilogram/meter**3", "W": "watt",
    "lb/in³": "pound/inch**3", "kW": "kilowatt", "hp": "horsepower", "N": "newton", "J": "joule", "J/mm³":
    "joule/millimeter**3", "rev/min": "revolutions_per_minute", "m/min": "meter/minute", "mm/min": "millimeter/minute",
    "ft/min": "foot/minute", "in/min": "inch/minute", "mm/rev": "millimeter/revolution", "in/rev": "inch/revolution",
    "mm/tooth": "millimeter", "in/tooth": "inch", "cm³/min": "centimeter**3/minute", "in³/min": "inch**3/minute",
    "days": "day", "day": "day", "weeks": "week", "week": "week", "hours": "hour", "minutes": "minute",
    "N/mm": "newton/millimeter", "MPa": "megapascal", "bar": "bar", "psi": "psi", "ksi": "ksi",
    "EUR": "money", "GBP": "money",
}  # fmt: skip
FUNCTIONS = {
    "sin": lambda x: math.sin(math.radians(x)), "cos": lambda x: math.cos(math.radians(x)),
    "tan": lambda x: math.tan(math.radians(x)), "arcsin": lambda x: math.degrees(math.asin(x)),
    "arccos": lambda x: math.degrees(math.acos(x)), "arctan": lambda x: math.degrees(math.atan(x)),
    "√": math.sqrt,
}  # fmt: skip


class NoSum(Exception):
    """The text is no figure and no sum."""


@dataclass(frozen=True)
class PrintedSum:
    """Two sides of an equals sign as printed, and whether the figures of one give the other."""

    text: str
    right: bool
    worked_out: str


class Visible(HTMLParser):
    """The text that a page shows, with a bar where two texts have nothing to do with each other."""

    UNREAD = {"script", "style", "head", "svg", "title"}

    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []
        self.unread = 0
        self.working = 0

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.unread += tag in self.UNREAD
        self._apart(tag)

    def handle_endtag(self, tag: str) -> None:
        self.unread -= tag in self.UNREAD
        self._apart(tag)

    def _apart(self, tag: str) -> None:
        self.said.append(" ¦ " if tag in APART else " " if tag in ("p", "div", "br") else "")

    def handle_data(self, data: str) -> None:
        if not self.unread:
            self.said.append(data)


def visible_text(html: str) -> list[str]:
    """What a page shows, text by text."""
    page = Visible()
    page.feed(html)
    return [" ".join(text.split()) for text in "".join(page.said).split("¦") if text.strip()]


def printed_sums(html: str) -> Iterator[PrintedSum]:
    """Every sum that a page prints together with its result."""
    for text in visible_text(html):
        yield from sums_of(text)


def sums_of(text: str) -> Iterator[PrintedSum]:
    """The sums of one text.

    >>> [one.right for one in sums_of("36 × 7.5 min = 4 h 30 min = 36 × 8 min")]
    [True, False]
    """
    sides = text.split("=")
    for before, after in pairwise(sides):
        left, right = _at_the_end(before), _at_the_start(after)
        if left is None or right is None:
            continue
        same_kind = left.value.is_compatible_with(right.value)
        if left.is_sum or right.is_sum or (same_kind and left.unit_words != right.unit_words):
            yield _compared(left, right)


@dataclass(frozen=True)
class Side:
    """One side of an equals sign: as printed, worked out, and the step of its last printed digit."""

    text: str
    value: Figure
    step: Figure
    is_sum: bool
    unit_words: tuple[str, ...]


def _compared(left: Side, right: Side) -> PrintedSum:
    sum_side, result = (left, right) if left.is_sum or not right.is_sum else (right, left)
    text = f"{sum_side.text} = {result.text}"
    value, stands, step = sum_side.value, result.value, result.step
    bare = value.dimensionless and not stands.dimensionless
    # A share "× 100" is a number of per cent already.
    if bare or (stands.units == UNITS.percent and re.search("× 100|100 ×", sum_side.text)):
        value, stands, step = value.magnitude, stands.magnitude, step.magnitude
    elif not value.is_compatible_with(stands):
        return PrintedSum(text, False, f"{value}")
    else:
        value, stands, step = (one.to(result.step.units).magnitude for one in (value, stands, step))
    right = abs(value - stands) <= abs(step) / 2 * (1 + 1e-9) + 1e-12
    return PrintedSum(text, bool(right), f"{value:.6g}")


def _at_the_start(text: str) -> Side | None:
    try:
        side, rest = _read(text)
    except NoSum:
        return None
    return None if re.match(r"\s*([+−×÷·/(^√²³]|:\d)", rest) else side


def _at_the_end(text: str) -> Side | None:
    for start in [0, *(m.end() for m in re.finditer(r"\s", text))]:
        if start and re.search(r"[+−×÷·/(√^]\s*$", text[:start]):
            continue
        try:
            side, rest = _read(text[start:])
        except NoSum:
            continue
        if not rest.strip():
            return side
    return None


def _read(text: str) -> tuple[Side, str]:
    reader = Reader(text.strip())
    value = reader.added()
    if not reader.figures:
        raise NoSum
    step = reader.step
    return Side(text.strip()[: reader.at].strip(), value, step, reader.signs > 0, tuple(reader.units)), reader.rest()


class Reader:
    """Reads one expression from the left, as far as it goes."""

    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0
        self.figures = self.signs = 0
        self.units: list[str] = []
        self.step: Figure = None
        self.about = False

    def rest(self) -> str:
        return self.text[self.at :]

    def _next(self) -> re.Match[str] | None:
        return _TOKEN.match(self.text, self.at)

    def _sign(self, *signs: str) -> str:
        found = self._next()
        if found and found["sign"] in signs:
            self.at = found.end()
            return str(found["sign"])
        return ""

    def added(self) -> Figure:
        value = self.multiplied()
        while sign := self._sign("+", "−"):
            self.signs += 1
            other = self.multiplied()
            value = value + other if sign == "+" else value - other
        return value

    def multiplied(self) -> Figure:
        value = self.raised()
        while sign := self._sign("×", "÷", "·", "/"):
            self.signs += 1
            other = self.raised()
            if sign in "×·":
                value = value * other
            else:
                if not other.magnitude:
                    raise NoSum
                value = value / other
        return value

    def raised(self) -> Figure:
        value = self.single()
        while sign := self._sign("²", "³"):
            self.signs += 1
            value = value ** (2 if sign == "²" else 3)
        if self._sign("^"):
            self.signs += 1
            value = value ** float(self.single().magnitude)
        return value

    def single(self) -> Figure:
        found = self._next()
        if found is None:
            raise NoSum
        if found["sign"] == "−":
            self.at = found.end()
            return -self.single()
        if found["sign"] == "(":
            self.at = found.end()
            value = self.added()
            if not self._sign(")"):
                raise NoSum
            return value
        if found["sign"] == "π":
            self.at = found.end()
            self.figures += 1
            return UNITS.Quantity(math.pi)
        if found["sign"] == "√" or found["word"] in FUNCTIONS:
            self.at = found.end()
            self.signs += 1
            inner = self.single()
            return UNITS.Quantity(FUNCTIONS[found["sign"] or found["word"]](float(inner.magnitude)))
        if found["word"] == "about":
            self.at = found.end()
            self.about = True
            return self.single()
        if found["money"] or found["number"] or found["part"] or found["top"]:
            return self.figure()
        raise NoSum

    def figure(self) -> Figure:
        """One figure with its unit, or a time of hours and minutes."""
        value = self._one_figure()
        while self.units and self.units[-1] in ("h", "min") and (found := self._next()) and found["number"]:
            following = _TOKEN.match(self.text, found.end())
            if not following or following["word"] not in ("min", "s"):
                break
            value = value + self._one_figure()
        return value

    def _one_figure(self) -> Figure:
        found = self._next()
        if found is None:
            raise NoSum
        unit = ""
        if found["money"]:
            unit, self.at = "money", found.end()
            found = self._next()
            if found is None or not found["number"]:
                raise NoSum
        self.at = found.end()
        if found["number"]:
            plain = found["number"].replace(",", "")
            size = float(plain) + _FRACTIONS.get(found["half"] or "", 0.0)
            step = 10.0 ** -len(plain.partition(".")[2])
            if self.about and "." not in plain:
                step = 10.0 ** (len(plain) - len(plain.rstrip("0")))
        elif found["top"]:
            size, step = int(found["whole"] or 0) + int(found["top"]) / int(found["bottom"]), 1e-9
        else:
            size, step = _FRACTIONS[found["part"]], 1e-9
        self.figures += 1
        return self._with_unit(size, step, unit)

    def _with_unit(self, size: float, step: float, unit: str) -> Figure:
        following = self._next()
        if not unit and following and following["word"] in UNIT_NAMES:
            unit, self.at = UNIT_NAMES[following["word"]], following.end()
            self.units.append(following["word"])
        elif not unit and following and following["sign"] in ("%", "per cent", "°"):
            self.at = following.end()
            self.units.append(following["sign"])
            unit = "" if following["sign"] == "°" else "percent"
        elif unit:
            self.units.append(unit)
        per = _PER.match(self.text, self.at)
        if per:
            unit, self.at = f"{unit or 'dimensionless'} / {per[1]}", per.end()
        self.step = UNITS.Quantity(step, unit)
        return UNITS.Quantity(size, unit)
