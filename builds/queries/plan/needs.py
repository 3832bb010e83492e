"""What comes before what in a build, and what is held by it on a day."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from django.db.models import Q

from builds.models import Build, Need, Part
from builds.models.need import named
from builds.queries.plan.build_state import state_on
from builds.queries.snapshot import OperationRow, PartRow, PartsSnapshot, read_parts
from calcs.parts.needs import Place, missing
from calcs.parts.plan import MilestonePlan
from calcs.parts.remaining import nothing_left


@dataclass(frozen=True)
class PlaceRow:
    """A part as a whole, or one operation of it, as it stands on a day."""

    row: PartRow
    step: OperationRow | None = None

    @property
    def part(self) -> Part:
        return self.row.part

    @property
    def place(self) -> Place:
        return Place(self.part.number, self.step.operation.number if self.step is not None else None)

    @property
    def words(self) -> str:
        """How people say it: "2 Cylinder, 20 Bore"."""
        return named(self.part, self.step.operation if self.step is not None else None)

    @property
    def done(self) -> bool:
        """Whether the build has what it needs of the part, or nothing has to pass the operation any more.

        A bought part without a route has no bench hours left, and is not there as long as it waits or is on order.
        """
        if self.row.quantity_made:
            return True
        if self.step is None:
            return nothing_left(self.row.plan) and not self.row.plan.waiting and not on_order(self.part)
        return self.row.to_pass[self.row.operations.index(self.step)] == 0


def on_order(part: Part) -> bool:
    """Whether it was ordered and has not arrived."""
    return part.ordered_on is not None and part.arrived_on is None


@dataclass(frozen=True)
class NeedRow:
    """One thing that was said about the order of work: what waits, and what comes before it."""

    need: Need
    waiting: PlaceRow
    needed: PlaceRow


class BuildNeeds:
    """What comes before what, of the parts in `rows`. What joined the plan after their day is left out."""

    def __init__(self, needs: Iterable[Need], rows: Iterable[PartRow]) -> None:
        self._places: dict[Place, PlaceRow] = {}
        for row in rows:
            for step in (None, *row.operations):
                one = PlaceRow(row, step)
                self._places[one.place] = one
        self.rows = tuple(
            NeedRow(need, self._places[need.waiting], self._places[need.needed])
            for need in needs
            if need.waiting in self._places and need.needed in self._places
        )

    def at(self, place: Place) -> PlaceRow:
        return self._places[place]

    @cached_property
    def routes(self) -> dict[str, list[int]]:
        """The numbers of each part's operations, by the part's number."""
        return {
            place.part: [step.operation.number for step in one.row.operations]
            for place, one in self._places.items()
            if place.operation is None
        }

    @cached_property
    def pairs(self) -> list[tuple[Place, Place]]:
        """What waits with what it needs."""
        return [(row.waiting.place, row.needed.place) for row in self.rows]

    @cached_property
    def held(self) -> dict[Place, tuple[PlaceRow, ...]]:
        """What is not done yet of what each place needs. A part that is held holds all of its operations."""
        found = missing(self.routes, self.pairs, lambda place: self.at(place).done)
        return {place: tuple(map(self.at, lacking)) for place, lacking in found.items()}


def read_needs(build: Build, about: Q | None = None) -> tuple[Need, ...]:
    """What was said about the order of work, or what of it `about` holds for. One query."""
    needs = Need.objects.filter(about or Q(), part__build=build).order_by("pk")
    return tuple(needs.select_related("part", "operation", "needed_part", "needed_operation"))


def needs_in(snapshot: PartsSnapshot) -> BuildNeeds:
    """What comes before what among the parts of a snapshot. One query."""
    return BuildNeeds(read_needs(snapshot.build), snapshot.parts)


def ends_of(milestone: MilestonePlan, snapshot: PartsSnapshot) -> tuple[Place, ...]:
    """What a milestone names: parts as a whole, and operations as far as which others are needed."""
    found = []
    for row in snapshot.parts:
        if row.part.pk in milestone.part_keys:
            found.append(Place(row.part.number))
        keys = {operation for part, operation in milestone.up_to if part == row.part.pk}
        numbers = [step.operation.number for step in row.operations if step.operation.pk in keys]
        found.extend(Place(row.part.number, number) for number in numbers)
    return tuple(found)


def held_by(build: Build, as_of: date) -> dict[Place, tuple[PlaceRow, ...]]:
    """What cannot be begun on a day because of what it needs: each part and operation with what is missing.

    A key is the pair of part number and operation number, None for the part as a whole; where a part as a whole is
    held, so is each of its operations. Empty for a finished build. One query where nothing is said, else five.
    """
    needs = read_needs(build)
    if not needs or state_on(build, as_of).finished:
        return {}
    keys = {key for need in needs for key in (need.part_id, need.needed_part_id)}
    return BuildNeeds(needs, read_parts(build, as_of, keys, bare=True).parts).held


@dataclass(frozen=True)
class PartNeeds:
    """What a part needs first, and what needs it."""

    first: tuple[NeedRow, ...] = ()
    then: tuple[NeedRow, ...] = ()
    held: dict[Place, tuple[PlaceRow, ...]] | None = None

    @property
    def missing(self) -> tuple[PlaceRow, ...]:
        """What the part as a whole is still held by."""
        return next((lacking for place, lacking in (self.held or {}).items() if place.operation is None), ())

    def missing_at(self, number: int) -> tuple[PlaceRow, ...]:
        """What an operation is held by, beside what holds the part as a whole."""
        lacking = next((found for place, found in (self.held or {}).items() if place.operation == number), ())
        return tuple(one for one in lacking if one not in self.missing)


def part_needs(snapshot: PartsSnapshot, row: PartRow) -> PartNeeds:
    """The order of work around one part. One query where nothing is said about it, else five."""
    build, part = snapshot.build, row.part
    needs = read_needs(build, Q(part=part) | Q(needed_part=part))
    if not needs:
        return PartNeeds()
    others = {key for need in needs for key in (need.part_id, need.needed_part_id)} - {part.pk}
    found = BuildNeeds(needs, [row, *read_parts(build, snapshot.as_of, others, bare=True).parts])
    held = {} if snapshot.state.finished else found.held
    return PartNeeds(
        tuple(one for one in found.rows if one.waiting.part.pk == part.pk),
        tuple(one for one in found.rows if one.needed.part.pk == part.pk),
        {place: lacking for place, lacking in held.items() if place.part == part.number},
    )
