"""What must be bought of one section: the rack goes first, and what is missing comes in the lengths that are on sale.

Bars are cut up exactly (calcs.shop.bars). Plates go by area with an allowance for the saw and for what no blank comes
out of: a share, common practice. Lengths are millimetres, areas mm²; nothing is rounded down.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

from calcs.messages import ngettext

if TYPE_CHECKING:
    from calcs.shop.bars import CuttingPlan

# Lengths with how many of each, and lengths on sale with the price of one, None where it is not known.
Counted: TypeAlias = tuple[tuple[float, int], ...]
Priced: TypeAlias = Sequence[tuple[float, float | None]]
Sides: TypeAlias = tuple[float, float]

SLACK_MM = 1e-6
"""What lengths may differ by in binary."""


@dataclass(frozen=True)
class Cutting:
    """How bars are cut: the saw cut, the end that the chuck holds, and the length that is taken to be on sale where
    nobody has said. `plate_allowance` is the share that plate is bought over the area of its blanks.

    The figures that stand here are common practice for a small shop.
    """

    kerf_mm: float = 3.0
    end_mm: float = 15.0
    bar_mm: float = 1000.0
    plate_allowance: float = 0.15


@dataclass(frozen=True)
class BarJob:
    """The bars of one section. `ready` stand in the rack at their length; `too_long` come out of no bar there is.

    `plan` cuts the others, None where there are none. `assumed` says that nobody has recorded a length on sale.
    """

    ready: Counted
    too_long: Counted
    plan: CuttingPlan | None
    assumed: bool


@dataclass(frozen=True)
class PlateJob:
    """The plate of one thickness: the area of the blanks, with the allowance, in the rack, and still missing.

    `too_large` are the blanks (by their sides, with how many) that fit on no plate there is. `sheets` says how many of
    which plate on sale (its place in the list) give the missing area for the least; None where none is on sale.
    """

    blanks_mm2: float
    wanted_mm2: float
    rack_mm2: float
    missing_mm2: float
    too_large: tuple[tuple[Sides, int], ...]
    sheets: tuple[int, int] | None


def cut_bars(pieces: Counted, rack: Counted, sale: Priced, cutting: Cutting, seconds: float = 2.0) -> BarJob:
    """Return what to cut from which bar. `rack`: lengths with how many are there. ValueError as for `cut_up`.

    >>> job = cut_bars(((40.0, 3),), ((40.0, 1),), [(100.0, None)], Cutting(kerf_mm=2, end_mm=0))
    >>> job.ready, [bar.pieces_mm for bar in job.plan.bars]
    (((40.0, 1),), [(40.0, 40.0)])
    """
    from calcs.shop.bars import cut_up

    left = dict(rack)
    ready, open_ones = [], []
    for length, number in pieces:
        found = next((one for one in left if abs(one - length) <= SLACK_MM), length)
        taken = min(number, left.get(found, 0))
        if taken:
            ready.append((length, taken))
            left[found] -= taken
        if number > taken:
            open_ones.append((length, number - taken))
    on_sale = list(sale) or [(cutting.bar_mm, None)]
    longest = max(_room(length, cutting) for length, _price in on_sale)
    in_rack = sorted(_room(length, cutting) for length, number in left.items() for _one in range(number))
    fitting, too_long = _parted(open_ones, longest, in_rack, cutting.kerf_mm)
    stock = [
        *((length, price, None) for length, price in on_sale),
        *((length, None, n) for length, n in left.items() if n),
    ]
    plan = cut_up(fitting, stock, cutting.kerf_mm, cutting.end_mm, seconds) if fitting else None
    return BarJob(tuple(ready), tuple(too_long), plan, not sale)


def taken_from_rack(length: float, number: int, rack: Counted, kerf: float) -> tuple[tuple[float, int, float], ...]:
    """Return which bars of the rack give so many pieces: the length of each, the pieces cut from it, what is left.

    What has the length already is taken as it is; then the bars of which the least is used up. ValueError, with a
    sentence, where the rack does not suffice.

    >>> taken_from_rack(40.0, 3, ((40.0, 1), (100.0, 2)), kerf=2.0)
    ((40.0, 1, 0.0), (100.0, 2, 16.0))
    """
    from calcs.shop.bars import cut_up

    cutting = Cutting(kerf, 0.0)
    left = dict(rack)
    as_it_is = next((one for one in left if abs(one - length) <= SLACK_MM), length)
    ready = min(number, left.pop(as_it_is, 0))
    rooms = [int((_room(one, cutting) + SLACK_MM) // (length + kerf)) * many for one, many in left.items()]
    if number > ready + sum(rooms):
        there = ready + sum(rooms)
        message = ngettext(
            "The rack gives {n} such blank, not {asked}.",
            "The rack gives {n} such blanks, not {asked}.",
            there,
            asked=number,
        )
        raise ValueError(message)
    plan = cut_up([(length, number - ready)], [(one, None, many) for one, many in left.items() if many], kerf, 0.0)
    cut = ((bar.stock_mm, len(bar.pieces_mm), bar.left_mm) for bar in plan.bars)
    return (*((as_it_is, 1, 0.0) for _one in range(ready)), *cut)


def _room(length: float, cutting: Cutting) -> float:
    """Return what of a bar can be used; where nothing is held, the last piece may end where the bar does."""
    return length - cutting.end_mm + (0.0 if cutting.end_mm else cutting.kerf_mm) + SLACK_MM


def _parted(
    pieces: list[tuple[float, int]], longest: float, in_rack: list[float], kerf: float
) -> tuple[list[tuple[float, int]], list[tuple[float, int]]]:
    """Part the pieces that come out of some bar from those that come out of none.

    What is longer than all that is on sale is put into the shortest bar of the rack that still holds it.
    """
    fitting, too_long = [], []
    for length, number in sorted(pieces, reverse=True):
        here = number if length + kerf <= longest else 0
        while here < number and (place := _first_that_holds(in_rack, length + kerf)) is not None:
            in_rack[place] -= length + kerf
            here += 1
        fitting += [(length, here)] if here else []
        too_long += [(length, number - here)] if number > here else []
    return fitting, too_long


def _first_that_holds(rooms: list[float], size: float) -> int | None:
    return next((place for place, room in enumerate(rooms) if room >= size), None)


def cut_plates(
    blanks: Sequence[tuple[Sides, int]],
    rack: Sequence[tuple[Sides, int]],
    sale: Sequence[tuple[Sides, float | None]],
    allowance: float,
) -> PlateJob:
    """Return how much plate is missing. Sides stand with the longer first. Plates that hold no blank do not count.

    >>> job = cut_plates([((100.0, 50.0), 4)], [((110.0, 60.0), 1)], [((300.0, 200.0), 9.0)], 0.25)
    >>> job.wanted_mm2, job.missing_mm2, job.sheets
    (25000.0, 18400.0, (0, 1))
    """
    there = [sides for sides, number in rack if number] + [sides for sides, _price in sale]
    too_large = tuple((sides, number) for sides, number in blanks if there and not any(_holds(p, sides) for p in there))
    large = dict(too_large)
    good = [(sides, number) for sides, number in blanks if sides not in large]
    area = sum(sides[0] * sides[1] * number for sides, number in good)
    in_rack = sum(
        plate[0] * plate[1] * number for plate, number in rack if any(_holds(plate, sides) for sides, _number in good)
    )
    wanted = area * (1 + allowance)
    missing = max(0.0, wanted - in_rack)
    return PlateJob(area, wanted, in_rack, missing, too_large, _sheets(good, sale, missing))


def _sheets(
    blanks: Sequence[tuple[Sides, int]], sale: Sequence[tuple[Sides, float | None]], missing: float
) -> tuple[int, int] | None:
    """Return the plate on sale whose whole number costs least, by price where all have one, else by area."""
    usable = [place for place, (plate, _price) in enumerate(sale) if all(_holds(plate, sides) for sides, _n in blanks)]
    if not usable or missing <= 0:
        return None
    numbers = {place: math.ceil(missing / (sale[place][0][0] * sale[place][0][1]) - 1e-9) for place in usable}
    by_price = all(sale[place][1] is not None for place in usable)

    def worth(place: int) -> float:
        (long, wide), price = sale[place]
        return numbers[place] * (float(price or 0.0) if by_price else long * wide)

    best = min(usable, key=worth)
    return best, numbers[best]


def _holds(plate: Sides, blank: Sides) -> bool:
    return all(side + SLACK_MM >= least for side, least in zip(plate, blank, strict=True))
