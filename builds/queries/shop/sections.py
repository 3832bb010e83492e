"""One material and section of what a build still takes: what the rack gives, and what is bought of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING

from builds.models import Material, Offer
from builds.queries.shop.stock import SectionKey, Shelf
from builds.queries.snapshot import PartRow
from calcs.units.registry import LengthUnit

if TYPE_CHECKING:
    from calcs.shop.buying import BarJob, Cutting, PlateJob
    from calcs.shop.stock_texts import SizedStock, StockSection


@dataclass(frozen=True)
class Wanted:
    """A part with the blanks still to be started for it; `refusal` says why their number is a guess.

    `size` is one blank's, None where its text describes none that can be read.
    """

    line: PartRow
    blanks: int
    size: SizedStock | None = None
    refusal: str = ""

    @property
    def ordered(self) -> bool:
        """Whether such blanks come by post, and are on their way or here."""
        return self.line.part.ordered_on is not None or self.line.part.arrived_on is not None


@dataclass(frozen=True)
class Purchase:
    """So many of one length (or plate) that is bought; `offer` is None where that is only assumed to be on sale."""

    offer: Offer | None
    length_mm: float
    number: int
    volume_mm3: float

    @property
    def cost(self) -> Decimal | None:
        return None if self.offer is None or self.offer.price is None else self.offer.price * self.number


@dataclass(frozen=True)
class SectionToBuy:
    """One material and section: the blanks wanted of it, how they are cut, and what is bought for them.

    Either `bars` or `plate` is there; neither where `refusal` says why nothing was worked out.
    """

    material: Material | None
    section: StockSection
    wanted: tuple[Wanted, ...]
    bars: BarJob | None
    plate: PlateJob | None
    purchases: tuple[Purchase, ...]
    refusal: str = ""
    stock_words: Mapping[float, str] = field(default_factory=dict)
    """What each length of bar is called, in the rack or bought."""

    @property
    def cost(self) -> Decimal | None:
        """What is bought of it, None where a price is not known. Nothing to buy costs nothing."""
        costs = [one.cost for one in self.purchases]
        known = [cost for cost in costs if cost is not None]
        return sum(known, Decimal(0)) if self.complete and len(known) == len(costs) else None

    @property
    def complete(self) -> bool:
        """Whether the purchases are all that is missing."""
        if self.refusal:
            return False
        if self.bars is not None:
            return not self.bars.too_long
        return (
            self.plate is not None and not self.plate.too_large and (not self.plate.missing_mm2 or bool(self.purchases))
        )

    @property
    def too_large_in_words(self) -> list[tuple[str, int]]:
        """The sides of the blanks that fit on no plate there is, with how many."""
        from calcs.shop.stock_texts import length_in_words

        unit = self.section.unit
        return [
            (" × ".join(length_in_words(side, unit) for side in sides), number)
            for sides, number in (self.plate.too_large if self.plate else ())
        ]

    @property
    def grams(self) -> float | None:
        """The mass of what is bought, None without a density."""
        density = self.material.density if self.material else None
        return None if not density else self._volume_mm3 * density / 1e6

    @property
    def _volume_mm3(self) -> float:
        if self.plate is not None and not self.purchases:
            return self.plate.missing_mm2 * self.section.sizes_mm[0]
        return sum(one.volume_mm3 * one.number for one in self.purchases)


def place_of(shelf: Shelf, material: int | None, size: SizedStock) -> SectionKey:
    """What a blank is cut from; a flat one that does not say is cut from plate, unless there is such a bar."""
    for way in size.ways_to_cut():
        if shelf.knows(key := (material, way.section.key)):
            return key
    return key


def section_of(
    shelf: Shelf, key: SectionKey, some: list[Wanted], cutting: Cutting, unit: LengthUnit, seconds: float
) -> SectionToBuy:
    from calcs.shop.stock_texts import length_in_words

    sized = [
        (one.blanks, next(way for way in one.size.ways_to_cut() if way.section.key == key[1]))
        for one in some
        if one.size is not None
    ]
    section, material = sized[0][1].section, some[0].line.part.material
    offers = shelf.offers.get(key, [])
    rack = [(size, row.pieces) for row, size in shelf.rack.get(key, []) if row.pieces]
    try:
        if section.shape == "plate":
            plate, purchases = _plate(sized, rack, offers, cutting)
            words = {size.sides_mm[0]: size.size_in_words for _offer, size in offers}
            return SectionToBuy(material, section, tuple(some), None, plate, purchases, stock_words=words)
        words = {cutting.bar_mm: length_in_words(cutting.bar_mm, unit)}
        words |= {size.length_mm: size.size_in_words for size, _row in (*rack, *((size, one) for one, size in offers))}
        bars, purchases = _bars(section, sized, rack, offers, cutting, seconds)
        return SectionToBuy(material, section, tuple(some), bars, None, purchases, stock_words=words)
    except ValueError as error:
        return SectionToBuy(material, section, tuple(some), None, None, (), str(error))


def _bars(
    section: StockSection,
    sized: list[tuple[int, SizedStock]],
    rack: list[tuple[SizedStock, int]],
    offers: list[tuple[Offer, SizedStock]],
    cutting: Cutting,
    seconds: float,
) -> tuple[BarJob, tuple[Purchase, ...]]:
    from calcs.shop.buying import cut_bars

    pieces, there = Counter[float](), Counter[float]()
    for number, size in sized:
        pieces[size.length_mm] += number
    for size, number in rack:
        there[size.length_mm] += number
    # Of two offers of one length the cheaper; one without a price only where there is no other.
    best: dict[float, Offer] = {}
    for offer, size in sorted(offers, key=lambda one: (one[0].price is None, one[0].price or 0)):
        best.setdefault(size.length_mm, offer)
    sale = [(mm, None if offer.price is None else float(offer.price)) for mm, offer in best.items()]
    job = cut_bars(tuple(pieces.items()), tuple(there.items()), sale, cutting, seconds)
    bought = Counter(bar.stock_mm for bar in job.plan.bars if bar.bought) if job.plan else Counter[float]()
    purchases = (Purchase(best.get(mm), mm, number, section.area_mm2 * mm) for mm, number in sorted(bought.items()))
    return job, tuple(purchases)


def _plate(
    sized: list[tuple[int, SizedStock]],
    rack: list[tuple[SizedStock, int]],
    offers: list[tuple[Offer, SizedStock]],
    cutting: Cutting,
) -> tuple[PlateJob, tuple[Purchase, ...]]:
    from calcs.shop.buying import cut_plates

    job = cut_plates(
        [(size.sides_mm, number) for number, size in sized],
        [(size.sides_mm, number) for size, number in rack],
        [(size.sides_mm, None if offer.price is None else float(offer.price)) for offer, size in offers],
        cutting.plate_allowance,
    )
    if job.sheets is None:
        return job, ()
    place, number = job.sheets
    offer, size = offers[place]
    return job, (Purchase(offer, size.sides_mm[0], number, size.volume_mm3),)


def in_order(section: SectionToBuy) -> tuple[str, str, tuple[float, ...]]:
    name = section.material.name if section.material else ""
    return name.casefold(), section.section.shape, section.section.sizes_mm
