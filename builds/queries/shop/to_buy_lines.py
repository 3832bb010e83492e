"""The lines of the two lists: what the supplier is asked for, and what the saw cuts. Page and tables read the same."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from builds.queries.repeats.material import mass_in_words
from builds.queries.shop.sections import SectionToBuy
from builds.queries.shop.to_buy import ToBuy
from calcs.messages import _
from calcs.units.registry import LengthUnit


@dataclass(frozen=True)
class PurchaseLine:
    """One line for the supplier. `number` is None where only an area of plate is known; amounts are None: not known.

    `least` is what a merchant who cuts to length is asked for, where no length on sale is recorded.
    """

    material: str
    section: str
    number: int | None
    size: str
    grams: float | None
    price: Decimal | None
    cost: Decimal | None
    supplier: str
    least: str

    @property
    def mass(self) -> str:
        """In words; empty where it is not known."""
        return "" if self.grams is None else mass_in_words(self.grams)


@dataclass(frozen=True)
class CutLine:
    """Bars that are cut alike: so many of one length, from the rack or bought, and what comes out of each."""

    number: int
    bar: str
    bought: bool
    cuts: str
    left: str


@dataclass(frozen=True)
class SectionCuts:
    """What the saw does with one section. `ready` stands in the rack at its length, `too_long` comes out of no bar."""

    material: str
    section: str
    lines: tuple[CutLine, ...]
    ready: str
    too_long: str
    how_sure: str
    proved: bool


def purchase_lines(to_buy: ToBuy) -> tuple[PurchaseLine, ...]:
    return tuple(line for section in to_buy.sections for line in _purchases(section))


def cut_lines(to_buy: ToBuy) -> tuple[SectionCuts, ...]:
    """Section by section; plates are cut as they come, so they are no part of it but by what fits on none."""
    return tuple(_cuts(section) for section in to_buy.sections if section.bars is not None)


def how_sure_of(cuts: Iterable[SectionCuts]) -> tuple[str, ...]:
    """What is said of how sure the cutting is, each sentence once."""
    return tuple(dict.fromkeys(section.how_sure for section in cuts if section.how_sure))


def material_of(section: SectionToBuy) -> str:
    return section.material.name if section.material else _("no material said")


def _purchases(section: SectionToBuy) -> Iterator[PurchaseLine]:
    named = (material_of(section), section.section.in_words)
    density = section.material.density if section.material else None
    for one in section.purchases:
        offer = one.offer
        grams = None if not density else one.volume_mm3 * one.number * density / 1e6
        price, supplier = (None, "") if offer is None else (offer.price, offer.supplier)
        size, least = section.stock_words[one.length_mm], "" if offer else _least(section)
        yield PurchaseLine(*named, one.number, size, grams, price, one.cost, supplier, least)
    if section.plate is not None and section.plate.missing_mm2 and not section.purchases:
        size = area_in_words(section.plate.missing_mm2, section.section.unit)
        yield PurchaseLine(*named, None, size, section.grams, None, None, "", "")


def _least(section: SectionToBuy) -> str:
    """How much of the bars bought is used, the ends that are held among it, rounded up."""
    from calcs.shop.stock_texts import at_least_in_words

    plan = section.bars.plan if section.bars else None
    if plan is None:
        return ""
    used = sum(bar.stock_mm - bar.left_mm for bar in plan.bars if bar.bought)
    return at_least_in_words(used, section.section.unit)


def area_in_words(area_mm2: float, unit: LengthUnit) -> str:
    """An area of plate, rounded up: it is never less than what is wanted."""
    if unit == "in":
        return _("{area} in²", area=f"{math.ceil(area_mm2 / 25.4**2 * 10 - 1e-6) / 10:,.1f}")
    return _("{area} cm²", area=f"{math.ceil(area_mm2 / 100 - 1e-6):,}")


def names_of(section: SectionToBuy) -> dict[float, str]:
    """What each length of a section is called: as it was typed, and for which parts."""
    said: dict[float, tuple[str, list[str]]] = defaultdict(lambda: ("", []))
    for one in section.wanted:
        if one.size is not None:
            numbers = [*said[one.size.length_mm][1], one.line.part.number]
            said[one.size.length_mm] = (one.size.size_in_words, numbers)
    return {mm: f"{words} ({', '.join(numbers)})" for mm, (words, numbers) in said.items()}


def _cuts(section: SectionToBuy) -> SectionCuts:
    from calcs.shop.bars_words import cut_alike, cuts_in_words, how_sure
    from calcs.shop.stock_texts import at_most_in_words

    job, names, unit = section.bars, names_of(section), section.section.unit
    if job is None:
        raise ValueError("Only bars are cut up.")
    plan = job.plan
    lines = tuple(
        CutLine(
            number,
            section.stock_words[bar.stock_mm],
            bar.bought,
            cuts_in_words(bar, names),
            at_most_in_words(bar.left_mm, unit),
        )
        for bar, number in (cut_alike(plan) if plan else ())
    )
    by_price = all(one.cost is not None for one in section.purchases) and bool(section.purchases)
    return SectionCuts(
        material_of(section),
        section.section.in_words,
        lines,
        ready=", ".join(f"{number} × {names[mm]}" for mm, number in job.ready),
        too_long=", ".join(f"{number} × {names[mm]}" for mm, number in job.too_long),
        how_sure=how_sure(plan, by_price=by_price) if plan and section.purchases else "",
        proved=plan is None or not plan.gap,
    )
