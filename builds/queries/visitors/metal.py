"""What became of the metal: from a block to a part, and what the engine is made of by mass."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from builds.models import Part
from builds.queries.repeats.material import HEAVY, blank_of
from builds.queries.snapshot import BuildSnapshot, PartRow
from builds.queries.visitors.figures import mass_in_words, number, share_in_a_hundred
from calcs.messages import _, ngettext

# So many materials are told apart; what is left of the mass stands together.
MOST_MATERIALS = 6


@dataclass(frozen=True)
class BlockTold:
    """One blank and the piece that is in it, in grams."""

    part: Part
    blank_grams: float
    finished_grams: float

    @property
    def chips_grams(self) -> float:
        return self.blank_grams - self.finished_grams

    @property
    def chips_percent(self) -> int:
        """Of the blank's mass, what is cut away."""
        return share_in_a_hundred(self.chips_grams, self.blank_grams)

    @property
    def blank(self) -> str:
        return mass_in_words(self.blank_grams)

    @property
    def finished(self) -> str:
        return mass_in_words(self.finished_grams)

    @property
    def chips(self) -> str:
        return mass_in_words(self.chips_grams)

    @property
    def sentence(self) -> str:
        return _(
            "A block of {blank} becomes a part of {finished}. The other {chips} are cut away as chips.",
            blank=self.blank, finished=self.finished, chips=self.chips,
        )  # fmt: skip

    @property
    def in_a_hundred(self) -> str:
        return ngettext(
            "Of every 100 grams, {n} becomes chips.", "Of every 100 grams, {n} become chips.", self.chips_percent
        )


@dataclass(frozen=True)
class MaterialShare:
    """A material's share of the mass of the finished engine; `name` empty for what is left."""

    name: str
    grams: float
    percent: int

    @property
    def label(self) -> str:
        return self.name or _("All else")

    @property
    def mass(self) -> str:
        return mass_in_words(self.grams)


@dataclass(frozen=True)
class MassesTold:
    """`shares` the heaviest first. `known` of `parts` have a mass in the plan, and only these are in the sum."""

    shares: tuple[MaterialShare, ...]
    grams: float
    known: int
    parts: int

    @property
    def mass(self) -> str:
        return mass_in_words(self.grams)

    @property
    def heaviest(self) -> str:
        first = self.shares[0]
        return _("{percent} of every 100 grams: {material}", percent=number(first.percent), material=first.label)

    @property
    def sentence(self) -> str:
        """What is weighed, and what is not."""
        if self.known == self.parts:
            return _("All finished parts together weigh {mass}.", mass=self.mass)
        return _(
            "The {known} parts with a known weight come to {mass}. There are {parts} parts in all.",
            known=self.known, mass=self.mass, parts=self.parts,
        )  # fmt: skip


def masses_told(snapshot: BuildSnapshot) -> MassesTold | None:
    """The details of the plan by material, with all their pieces; None where no mass is known. No query."""
    details = [line.part for line in snapshot.parts if line.part.is_detail]
    weighed = [part for part in details if part.finished_mass_grams]
    if not weighed:
        return None
    by_material: dict[str, float] = defaultdict(float)
    for part in weighed:
        by_material[plain_material(part)] += (part.finished_mass_grams or 0.0) * part.quantity
    total = sum(by_material.values())
    ranked = sorted(by_material.items(), key=lambda pair: (not pair[0], -pair[1], pair[0]))
    told, rest = ranked[:MOST_MATERIALS], sum(grams for _name, grams in ranked[MOST_MATERIALS:])
    told += [("", rest)] if rest else []
    shares = tuple(MaterialShare(name, grams, share_in_a_hundred(grams, total)) for name, grams in told)
    return MassesTold(shares, total, len(weighed), len(details))


def plain_material(part: Part) -> str:
    """A material without its form or grade: "Mild steel, bright drawn" is mild steel to a visitor."""
    return part.material.name.partition(",")[0].strip() if part.material else ""


def materials_in_order(parts: Iterable[PartRow], most: int = MOST_MATERIALS) -> tuple[str, ...]:
    """The materials of most pieces, the commonest first: what it is made of, where no mass is known."""
    pieces: dict[str, int] = defaultdict(int)
    for line in parts:
        if line.part.material is not None and line.part.is_detail:
            pieces[plain_material(line.part)] += line.part.quantity
    return tuple(sorted(pieces, key=lambda name: (-pieces[name], name))[:most])


def block_told(snapshot: BuildSnapshot, on_the_bench: PartRow | None) -> BlockTold | None:
    """The part on the bench where both its masses are known, else the made one that left most chips. No query."""
    made = [line for line in snapshot.parts if line.begun or line.quantity_made]
    blocks = {line.part.pk: block for line in made if (block := _block(line.part)) is not None}
    if on_the_bench is not None and on_the_bench.part.pk in blocks:
        return blocks[on_the_bench.part.pk]
    # A part with a word for visitors tells them more.
    return max(
        blocks.values(), key=lambda one: (bool(one.part.for_visitors), one.chips_grams, -one.part.pk), default=None
    )


def _block(part: Part) -> BlockTold | None:
    density = part.material.density if part.material else None
    finished = part.finished_mass_grams
    blank = blank_of(part, part.build.length_unit) if density and finished and part.is_detail else None
    if blank is None or not density or not finished:
        return None
    grams = float(blank.volume().value.to("meter ** 3").magnitude) * density * 1000
    # A blank that heavy is a bar for several pieces, and a lighter one than the piece is a slip of the pen.
    return BlockTold(part, grams, finished) if finished < grams <= HEAVY * finished else None
