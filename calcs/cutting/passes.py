"""Passes from a total depth, the travel of the tool (approach, length and over-travel, each said), and their time."""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.cutting.set_up import Depths, SetUp
from calcs.messages import _
from calcs.units.argument_checks import Quantity, count, optional
from calcs.units.figures import format_plain
from calcs.units.kinds import LENGTH, TIME
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full

MOST_PASSES = 1000


@dataclass(frozen=True)
class Passes:
    """So many passes, each of a depth in mm (0 where no depth was given); `total` is all of it."""

    number: int
    depth: float
    total: float


def count_passes(sums: WorkingBuilder, depths: Depths, extra: int = 0, extra_words: str = "") -> Passes:
    """Write down the passes: total depth ÷ depth of one, rounded up; or as many as were given; and the `extra` ones.

    The last pass takes what is left, so that all reckon with the full depth of one: the power is that of a full
    pass. ValueError for more than a thousand.
    """
    total = optional(depths.total_depth, LENGTH, _("total depth"))
    each = optional(depths.depth_per_pass, LENGTH, _("depth of one pass"))
    if depths.depth_per_pass is not None and not each:
        raise ValueError(_("A pass of no depth takes nothing off. Write a depth for each pass of more than zero."))
    if depths.passes is not None:
        number = count(depths.passes, _("number of passes"), MOST_PASSES)
        each = total / number if total else each
    else:
        number = _passes_for(total, each)
        each = min(each, total) if each and total else each or total
    if total and each and number > 1:
        numbers = _("{size} ÷ {each}, rounded up", size=sums.show(total, "length"), each=sums.show(each, "length"))
        sums.line(_("passes"), _("total depth ÷ depth of one"), numbers, number, "number")
    elif number > 1:
        sums.given(_("passes"), _("number of passes"), number, "number")
    if extra:
        number += count(extra, _("number of extra passes"), MOST_PASSES)
        sums.line(_("passes"), extra_words, f"+ {extra}", number, "number")
    return Passes(number, each, total or each * number)


def _passes_for(total: float, each: float) -> int:
    if not total or not each:
        return 1
    # A hair's breadth over a whole number is rounding, not another pass.
    number = math.ceil(total / each - 1e-9)
    if number > MOST_PASSES:
        raise ValueError(
            _("That would be more than {most} passes. Write a larger depth for each pass.", most=MOST_PASSES)
        )
    return max(1, number)


def travel_line(
    sums: WorkingBuilder, set_up: SetUp, length: float, lead_in: float = 0.0, lead_words: str = ""
) -> float:
    """Write down the travel in mm: the tool's own lead-in, approach, length and over-travel."""
    before = optional(set_up.approach, LENGTH, _("approach"))
    after = optional(set_up.overtravel, LENGTH, _("over-travel"))
    more = ((lead_words or _("lead-in"), lead_in), (_("approach"), before), (_("over-travel"), after))
    named = [("L", length), *((name, size) for name, size in more if size)]
    travel = length + lead_in + before + after
    if len(named) == 1:
        sums.given("L", _("length of cut"), length, "length")
    else:
        formula = " + ".join(name for name, _size in named)
        numbers = " + ".join(sums.show(size, "length") for _name, size in named)
        sums.line(_("travel"), formula, numbers, travel, "length")
    return travel


def back_line(sums: WorkingBuilder, set_up: SetUp) -> float:
    """Write down the minutes that each return takes, where there are any."""
    back = optional(set_up.return_time, TIME, _("return time"))
    if back:
        sums.given(_("return"), _("time to wind back, for each pass"), back, "time")
    return back


def time_line(
    sums: WorkingBuilder, travel: float, rate: float, passes: int = 1, extra: float = 0.0, extra_words: str = ""
) -> Quantity:
    """Write down the time of all passes: travel ÷ rate of feed, and the `extra` minutes of each, if any."""
    numbers = f"{sums.show(travel, 'length')} ÷ {sums.show(rate, 'feed rate')}"
    formula = _("travel ÷ vf") if sums.has(_("travel")) else "L ÷ vf"
    if extra:
        formula, numbers = f"{formula} + {extra_words}", f"{numbers} + {format_in_full(extra)}"
    if passes > 1:
        if extra:
            formula, numbers = f"({formula})", f"({numbers})"
        formula, numbers = _("passes × {time}", time=formula), f"{format_plain(passes)} × {numbers}"
    return sums.line("t", formula, numbers, passes * (travel / rate + extra), "time")


def time_of_passes(
    sums: WorkingBuilder,
    set_up: SetUp,
    length: float,
    rate: float,
    passes: int,
    lead_in: float = 0.0,
    plunge: float = 0.0,
) -> Quantity:
    """Write down travel and time of passes that are `length` mm each; `plunge`: minutes before each of them."""
    travel = travel_line(sums, set_up, length, lead_in)
    extra = back_line(sums, set_up) + plunge
    return time_line(sums, travel, rate, passes, extra, _("plunge and return") if plunge else _("return"))
