"""Passes from a total depth, and the travel of the tool: approach, length and over-travel, each said."""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.cutting.results import Machine
from calcs.units.argument_checks import Quantity, count, optional
from calcs.units.figures import format_plain, format_significant
from calcs.units.kinds import LENGTH, TIME
from calcs.working.builder import WorkingBuilder

MOST_PASSES = 1000


@dataclass(frozen=True)
class Way:
    """What goes with a cut beside its sizes, as it was given: None where nothing was."""

    approach: Quantity | None = None
    overtravel: Quantity | None = None
    return_time: Quantity | None = None
    specific_energy: Quantity | None = None
    machine: Machine | None = None


@dataclass(frozen=True)
class Passes:
    """So many passes, each of a depth in mm (0 where no depth was given); `total` is all of it."""

    number: int
    depth: float
    total: float


def count_passes(
    sums: WorkingBuilder,
    passes: int | None,
    total_depth: Quantity | None,
    depth_per_pass: Quantity | None,
    *,
    extra: int = 0,
) -> Passes:
    """Write down the passes: total depth ÷ depth of one, rounded up; or as many as were given.

    The last pass takes what is left, so that all reckon with the full depth of one: the power is that of a full
    pass. ValueError for more than a thousand.
    """
    total = optional(total_depth, LENGTH, "total depth")
    each = optional(depth_per_pass, LENGTH, "depth of one pass")
    if depth_per_pass is not None and not each:
        raise ValueError("A pass of no depth never gets there. Write a depth for each pass of more than zero.")
    if passes is not None:
        number = count(passes, "number of passes", MOST_PASSES)
        each = total / number if total else each
    else:
        number = _passes_for(total, each)
        each = min(each, total) if each and total else each or total
    if total and each and number > 1:
        numbers = f"{sums.show(total, 'length')} ÷ {sums.show(each, 'length')}, rounded up"
        sums.line("passes", "total depth ÷ depth of one", numbers, number, "number")
    elif number > 1:
        sums.given("passes", "number of passes", number, "number")
    if extra:
        number += count(extra, "number of extra passes", MOST_PASSES)
        sums.line("passes", "with the finishing passes without more depth", f"+ {extra}", number, "number")
    return Passes(number, each, total or each * number)


def _passes_for(total: float, each: float) -> int:
    if not total or not each:
        return 1
    # A hair's breadth over a whole number is rounding, not another pass.
    number = math.ceil(total / each - 1e-9)
    if number > MOST_PASSES:
        raise ValueError(f"That would be more than {MOST_PASSES} passes. Write a larger depth for each pass.")
    return max(1, number)


def travel_line(
    sums: WorkingBuilder,
    length: float,
    approach: Quantity | None,
    overtravel: Quantity | None,
    lead_in: float = 0.0,
    lead_words: str = "lead-in",
) -> float:
    """Write down the travel in mm: the tool's own lead-in, approach, length and over-travel."""
    before = optional(approach, LENGTH, "approach")
    after = optional(overtravel, LENGTH, "over-travel")
    parts = [("L", length), (lead_words, lead_in), ("approach", before), ("over-travel", after)]
    named = [(name, size) for name, size in parts if size or name == "L"]
    travel = length + lead_in + before + after
    if len(named) == 1:
        sums.given("L", "length of cut", length, "length")
    else:
        formula = " + ".join(name for name, _ in named)
        numbers = " + ".join(sums.show(size, "length") for _, size in named)
        sums.line("travel", formula, numbers, travel, "length")
    return travel


def back_line(sums: WorkingBuilder, return_time: Quantity | None) -> float:
    """Write down the minutes that each return takes, where there are any."""
    back = optional(return_time, TIME, "return time")
    if back:
        sums.given("return", "time to wind back, for each pass", back, "time")
    return back


def time_line(
    sums: WorkingBuilder, travel: float, rate: float, passes: int, each_extra: float = 0.0, extra_words: str = "return"
) -> Quantity:
    """Write down the time of all passes: travel ÷ rate of feed, and minutes for each return, if any."""
    numbers = f"{sums.show(travel, 'length')} ÷ {sums.show(rate, 'feed rate')}"
    formula = "travel ÷ vf" if sums.has("travel") else "L ÷ vf"
    minutes = travel / rate
    if each_extra:
        formula, numbers = f"{formula} + {extra_words}", f"{numbers} + {format_significant(each_extra)}"
        minutes += each_extra
    if passes > 1:
        if each_extra:
            formula, numbers = f"({formula})", f"({numbers})"
        formula, numbers = f"passes × {formula}", f"{format_plain(passes)} × {numbers}"
    return sums.line("t", formula, numbers, passes * minutes, "time")
