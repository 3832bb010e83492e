"""What a page of sums shows below its question: a large figure, what goes with it, the working, the cautions."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from calcs.units.figures import format_significant
from calcs.units.registry import sign_of
from calcs.working.result import Working

# Lengths that nothing in a shop can measure; what is smaller is told as such.
_DUST = {"mm": 1e-4, "in": 1e-5}


@dataclass(frozen=True)
class Fact:
    """One figure beside the large one."""

    label: str
    value: str
    note: str = ""


@dataclass(frozen=True)
class Table:
    """A table below the figures; `numbers` says which columns hold figures, counted from 0."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...] = ()


@dataclass(frozen=True)
class Answer:
    """The whole answer of a sum. `words` is what the large figure is; `remarks` are whole sentences."""

    words: str
    number: str
    also: str = ""
    facts: tuple[Fact, ...] = ()
    remarks: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    workings: tuple[Working, ...] = ()
    sources: tuple[str, ...] = ()
    operation: str = ""
    material: str = ""
    drawing: Any = None
    minutes: float | None = None


def said(quantity: Any, places: int | None = None) -> str:
    """A quantity in the digits it deserves, with the sign of its unit.

    >>> from calcs.units.registry import registry
    >>> said(registry().Quantity(318.31, "rpm")), said(registry().Quantity(12.5, "inch"))
    ('318 rev/min', '12.5 in')
    """
    sign = sign_of(quantity.units)
    size = float(quantity.magnitude)
    least = _DUST.get(sign)
    if least is not None and 0 < abs(size) < least:
        return f"under {'0.0001' if sign == 'mm' else '0.00001'} {sign}"
    text = format_significant(abs(size), sign) if places is None else f"{abs(size):.{places}f}"
    minus = "−" if size < 0 and any(digit in "123456789" for digit in text) else ""
    return f"{minus}{text} {sign}".strip()


def figure_of(size: float) -> str:
    """A bare figure in four digits, or all whole ones where there are more: never a power of ten.

    >>> figure_of(16.6667), figure_of(304800.0), figure_of(0.00219)
    ('16.67', '304,800', '0.00219')
    """
    if 0 < abs(size) < 1e-7:
        return "under 0.0000001"
    return f"{size:,.0f}" if abs(size) >= 1000 else f"{size:.4g}" if abs(size) >= 1e-4 else f"{size:.7f}"


def in_four(quantity: Any) -> str:
    """A quantity in four figures: for what is exact but for the reading of it.

    >>> from calcs.units.registry import registry
    >>> in_four(registry().Quantity(0.2222222, "inch ** 2"))
    '0.2222 in²'
    """
    return f"{figure_of(float(quantity.magnitude))} {sign_of(quantity.units)}"


def both(length: Any) -> str:
    """A length in its own unit with the other one in brackets."""
    other = "inch" if str(length.units) != "inch" else "millimeter"
    return f"{said(length)} ({together(said(length.to(other)))})"


def together(text: str) -> str:
    """A figure that is not parted from its unit at the end of a line."""
    return text.replace(" ", "\N{NO-BREAK SPACE}")


def time_in_words(minutes: float) -> str:
    """A time as it is said: 11 s, 3 min 20 s, 2 h 30 min.

    >>> time_in_words(0.1885), time_in_words(3.3333), time_in_words(150), time_in_words(0.02)
    ('11 s', '3 min 20 s', '2 h 30 min', '1.2 s')
    """
    seconds = minutes * 60
    if seconds < 10:
        return f"{format_significant(seconds)} s"
    if seconds < 600:
        whole, rest = divmod(round(seconds), 60)
        return f"{whole} min {rest} s" if whole and rest else f"{whole} min" if whole else f"{rest} s"
    whole = math.floor(minutes + 0.5)
    hours, rest = divmod(whole, 60)
    if hours >= 100:
        return f"{hours:,} h"
    return f"{hours} h {rest} min" if hours and rest else f"{hours} h" if hours else f"{rest} min"
