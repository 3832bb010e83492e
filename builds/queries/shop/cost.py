"""What a build has cost so far and will cost: material and bought parts, as far as prices are known."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_UP, Decimal
from typing import TYPE_CHECKING

from builds.models import Build
from builds.models.choices import Role
from builds.queries.shop.sections import SectionToBuy, Wanted, place_of
from builds.queries.shop.stock import Shelf
from builds.queries.shop.to_buy import ToBuy
from builds.queries.snapshot import PartRow

if TYPE_CHECKING:
    from calcs.shop.buying import Cutting

CENT = Decimal("0.01")


@dataclass(frozen=True)
class Sum:
    """Amounts added up: of `items` in all, `unpriced` have no price that is known, and are not in the `amount`."""

    amount: Decimal = Decimal(0)
    items: int = 0
    unpriced: int = 0

    def __add__(self, other: Sum) -> Sum:
        return Sum(self.amount + other.amount, self.items + other.items, self.unpriced + other.unpriced)


@dataclass(frozen=True)
class BuildCost:
    """Material and bought parts, each so far and still to come; hours are none of it.

    What was ordered counts as spent. `hours_done` and `hours_left` are in money, None where the shop has set no figure
    for an hour, or nobody knows the hours.
    """

    build: Build
    material_so_far: Sum
    bought_so_far: Sum
    material_to_come: Sum
    bought_to_come: Sum
    hours_done: Decimal | None = None
    hours_left: Decimal | None = None

    @property
    def so_far(self) -> Sum:
        return self.material_so_far + self.bought_so_far

    @property
    def to_come(self) -> Sum:
        return self.material_to_come + self.bought_to_come

    @property
    def whole(self) -> Sum:
        return self.so_far + self.to_come

    @property
    def left(self) -> Decimal | None:
        """What the budget leaves, 0 where it is passed; None without one. What is unpriced would lessen it."""
        return None if self.build.budget is None else max(Decimal(0), self.build.budget - self.whole.amount)

    @property
    def over(self) -> Decimal | None:
        """How much more than the budget it is, 0 where it is not; None without a budget."""
        return None if self.build.budget is None else max(Decimal(0), self.whole.amount - self.build.budget)


def cost_of(to_buy: ToBuy, shelf: Shelf, hours: tuple[float, float | None] | None = None) -> BuildCost:
    """From what was read already, without a query. hours: done, and left at an even chance."""
    build = to_buy.snapshot.build
    ordered = [one for one in to_buy.unread if one.ordered]
    posted = [one for one in to_buy.by_post if one.line.part.role == Role.BOUGHT]
    used = [(line, number) for line in to_buy.snapshot.parts if (number := blanks_used(line))]
    figure = build.hourly_figure
    done, left = (None, None) if hours is None or figure is None else hours
    return BuildCost(
        build,
        material_so_far=_sum(_times(cost_of_blank(line, shelf, to_buy.cutting, build), n) for line, n in used)
        + _sum(_times(one.line.part.blank_cost, one.blanks) for one in ordered),
        bought_so_far=_sum(_price(one) for one in posted if had_or_ordered(one)),
        material_to_come=_sum(cost for one in to_buy.sections if (cost := _section_cost(one)) != 0)
        + _sum(_price(one) for one in (*to_buy.unread, *to_buy.unsaid) if not one.ordered),
        bought_to_come=_sum(_price(one) for one in posted if not had_or_ordered(one)),
        hours_done=_in_money(done, figure),
        hours_left=_in_money(left, figure),
    )


def blanks_used(line: PartRow) -> int:
    """Blanks that were started: of the batches, or as many as the log has seen at the first operation.

    A part that somebody said is finished took what it needs at least.
    """
    part = line.part
    if part.is_work or part.role == Role.BOUGHT:
        return 0
    seen = line.count.passed[0] + line.operations[0].plan.scrap if line.operations else 0
    said = part.quantity if line.plan.marked_finished else 0
    return max(seen, said, line.plan.blanks_started)


def had_or_ordered(one: Wanted) -> bool:
    return one.ordered or one.line.plan.marked_finished


def cost_of_blank(line: PartRow, shelf: Shelf, cutting: Cutting, build: Build) -> Decimal | None:
    """What one blank of a part costs: as the part says, else its share of the cheapest length on sale. None: unknown.

    The share of a bar is that of the blank with its saw cut; of a plate, that of its area with the allowance.
    """
    from calcs.shop.stock_texts import blank_of_text

    part = line.part
    if part.blank_cost is not None:
        return part.blank_cost
    size = blank_of_text(part.blank, build.length_unit)
    if size is None:
        return None
    key = place_of(shelf, part.material_id, size)
    area = size.as_plate().face_mm2 if size.either else size.face_mm2
    shares = []
    for offer, whole in shelf.offers.get(key, []):
        if offer.price is not None:
            plate = key[1][0] == "plate"
            taken = area * (1 + cutting.plate_allowance) if plate else size.length_mm + cutting.kerf_mm
            shares.append(offer.price * Decimal(taken / (whole.face_mm2 if plate else whole.length_mm)))
    return min(shares).quantize(CENT, ROUND_UP) if shares else None


def _section_cost(section: SectionToBuy) -> Decimal | None:
    """What is bought of it; where that has no price, what the parts say of their blanks."""
    if section.cost is not None:
        return section.cost
    blanks = _sum(_price(one) for one in section.wanted)
    return None if blanks.unpriced else blanks.amount


def _price(one: Wanted) -> Decimal | None:
    return _times(one.line.part.blank_cost, one.blanks)


def _times(cost: Decimal | None, number: int) -> Decimal | None:
    return None if cost is None else cost * number


def _sum(costs: Iterable[Decimal | None]) -> Sum:
    every = list(costs)
    known = [cost for cost in every if cost is not None]
    return Sum(sum(known, Decimal(0)), len(every), len(every) - len(known))


def _in_money(hours: float | None, figure: Decimal | None) -> Decimal | None:
    return None if hours is None or figure is None else (Decimal(hours) * figure).quantize(CENT)
