"""Figures of a sum in as many digits as it takes for whoever does it again to get the result that stands behind it.

A result is shown in the digits it deserves. The figures that led to it are shown in three, or in more where three would
give another result: "36 × 7.5 min = 270 min", never "36 × 8".
"""

from __future__ import annotations

import ast
import math
import operator
import re
from collections.abc import Callable

# More digits than anybody types: a figure that has them was worked out, and may be shown in fewer.
MOST_TYPED = 8
FEWEST, MOST = 3, 12

_FIGURE = re.compile(r"(?<![\w.])(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?")
# "€", and what is written behind a figure: "h", "EUR", "an hour".
_UNIT = re.compile(r"[€£$¥]|(?<=\d)(?: [^\W\d_]+)+(?![\w(])")
_SIGNS = {
    "×": "*", "·": "*", "÷": "/", "−": "-", "²": "**2", "³": "**3", "π": "pi", "√": "sqrt", "½": "0.5", "°": "",
    "^": "**",
}  # fmt: skip
_DONE: dict[type, Callable[..., float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
    ast.USub: operator.neg,
}
_FUNCTIONS: dict[str, Callable[[float], float]] = {
    "sin": lambda angle: math.sin(math.radians(angle)),
    "cos": lambda angle: math.cos(math.radians(angle)),
    "tan": lambda angle: math.tan(math.radians(angle)),
    "arcsin": lambda share: math.degrees(math.asin(share)),
    "arccos": lambda share: math.degrees(math.acos(share)),
    "arctan": lambda share: math.degrees(math.atan(share)),
    "sqrt": math.sqrt,
}


def format_in_full(value: float) -> str:
    """A figure for a sum in all its digits: `exactly_enough` takes those away that the sum does not need.

    >>> format_in_full(0.30000000000000004), format_in_full(2 / 3)
    ('0.3', '0.666666666667')
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    return in_digits(value, MOST)


def exactly_enough(numbers: str, result: str) -> str:
    """The sum `numbers` with its worked-out figures in the fewest digits that still give `result`, as it is shown.

    >>> exactly_enough("12.345678901 × 3", "37.04 min"), exactly_enough("12.345678901 × 3", "37 min")
    ('12.346 × 3', '12.3 × 3')
    """
    if not any(_digits(figure) > MOST_TYPED for figure in _FIGURE.findall(numbers)):
        return numbers
    shown = _FIGURE.search(result)
    for digits in range(FEWEST, MOST):
        shorter = _FIGURE.sub(lambda figure, to=digits: _shortened(figure[0], to), numbers)  # type: ignore[misc]
        given = evaluate(shorter)
        if shown is None or given is None or gives(given, shown[0]):
            return shorter
    return numbers


def evaluate(numbers: str) -> float | None:
    """What a printed sum comes to, angles in degrees, units left out; None for what is no such sum.

    >>> evaluate("1000 × 30 ÷ (π × 20)"), evaluate("(bar − 3) ÷ 2"), evaluate("√(3² + 4²)")
    (477.46482927568604, None, 5.0)
    """
    text = _UNIT.sub("", _FIGURE.sub(lambda figure: figure[0].replace(",", ""), numbers))
    for sign, code in _SIGNS.items():
        text = text.replace(sign, code)
    text = re.sub(r"sqrt\s*(\d[\d.]*)", r"sqrt(\1)", text)
    try:
        return _value(ast.parse(text.strip(), mode="eval").body)
    except (SyntaxError, ValueError, ArithmeticError, KeyError):
        return None


def _value(node: ast.AST) -> float:
    """KeyError or ValueError for what is no arithmetic."""
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return float(node.value)
    if isinstance(node, ast.Name) and node.id == "pi":
        return math.pi
    if isinstance(node, ast.UnaryOp):
        return _DONE[type(node.op)](_value(node.operand))
    if isinstance(node, ast.BinOp):
        return _DONE[type(node.op)](_value(node.left), _value(node.right))
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and len(node.args) == 1:
        return _FUNCTIONS[node.func.id](_value(node.args[0]))
    raise ValueError


def gives(value: float, shown: str) -> bool:
    """Whether a value is the shown figure to within half of its last digit."""
    plain = shown.replace(",", "")
    step = 10.0 ** -len(plain.partition(".")[2])
    # A half that only rounding keeps from being one counts as one.
    return abs(abs(value) - float(plain)) <= step / 2 + 1e-12 * abs(value)


def _digits(figure: str) -> int:
    return len(figure.replace(",", "").replace(".", "").lstrip("0"))


def _shortened(figure: str, digits: int) -> str:
    return in_digits(float(figure.replace(",", "")), digits) if _digits(figure) > MOST_TYPED else figure


def in_digits(value: float, digits: int) -> str:
    """So many significant digits, whole ones always, without a tail of noughts."""
    places = max(0, digits - 1 - math.floor(math.log10(abs(value)))) if value else 0
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text.replace("-", "−")
