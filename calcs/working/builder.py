"""Writes down a sum as it is done: each line is worked out in one fixed unit and shown in the reader's own.

Inside, lengths are millimetres, times minutes, cutting speeds metres a minute, powers watts. Shown they are
metric or inch, as the first thing given was.
"""

from __future__ import annotations

from dataclasses import dataclass

from calcs.units.argument_checks import Quantity, in_inches
from calcs.units.figures import format_plain, format_significant
from calcs.units.kinds import KINDS, Unit
from calcs.units.registry import registry
from calcs.working.exactly_enough import FEWEST, MOST, format_in_full, gives, in_digits
from calcs.working.result import Step, Working


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

    def unit(self, kind: str) -> Unit:
        """The unit in which this sum shows figures of a kind; the kind is a key of `KINDS`."""
        return KINDS[kind].shown(self.inch)

    def show(self, value: float, kind: str) -> str:
        """A figure put into a sum, without its unit and in full: the line keeps the digits that it takes."""
        return format_in_full(value / self.unit(kind).factor)

    def given(self, symbol: str, words: str, value: float, kind: str, source: str = "") -> None:
        """Write down a figure that was given."""
        unit = self.unit(kind)
        shown = _clean(value / unit.factor)
        figures = (
            format_significant(shown, unit.sign)
            if kind in ("energy", "power", "time", "density")
            else format_plain(shown)
        )
        self._steps.append(Step(symbol, words, "", shown, unit.sign, source, f"{figures} {unit.sign}".strip()))

    def removal(self, formula: str, numbers: str, cubic: float, note: str = "") -> Quantity:
        """Write down a removal rate, `cubic` in mm³/min, from figures shown in mm and mm/min or in inches."""
        per = "" if self.inch else " ÷ 1000"
        note = f", {note}" if note else ""
        return self.line("Q", f"{formula}{per}{note}", f"{numbers}{per}", cubic, "removal")

    def line(self, symbol: str, formula: str, numbers: str, value: float, kind: str, source: str = "") -> Quantity:
        """Write down a figure that was worked out, and return it with its unit."""
        unit = self.unit(kind)
        shown = _clean(value / unit.factor)
        text = f"{format_significant(shown, unit.sign)} {unit.sign}".strip()
        if kind == "time":
            text = in_time(shown)
        self._steps.append(Step(symbol, formula, numbers, shown, unit.sign, source, text))
        return self.quantity(value, kind)

    def quantity(self, value: float, kind: str) -> Quantity:
        """The figure as a quantity in the unit that this sum shows it in."""
        unit = self.unit(kind)
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
    if 10 <= minutes < 100:
        return f"{format_significant(minutes, 'min')} min"
    if minutes >= 100:
        hours = format_significant(minutes / 60)
        return f"{_enough(minutes, 1 / 60, hours)} min = {hours} h"
    seconds = f"{minutes * 60:.0f}" if minutes * 60 >= 10 else format_significant(minutes * 60)
    return f"{_enough(minutes, 60, seconds)} min = {seconds} s"


def _enough(minutes: float, times: float, beside: str) -> str:
    """Minutes in the digits they deserve, or in more where those would not give what stands beside them."""
    more = (in_digits(minutes, digits) for digits in range(FEWEST, MOST))
    texts = (format_significant(minutes, "min"), *more)
    return next((text for text in texts if gives(float(text.replace(",", "")) * times, beside)), texts[-1])
