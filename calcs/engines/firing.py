"""In which order the cylinders of an in-line or a V engine can fire, worked out from its crank.

A piston is at its top once a turn; in a four-stroke engine the cam fires it at every second one of those. So each
cylinder but the first has two places in the order, and every order of the crank is one choice of those (derived). Of
orders that are equally even, the one that fires the fewest neighbours one after the other is named first (common
practice).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product

from calcs.messages import _
from calcs.units.argument_checks import degrees
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working

MOST_CYLINDERS = 12
_DUST = 1e-6


@dataclass(frozen=True)
class FiringOrder:
    """One order: the cylinders, the first one first, and the degrees of the crank from each to the next."""

    cylinders: tuple[int, ...]
    gaps: tuple[float, ...]

    @property
    def unevenness(self) -> float:
        """The longest gap less the shortest, in degrees."""
        return max(self.gaps) - min(self.gaps)

    @property
    def is_even(self) -> bool:
        """Whether all gaps are the same."""
        return self.unevenness < _DUST

    def as_text(self) -> str:
        """The order as it is written: 1-3-4-2."""
        return "-".join(map(str, self.cylinders))

    def neighbours(self, apart: int) -> int:
        """How often a cylinder is followed by one beside it; `apart`: how many stand in one bank."""
        ring = (*self.cylinders, self.cylinders[0])
        return sum(abs(a - b) == 1 and (a - 1) // apart == (b - 1) // apart for a, b in pairwise(ring))


@dataclass(frozen=True)
class FiringOrders:
    """The most even orders of a crank, and the gap that is even for so many cylinders, `in_bank` in each bank."""

    orders: tuple[FiringOrder, ...]
    even_gap: float
    tops: tuple[float, ...]
    in_bank: int
    working: Working


def firing_orders(throws: Sequence[float], strokes: int = 4, vee: float | None = None) -> FiringOrders:
    """Return the most even firing orders of an engine, the fewest neighbours in succession first.

    throws: for each crank throw, how far the crank turns from the first one's top to its own, 0 to 360 degrees. vee:
    the angle between two banks where each throw carries two cylinders; the second bank's tops come so much later, and
    its cylinders are counted after the first bank's. strokes: 4 or 2. ValueError for more than twelve cylinders.

    >>> [order.as_text() for order in firing_orders([0, 180, 180, 0]).orders]
    ['1-2-4-3', '1-3-4-2']
    """
    tops = _tops(throws, vee)
    if not 1 <= len(tops) <= MOST_CYLINDERS:
        raise ValueError(_("This works out engines of one to twelve cylinders."))
    if strokes not in (2, 4):
        raise ValueError(_("An engine of this kind has two strokes or four."))
    cycle = 180 * strokes
    orders = {_order(fired, cycle) for fired in _choices(tops, strokes)}
    least = min(order.unevenness for order in orders)
    best = [order for order in orders if order.unevenness < least + _DUST]
    best.sort(key=lambda order: (order.neighbours(len(throws)), order.cylinders))
    sums = WorkingBuilder(_("Firing order"))
    sums.line(
        _("even gap"), _("{cycle}° ÷ cylinders", cycle=cycle), f"{cycle} ÷ {len(tops)}", cycle / len(tops), "angle"
    )
    _write(sums, tops, vee, len(throws))
    return FiringOrders(tuple(best), cycle / len(tops), tops, len(throws), sums.working())


def _tops(throws: Sequence[float], vee: float | None) -> tuple[float, ...]:
    """Where each cylinder is at its top, in degrees of the crank after the first."""
    first = tuple(degrees(one, _("place of a throw"), 0, 360) % 360 for one in throws)
    if vee is None:
        return first
    apart = degrees(vee, _("angle between the banks"), 0, 180)
    return (*first, *((one + apart) % 360 for one in first))


def _choices(tops: tuple[float, ...], strokes: int) -> Iterator[tuple[float, ...]]:
    """Every way in which the cylinders can fire, the first at its first top."""
    turns = (0,) if strokes == 2 else (0, 360)
    for chosen in product(turns, repeat=len(tops) - 1):
        yield tuple(top + turn for top, turn in zip(tops, (0, *chosen), strict=True))


def _order(fired: tuple[float, ...], cycle: int) -> FiringOrder:
    start = fired[0]
    at = sorted(((one - start) % cycle, number) for number, one in enumerate(fired, 1))
    ends = (*(one for one, _number in at), float(cycle))
    gaps = tuple(round(after - before, 6) for before, after in pairwise(ends))
    # The first cylinder stands first, whoever fires together with it.
    others = tuple(number for _one, number in at if number != 1)
    return FiringOrder((1, *others), gaps)


def _write(sums: WorkingBuilder, tops: tuple[float, ...], vee: float | None, throws: int) -> None:
    for number, top in enumerate(tops, 1):
        symbol, formula = _("top of {number}", number=number), _("place of its throw + angle between the banks")
        if vee is None or number <= throws:
            sums.given(symbol, _("place of its throw"), top, "angle")
        else:
            numbers = f"{format_in_full(tops[number - 1 - throws])} + {format_in_full(vee)}"
            whole = tops[number - 1 - throws] + vee
            if whole >= 360:
                numbers, formula = f"{numbers} − 360", _("the same, less a whole turn")
            sums.line(symbol, formula, numbers, top, "angle")
