"""The drills there are, and the one nearest to a wanted size.

Number and letter drills come from `calcs.typed.lengths_sizes`; fractional drills go by 1/64 in to 1 in; metric ones by
0.05 mm to 3 mm, by 0.1 mm to 14 mm and by 0.5 mm to 40 mm (common sets, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from calcs.messages import _
from calcs.typed.lengths_sizes import LETTER_DRILLS, NUMBER_DRILLS
from calcs.units.argument_checks import Quantity, amount
from calcs.units.kinds import INCH, LENGTH
from calcs.units.registry import registry
from calcs.working.builder import WorkingBuilder
from calcs.working.result import Working

SETS = ("number", "letter", "fraction", "metric")


@dataclass(frozen=True)
class Drill:
    """A drill by its name, its set and its diameter in mm, exact."""

    name: str
    set: str
    mm: Fraction

    @property
    def diameter(self) -> Quantity:
        """The diameter, in mm for metric drills and in inches for the others."""
        unit, size = ("millimeter", self.mm) if self.set == "metric" else ("inch", self.mm / INCH)
        quantity: Quantity = registry().Quantity(float(size), unit)
        return quantity


@dataclass(frozen=True)
class NearestDrill:
    """The drill nearest to a size, and those next to it on either side (None beyond the sets)."""

    nearest: Drill
    below: Drill | None
    above: Drill | None
    working: Working


@cache
def drills() -> tuple[Drill, ...]:
    """Return all drills, the smallest first."""
    found = [Drill(f"#{number}", "number", size) for number, size in NUMBER_DRILLS.items()]
    found += [Drill(letter.upper(), "letter", size) for letter, size in LETTER_DRILLS.items()]
    found += [Drill(f"{Fraction(n, 64)} in", "fraction", Fraction(n, 64) * INCH) for n in range(1, 65)]
    metric = {Fraction(n, 20) for n in range(6, 61)} | {Fraction(n, 10) for n in range(30, 141)}
    metric |= {Fraction(n, 2) for n in range(28, 81)}
    found += [Drill(f"{float(size):g} mm", "metric", size) for size in metric]
    return tuple(sorted(found, key=lambda drill: (drill.mm, SETS.index(drill.set))))


def nearest_drill(size: Quantity, sets: tuple[str, ...] = SETS) -> NearestDrill:
    """Return the drill nearest to a size out of the sets that the shop has.

    sets: some of "number", "letter", "fraction", "metric". ValueError for others, or for a size of zero or less.

    >>> from calcs.units.registry import registry
    >>> found = nearest_drill(registry().Quantity(5.1, "mm"), ("number",))
    >>> found.nearest.name, found.below.name, found.above.name
    ('#7', '#8', '#7')
    """
    wanted = amount(size, LENGTH, _("size of the hole"))
    if not sets or set(sets) - set(SETS):
        raise ValueError(_("The sets of drills are number, letter, fraction and metric; name one at least."))
    has = [drill for drill in drills() if drill.set in sets]
    nearest = min(has, key=lambda drill: abs(float(drill.mm) - wanted))
    below = max((one for one in has if float(one.mm) <= wanted * (1 + 1e-9)), key=lambda one: one.mm, default=None)
    above = min((one for one in has if float(one.mm) >= wanted * (1 - 1e-9)), key=lambda one: one.mm, default=None)
    sums = WorkingBuilder(_("Nearest drill"), size)
    sums.given(_("wanted"), _("size of the hole"), wanted, "length")
    sums.line(_("difference"), _("nearest − wanted"), "", round(float(nearest.mm) - wanted, 9), "length")
    sums.line(nearest.name, _("the nearest drill of the sets named"), "", float(nearest.mm), "length")
    return NearestDrill(nearest, below, above, sums.working())
