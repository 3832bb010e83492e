"""Writes down a sum as it is done: each line is worked out in one fixed unit and shown in the reader's own.

Inside, lengths are millimetres, times minutes, cutting speeds metres a minute, powers watts. Shown they are
metric or inch, as the first thing given was.
"""

from __future__ import annotations

from dataclasses import dataclass

from calcs.units.argument_checks import Quantity, in_inches
from calcs.units.figures import format_plain, format_significant
from calcs.units.registry import registry
from calcs.working.result import Step, Working


@dataclass(frozen=True)
class Shown:
    """How a sort of figure is shown: the sign printed, Pint's name of the unit, and how many of them make one."""

    sign: str
    pint: str
    factor: float


IN3 = 25.4**3
_METRIC = {
    "length": Shown("mm", "millimeter", 1),
    "feed": Shown("mm/rev", "millimeter", 1),
    "tooth feed": Shown("mm/tooth", "millimeter", 1),
    "feed rate": Shown("mm/min", "millimeter / minute", 1),
    "speed": Shown("m/min", "meter / minute", 1),
    "turns": Shown("rev/min", "rpm", 1),
    "strokes": Shown("strokes/min", "1 / minute", 1),
    "area": Shown("mm²", "millimeter ** 2", 1),
    "area rate": Shown("cm²/min", "centimeter ** 2 / minute", 100),
    "volume": Shown("cm³", "centimeter ** 3", 1000),
    "removal": Shown("cm³/min", "centimeter ** 3 / minute", 1000),
    "energy": Shown("W·s/mm³", "joule / millimeter ** 3", 1),
    "power": Shown("W", "watt", 1),
    "torque": Shown("N·m", "newton * meter", 1),
    "force": Shown("N", "newton", 1),
    "finish": Shown("µm", "micrometer", 1e-3),
    "time": Shown("min", "minute", 1),
    "mass": Shown("kg", "kilogram", 1),
    "density": Shown("kg/m³", "kilogram / meter ** 3", 1),
    "linear mass": Shown("kg/m", "kilogram / meter", 1),
    "angle": Shown("°", "degree", 1),
    "per cent": Shown("%", "percent", 1),
    "number": Shown("", "dimensionless", 1),
}
_INCH = _METRIC | {
    "length": Shown("in", "inch", 25.4),
    "feed": Shown("in/rev", "inch", 25.4),
    "tooth feed": Shown("in/tooth", "inch", 25.4),
    "feed rate": Shown("in/min", "inch / minute", 25.4),
    "speed": Shown("ft/min", "foot / minute", 0.3048),
    "area": Shown("in²", "inch ** 2", 25.4**2),
    "area rate": Shown("in²/min", "inch ** 2 / minute", 25.4**2),
    "volume": Shown("in³", "inch ** 3", IN3),
    "removal": Shown("in³/min", "inch ** 3 / minute", IN3),
    "energy": Shown("hp·min/in³", "horsepower * minute / inch ** 3", 745.69987158227022 * 60 / IN3),
    "power": Shown("hp", "horsepower", 745.69987158227022),
    "torque": Shown("lbf·in", "force_pound * inch", 0.1129848290276167),
    "force": Shown("lbf", "force_pound", 4.4482216152605),
    "finish": Shown("µin", "microinch", 25.4e-6),
    "mass": Shown("lb", "pound", 0.45359237),
    "density": Shown("lb/in³", "pound / inch ** 3", 27679.904710203125),
    "linear mass": Shown("lb/ft", "pound / foot", 0.45359237 / 0.3048),
}


@dataclass(frozen=True)
class Result:
    """One figure with its unit and the working that led to it; the working's last line is that figure."""

    value: Quantity
    working: Working
    remarks: tuple[str, ...] = ()


class WorkingBuilder:
    """A working that grows line by line. `like`: the quantities whose first one says metric or inch."""

    def __init__(self, title: str, *like: object) -> None:
        self.title = title
        self.inch = in_inches(*like)
        self._steps: list[Step] = []

    def unit(self, sort: str) -> Shown:
        """How this sum shows that sort of figure."""
        return (_INCH if self.inch else _METRIC)[sort]

    def show(self, value: float, sort: str) -> str:
        """A figure put into a sum, without its unit, in the digits it deserves."""
        unit = self.unit(sort)
        return format_significant(value / unit.factor, unit.sign)

    def given(self, symbol: str, words: str, value: float, sort: str, source: str = "") -> None:
        """Write down a figure that was given."""
        unit = self.unit(sort)
        shown = _clean(value / unit.factor)
        figures = (
            format_significant(shown, unit.sign)
            if sort in ("energy", "power", "time", "density")
            else format_plain(shown)
        )
        self._steps.append(Step(symbol, words, "", shown, unit.sign, source, f"{figures} {unit.sign}".strip()))

    def removal(self, formula: str, numbers: str, cubic: float, note: str = "") -> Quantity:
        """Write down a removal rate, `cubic` in mm³/min, from figures shown in mm and mm/min or in inches."""
        per = "" if self.inch else " ÷ 1000"
        note = f", {note}" if note else ""
        return self.line("Q", f"{formula}{per}{note}", f"{numbers}{per}", cubic, "removal")

    def line(self, symbol: str, formula: str, numbers: str, value: float, sort: str, source: str = "") -> Quantity:
        """Write down a figure that was worked out, and return it with its unit."""
        unit = self.unit(sort)
        shown = _clean(value / unit.factor)
        text = f"{format_significant(shown, unit.sign)} {unit.sign}".strip()
        if sort == "time":
            text = in_time(shown)
        self._steps.append(Step(symbol, formula, numbers, shown, unit.sign, source, text))
        return self.quantity(value, sort)

    def quantity(self, value: float, sort: str) -> Quantity:
        """The figure as a quantity in the unit that this sum shows it in."""
        unit = self.unit(sort)
        answer: Quantity = registry().Quantity(_clean(value / unit.factor), unit.pint)
        return answer

    def remark(self, symbol: str, words: str) -> None:
        """Write down something that is no figure."""
        self._steps.append(Step(symbol, "", "", words, ""))

    def has(self, symbol: str) -> bool:
        """Whether a line of that name stands already."""
        return any(step.symbol == symbol for step in self._steps)

    def working(self) -> Working:
        """The sum as far as it was written down."""
        return Working(self.title, tuple(self._steps))


def _clean(value: float) -> float:
    """Drop the fifteenth figure and what follows: the dust of going from inches to millimetres and back."""
    return float(f"{value:.14g}")


def in_time(minutes: float) -> str:
    """A time in minutes, and in seconds or hours beside it where those are handier.

    >>> in_time(0.1885), in_time(1.2967), in_time(150.0)
    ('0.19 min = 11 s', '1.3 min = 78 s', '150 min = 2.5 h')
    """
    text = f"{format_significant(minutes, 'min')} min"
    if minutes < 10:
        seconds = minutes * 60
        return f"{text} = {seconds:.0f} s" if seconds >= 10 else f"{text} = {format_significant(seconds)} s"
    return text if minutes < 100 else f"{text} = {format_significant(minutes / 60)} h"
