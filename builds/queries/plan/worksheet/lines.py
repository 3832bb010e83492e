"""The lines of an answer: each is a step of the sum and one plain sentence that says why it is taken.

A line counts with figures that stand in the question or that a line above it came to. What a line comes to is printed
in as many digits as the lines below it take, so that nobody has to ask where a digit came from.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from calcs.units.figures import format_significant
from calcs.working.exactly_enough import FEWEST, MOST, format_in_full, in_digits
from calcs.working.result import Step

# More digits than a pupil copies from one line to the next.
LONG = 9
_FIGURE = re.compile(r"(?<![\d.])\d+(?:\.\d+)?(?![\d.])")


@dataclass(frozen=True)
class Line:
    """One step of an answer, and why it is taken."""

    step: Step
    because: str


@dataclass(frozen=True)
class Sum:
    """One question for the first pages, and its answer for the last."""

    title: str
    question: str
    lines: tuple[Line, ...]

    asked: tuple[int, ...]

    @property
    def answer(self) -> str:
        """What is asked for: what those lines come to that answer a question."""
        return ", ".join(self.lines[place].step.answer for place in self.asked)


@dataclass
class _Raw:
    """A line before it is known how many digits those below it take. `shown` is fixed where it is not empty."""

    because: str
    symbol: str
    formula: str
    numbers: str
    result: float | str
    unit: str
    shown: str

    def step(self) -> Step:
        if self.shown or isinstance(self.result, str):
            return self._showing(self.shown)
        forms = (_readable(self.result, self.unit), *(in_digits(self.result, digits) for digits in range(4, 7)))
        steps = [self._showing(f"{form} {self.unit}".strip()) for form in forms]
        # A result on the very edge of two roundings takes all digits of its figures: one more of its own is shorter.
        return next(
            (step for step in steps if len(max(_FIGURE.findall(step.numbers), key=len, default="")) < LONG), steps[0]
        )

    def _showing(self, shown: str) -> Step:
        return Step(self.symbol, self.formula, self.numbers, self.result, self.unit, shown=shown)


class Answer:
    """Writes the lines of an answer one after the other."""

    def __init__(self) -> None:
        self._raw: list[_Raw] = []
        self._asked: list[int] = []

    def line(
        self,
        because: str,
        symbol: str,
        formula: str,
        numbers: str,
        result: Fraction | float | str,
        unit: str = "",
        *,
        shown: str = "",
    ) -> str:
        """Write a line; return what it comes to as the lines below it write it. A fraction stays one: 3/4."""
        value = mixed(result) if isinstance(result, Fraction) else result
        self._raw.append(_Raw(because, symbol, formula, numbers, value, unit, shown))
        return value if isinstance(value, str) else format_in_full(value)

    def is_asked(self) -> None:
        """Say that the line just written answers a question. Where none is said to, the last one does."""
        self._asked.append(len(self._raw) - 1)

    def lines(self) -> tuple[Line, ...]:
        """The lines, each in the digits that those below it take."""
        for place in range(len(self._raw) - 1, -1, -1):
            _in_the_digits_taken(self._raw[place], self._raw[place + 1 :])
        return tuple(Line(raw.step(), raw.because) for raw in self._raw)

    def sum(self, title: str, *sentences: str) -> Sum:
        """The sum that these lines answer."""
        if not self._asked:
            self.is_asked()
        return Sum(title, " ".join(sentence for sentence in sentences if sentence), self.lines(), tuple(self._asked))


def _in_the_digits_taken(raw: _Raw, below: list[_Raw]) -> None:
    """Fix how the line shows its result: as the lines below write it, the longest form in each of them."""
    if raw.shown or isinstance(raw.result, str) or not raw.result:
        return
    forms = {in_digits(raw.result, digits) for digits in range(FEWEST, MOST + 1)}
    taken = [form for one in below for form in _FIGURE.findall(one.step().numbers) if form in forms]
    if not taken:
        return
    longest = max(taken, key=len)
    for one in below:
        one.numbers = _FIGURE.sub(lambda found: longest if found[0] in forms else found[0], one.numbers)
    raw.shown = f"{longest} {raw.unit}".strip()


def _readable(value: float, unit: str) -> str:
    """A result in all its digits where they are few, else in those that it deserves."""
    exact = f"{value:.5g}"
    if abs(float(exact) - value) < 1e-9 * abs(value) and "e" not in exact:
        return exact
    return format_significant(value, unit if abs(value) < 10 else "")


def mixed(value: Fraction) -> str:
    """A fraction as it stands on a drawing.

    >>> mixed(Fraction(5, 4)), mixed(Fraction(5, 8)), mixed(Fraction(1200))
    ('1 1/4', '5/8', '1200')
    """
    whole, part = divmod(value, 1)
    return " ".join(str(one) for one in (whole, part) if one) or "0"
