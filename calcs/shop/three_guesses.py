"""A time from three guesses, the shortest, the likeliest and the longest: its mean and its spread.

Source: mean (a + 4·m + b) ÷ 6 and spread (b − a) ÷ 6, of independent works the means and the squares of the spreads
added (D. G. Malcolm, J. H. Roseboom, C. E. Clark and W. Fazar, Application of a Technique for Research and Development
Program Evaluation, Operations Research 7, 1959, pages 646 to 669; formulae from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, count
from calcs.units.kinds import TIME
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working

MOST_WORKS = 1000


@dataclass(frozen=True)
class Guessed:
    """Of all the works, in minutes: the mean, the spread (one standard deviation), and the mean of one work."""

    mean: float
    spread: float
    each: float
    working: Working


def three_guesses(shortest: Quantity, likeliest: Quantity, longest: Quantity, works: int = 1) -> Guessed:
    """Return mean and spread of a time guessed three ways, for one work or for several that are alike.

    ValueError where the three do not rise.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> found = three_guesses(Q(1, "h"), Q(2, "h"), Q(9, "h"))
    >>> found.mean / 60, round(found.spread / 60, 4)
    (3.0, 1.3333)
    """
    low, mid, high = (
        amount(shortest, TIME, _("shortest time")),
        amount(likeliest, TIME, _("likeliest time")),
        amount(longest, TIME, _("longest time")),
    )
    number = count(works, _("number of jobs"), MOST_WORKS)
    if not low <= mid <= high:
        raise ValueError(_("The three times rise: the shortest, the likeliest, the longest."))
    each, spread = (low + 4 * mid + high) / 6, (high - low) / 6
    sums = WorkingBuilder(_("Three guesses"))
    sums.given("a", _("shortest time"), low, "time")
    sums.given("m", _("likeliest time"), mid, "time")
    sums.given("b", _("longest time"), high, "time")
    a, m, b = (format_in_full(time) for time in (low, mid, high))
    sums.line(_("spread"), "(b − a) ÷ 6", f"({b} − {a}) ÷ 6", spread, "time")
    sums.line(_("mean"), "(a + 4·m + b) ÷ 6", f"({a} + 4 × {m} + {b}) ÷ 6", each, "time")
    if number > 1:
        numbers = f"{format_in_full(spread)} × √{number}"
        sums.line(_("spread of all"), _("spread·√jobs"), numbers, spread * math.sqrt(number), "time")
        sums.line(_("mean of all"), _("mean·jobs"), f"{format_in_full(each)} × {number}", each * number, "time")
    return Guessed(each * number, spread * math.sqrt(number), each, sums.working())
