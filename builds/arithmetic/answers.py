"""What a page of sums shows below its question: a large figure, what goes with it, the working, the cautions."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from calcs.shop.cautions import Cautions
from calcs.units.figures import format_significant
from calcs.working.result import Working


@dataclass(frozen=True)
class Fact:
    """One figure beside the large one."""

    label: str
    value: str
    note: str = ""


@dataclass(frozen=True)
class Table:
    """A table below the figures; `numbers` says which columns hold figures, counted from 0.

    folded: more than was asked for, which lies under its title.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...] = ()
    folded: bool = False


@dataclass(frozen=True)
class Position:
    """The drawing of a sum as it stands at one angle of the crank, in whole degrees."""

    angle: int
    drawing: Any


@dataclass(frozen=True)
class Answer:
    """The whole answer of a sum. `words` is what the large figure is; `remarks` are whole sentences.

    first: cautions that stand above the figures, where a sum is never shown without them. positions: of a drawing that
    turns, which then stands above the figures.
    """

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
    first: Cautions | None = None
    positions: tuple[Position, ...] = ()


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
