"""A sheet for beginners: sums made from a part's real numbers, each with its answer worked out.

Nothing on a sheet is invented: a sum is left out where the part does not say a number that it needs. Which of the
possible sums stand on it, and about which figures, is chosen by the part, so that no two parts give the same sheet.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from builds.models import Part
from builds.queries.plan.worksheet import areas, decimals, formulae, solids, whole_metal, whole_numbers
from builds.queries.plan.worksheet.facts import Facts
from builds.queries.plan.worksheet.lines import Sum
from builds.queries.plan.worksheet.scale import full_size
from builds.queries.snapshot import read_parts
from calcs.messages import gettext_noop

Maker = Callable[[Facts], Sum | None]
# Sums that are much alike: a sheet has one of them.
Alike = tuple[Maker, ...]
# Three to a page, and two pages.
ON_A_PAGE, MOST = 3, 6

LEVELS = {
    1: gettext_noop("Whole numbers and fractions"),
    2: gettext_noop("Decimals and area"),
    3: gettext_noop("Formulae"),
}
# What may stand on a sheet beside full size and model, the easiest first.
MAKERS: dict[int, tuple[Alike, ...]] = {
    1: (
        (whole_numbers.pieces_to_make,), (whole_metal.batches_together,), (whole_metal.half_of_it,),
        (whole_metal.longer_than_wide, whole_metal.round_the_edge), (whole_numbers.holes_in_all,),
        (whole_numbers.part_of_a_turn,), (whole_numbers.counted_work,), (whole_numbers.one_after_the_other,),
        (whole_metal.sharing_the_set_up,), (whole_numbers.logged_hours,), (whole_metal.good_ones,),
        (whole_metal.time_for_all,), (whole_metal.longer_than_planned,),
    ),
    2: (
        (decimals.sizes_as_decimals, decimals.size_in_centimetres), (decimals.cut_in_inches,),
        (decimals.what_it_costs,), (decimals.mean_time,), (decimals.good_in_a_hundred,),
        (decimals.hours_as_decimal,), (decimals.mass_of_all,), (areas.round_the_bar, areas.face),
        (areas.area, areas.volume, areas.mass), (decimals.in_one_second,),
    ),
    3: (
        (solids.across_corners,), (formulae.by_itself,), (formulae.energy,), (formulae.time_by_formula,),
        (formulae.cutting_speed,), (formulae.spindle_speed,), (solids.size_of_piece,),
        (formulae.how_many_to_start,), (formulae.planned_and_real,), (solids.becomes_chips,),
    ),
}  # fmt: skip


@dataclass(frozen=True)
class SumsSheet:
    """The sums of a part at one level, and the levels that it has sums for."""

    part: Part
    level: int
    sums: tuple[Sum, ...]

    @property
    def pages(self) -> tuple[tuple[tuple[int, Sum], ...], ...]:
        """The sums of each page, with their numbers."""
        numbered = tuple(enumerate(self.sums, start=1))
        return tuple(numbered[first : first + ON_A_PAGE] for first in range(0, len(numbered), ON_A_PAGE))


def sums_sheet(part: Part, today: date, level: int = 1) -> SumsSheet:
    """The sums that a part's own numbers allow at a level, easiest first. Five queries."""
    row = read_parts(part.build, today, [part.pk]).by_part.get(part.pk)
    if row is None:
        return SumsSheet(part, level, ())
    # Asking the part that was read for its build would be a query more.
    row.part.build = part.build
    return SumsSheet(part, level, _chosen(Facts(row, level)))


def _chosen(facts: Facts) -> tuple[Sum, ...]:
    """Full size and model first, where the part is scaled; then so many of the others as the sheet holds."""
    families = ([made for maker in alike if (made := maker(facts)) is not None] for alike in MAKERS[facts.level])
    found = [made for place, family in enumerate(families) if (made := facts.pick(f"alike {place}", family))]
    scaled = full_size(facts, beside_others=bool(found))
    room, first = MOST - (scaled is not None), facts.turn("sums", max(1, len(found)))
    taken = {place % len(found) for place in range(first, first + room)} if found else set()
    others = tuple(one for place, one in enumerate(found) if place in taken)
    return others if scaled is None else (scaled, *others)
