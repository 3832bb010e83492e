"""The material that a build still takes, section by section: what the rack gives, and what must be bought."""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from builds.models import Build
from builds.models.choices import Role
from builds.queries.repeats.blanks import shop_yield, start_of, usual_question
from builds.queries.shop.sections import SectionToBuy, Wanted, in_order, place_of, section_of
from builds.queries.shop.stock import SectionKey, Shelf, read_shelf
from builds.queries.snapshot import BuildSnapshot, PartRow, read_snapshot
from calcs.parts.remaining import nothing_left

if TYPE_CHECKING:
    from calcs.parts.yields import ShopYield
    from calcs.shop.buying import Cutting

# A page is waited for no longer; what is then known of the best is said.
SECONDS = 1.5


@dataclass(frozen=True)
class ToBuy:
    """Everything that is still to be had for a build.

    `unread` are parts whose blank's text could not be read as a size, `unsaid` those that say no blank; `by_post` are
    bought parts, and others that were ordered.
    """

    snapshot: BuildSnapshot
    cutting: Cutting
    sections: tuple[SectionToBuy, ...]
    unread: tuple[Wanted, ...]
    unsaid: tuple[Wanted, ...]
    by_post: tuple[Wanted, ...]

    @property
    def allowance_percent(self) -> str:
        return f"{self.cutting.plate_allowance * 100:g}"

    @property
    def has_plate(self) -> bool:
        return any(one.plate for one in self.sections)

    @property
    def assumes(self) -> bool:
        """Whether a bar is bought in a length that nobody has recorded."""
        return any(one.bars and one.bars.assumed and one.purchases for one in self.sections)

    @property
    def refused(self) -> tuple[SectionToBuy, ...]:
        return tuple(one for one in self.sections if one.refusal)

    @cached_property
    def guessed(self) -> tuple[Wanted, ...]:
        """Parts of which no number of blanks would do at the confidence."""
        return tuple(one for section in self.sections for one in section.wanted if one.refusal)


def read_to_buy(build: Build, today: date, cutting: Cutting, seconds: float = SECONDS) -> ToBuy:
    """Nine queries for the build, two for the rack and what is on sale."""
    return to_buy_of(read_snapshot(build, today), read_shelf(), cutting, seconds)


def to_buy_of(snapshot: BuildSnapshot, shelf: Shelf, cutting: Cutting, seconds: float = SECONDS) -> ToBuy:
    """The same from what was read already. No query."""
    wanted = [] if snapshot.state.finished else list(_wanted(snapshot))
    grouped: dict[SectionKey, list[Wanted]] = defaultdict(list)
    for one in wanted:
        if one.size is not None:
            grouped[place_of(shelf, one.line.part.material_id, one.size)].append(one)
    until, unit = time.monotonic() + seconds, snapshot.build.length_unit
    sections = []
    for left, (key, some) in zip(range(len(grouped), 0, -1), grouped.items(), strict=True):
        # Each of those left has its share of the time that is left.
        share = max(0.1, (until - time.monotonic()) / left)
        sections.append(section_of(shelf, key, some, cutting, unit, share))
    sections.sort(key=in_order)
    return ToBuy(
        snapshot,
        cutting,
        tuple(sections),
        unread=tuple(one for one in wanted if one.size is None and one.line.part.blank),
        unsaid=tuple(one for one in wanted if one.size is None and not one.line.part.blank),
        by_post=tuple(_by_post(snapshot, {one.line.part.pk: one for one in wanted})),
    )


def _wanted(snapshot: BuildSnapshot) -> Iterator[Wanted]:
    """The parts that are made, of which blanks have still to be started."""
    from calcs.shop.stock_texts import blank_of_text

    shop = shop_yield(snapshot)
    for line in snapshot.parts:
        part = line.part
        if part.is_work or part.role == Role.BOUGHT or nothing_left(line.plan):
            continue
        blanks, refusal = blanks_to_start(snapshot, line, shop)
        if blanks:
            yield Wanted(line, blanks, blank_of_text(part.blank, snapshot.build.length_unit), refusal)


def blanks_to_start(snapshot: BuildSnapshot, line: PartRow, shop: ShopYield | None = None) -> tuple[int, str]:
    """How many blanks are still to be started, as the part's page of blanks answers its usual question.

    Where no number would do, the pieces still needed, with the sentence that says so.
    """
    start = start_of(snapshot, line, usual_question(line.part), shop)
    if not start.needed or not start.beliefs:
        return start.needed, ""
    try:
        return start.blanks, ""
    except ValueError as error:
        return start.needed, str(error)


def _by_post(snapshot: BuildSnapshot, wanted: Mapping[int, Wanted]) -> Iterator[Wanted]:
    for line in snapshot.parts:
        part = line.part
        if part.role == Role.BOUGHT:
            yield Wanted(line, part.quantity_with_spares)
        elif part.ordered_on is not None or part.arrived_on is not None:
            yield wanted.get(part.pk) or Wanted(line, part.quantity_with_spares)
