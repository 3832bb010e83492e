"""A result that carries the sums which led to it, so that a page can show them line by line."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

# Decimal places that a workshop can measure: a thousandth of a millimetre, a tenth of a thou.
_PLACES = {"mm": 3, "mm/rev": 3, "mm/tooth": 3, "in": 4, "in/rev": 4, "in/tooth": 4, "°": 2}
_TIMES = ("min", "s", "h")


@dataclass(frozen=True)
class Step:
    """One line of a sum: what it is called, how it is worked out, with which numbers, and what comes of it.

    `source` names where a figure or a formula comes from, and is empty where the line needs none. `said` is the
    result with its unit in the digits it deserves ("0.19 min = 11 s"), where the maker of the line gave that.
    """

    symbol: str
    formula: str
    numbers: str
    result: float | str
    unit: str
    source: str = ""
    said: str = field(default="", repr=False)

    def as_text(self) -> str:
        """Return the line as plain text.

        >>> Step("hours left", "planned × ratio", "40 × 1.3", 52.0, "h").as_text()
        'hours left = planned × ratio = 40 × 1.3 = 52 h'
        """
        chain = [part for part in (self.symbol, self.formula, self.numbers, self.answer) if part]
        text = " = ".join(chain)
        return f"{text} ({self.source})" if self.source else text

    @property
    def answer(self) -> str:
        """The result with its unit, as it is shown."""
        result = self.result if isinstance(self.result, str) else _in_figures(self.result)
        return self.said or f"{result} {self.unit}".strip()


def _in_figures(number: float) -> str:
    """Return four figures, or all whole ones where there are more: never a power of ten for a large number."""
    return f"{number:,.0f}" if abs(number) >= 1000 else f"{number:.4g}"


def deserved(value: float, unit: str = "") -> str:
    """Return a worked-out figure in the digits it deserves: no more than the figures it came from can bear.

    Lengths to a thousandth of a millimetre or a tenth of a thou, three figures at least; else three figures up to a
    hundred and whole numbers above; times below one in two figures. Never a power of ten.

    >>> deserved(1061.03, "rev/min"), deserved(0.18850, "min"), deserved(20.3194, "mm"), deserved(12.566)
    ('1061', '0.19', '20.319', '12.6')
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    exponent = math.floor(math.log10(abs(value)))
    figures = 2 if exponent < 0 and unit in _TIMES else 3
    places = max(0, figures - 1 - exponent, _PLACES.get(unit, 0))
    return _trimmed(value, places)


def as_given(value: float) -> str:
    """Return a figure that somebody gave, up to seven digits of it, without a tail of noughts.

    >>> as_given(0.0625), as_given(25.4), as_given(100.00000000000001)
    ('0.0625', '25.4', '100')
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    return _trimmed(value, max(0, 6 - math.floor(math.log10(abs(value)))))


def _trimmed(value: float, places: int) -> str:
    text = f"{value:,.{places}f}" if abs(value) >= 10_000 else f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "0") else text.replace("-", "−")


@dataclass(frozen=True)
class Working:
    """A titled chain of steps.

    >>> print(Working("Hours left", (Step("planned", "", "", 40.0, "h"),)).as_text())
    Hours left
      planned = 40 h
    """

    title: str
    steps: tuple[Step, ...] = ()

    def as_text(self) -> str:
        """Return the title and, indented beneath it, every step on its own line."""
        return "\n".join([self.title, *(f"  {step.as_text()}" for step in self.steps)])
