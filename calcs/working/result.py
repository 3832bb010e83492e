"""A result that carries the sums which led to it, so that a page can show them line by line."""

from __future__ import annotations

from dataclasses import dataclass, field

from calcs.working.exactly_enough import exactly_enough


@dataclass(frozen=True)
class Step:
    """One line of a sum: what it is called, how it is worked out, with which numbers, and what comes of it.

    `source` names where a figure or a formula comes from, and is empty where the line needs none. `shown` is the
    result with its unit in the digits it deserves ("0.19 min = 11 s"), where the maker of the line gave that. Whoever
    makes a line gives its numbers in full; it keeps the digits that the result takes.
    """

    symbol: str
    formula: str
    numbers: str
    result: float | str
    unit: str
    source: str = ""
    shown: str = field(default="", repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "numbers", exactly_enough(self.numbers, self.answer))

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
        return self.shown or f"{result} {self.unit}".strip()


def _in_figures(number: float) -> str:
    """Return four figures, or all whole ones where there are more: never a power of ten for a large number."""
    return f"{number:,.0f}" if abs(number) >= 1000 else f"{number:.4g}"


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
