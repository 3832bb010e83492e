"""What stands in the rack, by what it can be cut into, and whether a part's material is there."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias, TypeVar

from builds.models import Build, Offer, Part, Stock
from builds.queries.repeats.material import CUT_MM
from calcs.units.registry import LengthUnit

if TYPE_CHECKING:
    from calcs.shop.stock_texts import SizedStock

# A material and the section's own key: what is the same in both can be cut from the same stock.
SectionKey: TypeAlias = "tuple[int | None, tuple[str, tuple[float, ...]]]"
Item = TypeVar("Item", Stock, Offer)


@dataclass(frozen=True)
class Shelf:
    """The rack, and what can be bought, each row with its size, by material and section."""

    rack: dict[SectionKey, list[tuple[Stock, SizedStock]]]
    offers: dict[SectionKey, list[tuple[Offer, SizedStock]]]

    def knows(self, key: SectionKey) -> bool:
        return key in self.rack or key in self.offers


def read_shelf() -> Shelf:
    """Two queries."""
    return Shelf(_sized(Stock.objects.select_related("material")), _sized(Offer.objects.select_related("material")))


def material_at_hand(build: Build) -> dict[str, bool | None]:
    """Whether the rack has the stock for one blank more, by the part's number. Two queries.

    None where nobody keeps such stock: the part says no blank that can be read or no material, or the rack has no row
    of that material and section. A row of no pieces says that such stock is kept and that none is left.
    """
    rack = _sized(Stock.objects.all())
    rows = Part.objects.filter(build=build).values_list("number", "material_id", "blank")
    return {number: _at_hand(rack, material, blank, build.length_unit) for number, material, blank in rows}


def bar_at_hand(part: Part) -> bool:
    """Whether the rack has a bar for one blank more of a part. One query; none where the part says too little."""
    from calcs.shop.stock_texts import PLATE

    rack = _sized(Stock.objects.filter(material=part.material_id)) if part.material_id and part.blank else {}
    bars = {key: rows for key, rows in rack.items() if key[1][0] != PLATE}
    return bool(_at_hand(bars, part.material_id, part.blank, part.build.length_unit))


def _at_hand(
    rack: dict[SectionKey, list[tuple[Stock, SizedStock]]], material: int | None, text: str, unit: LengthUnit
) -> bool | None:
    from calcs.shop.stock_texts import blank_of_text

    blank = blank_of_text(text, unit) if material is not None and text else None
    ways = blank.ways_to_cut() if blank else ()
    kept = [(way, rows) for way in ways if (rows := rack.get((material, way.section.key)))]
    if not kept:
        return None
    return any(row.pieces and size.gives(way, CUT_MM) for way, rows in kept for row, size in rows)


def _sized(items: Iterable[Item]) -> dict[SectionKey, list[tuple[Item, SizedStock]]]:
    from calcs.shop.stock_texts import stock_of_texts

    found: dict[SectionKey, list[tuple[Item, SizedStock]]] = defaultdict(list)
    for item in items:
        try:
            size = stock_of_texts(item.section, item.length, item.length_unit)
        except ValueError:  # written past the forms, or by a reader that understood more
            continue
        found[item.material_id, size.section.key].append((item, size))
    return dict(found)
