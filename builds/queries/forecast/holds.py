"""What holds each milestone: its open work in order, the chain that decides, and what a part that comes late moves."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import groupby

from builds.models import Milestone
from builds.queries.forecast.build_forecast import BuildForecast, left_of
from builds.queries.plan.needs import BuildNeeds, PlaceRow, ends_of, needs_in
from builds.queries.plan.waiting import waits
from builds.queries.snapshot import PartRow
from calcs.forecast.late import Late, late_by
from calcs.forecast.result import MilestoneForecast, Spread
from calcs.forecast.words import hours_left_in_words
from calcs.messages import _
from calcs.parts.needs import Place, heaviest_chain
from calcs.parts.network import Network, network
from calcs.parts.plan import MilestonePlan
from calcs.parts.remaining import open_part


@dataclass(frozen=True)
class OpenWork:
    """A part with work open that a milestone needs, itself or by a detour.

    `left` are the bench hours of what is needed of it; None where there is no figure. `missing` is what it is held by,
    as a whole or at the operation that comes next. `late`, of a part that waits: what it moves if it comes later still.
    """

    row: PartRow
    left: Spread | None
    missing: tuple[PlaceRow, ...]
    waits: bool
    on_chain: bool
    late: Late | None

    @property
    def words(self) -> str:
        """The hours left, by the even chance with their range."""
        return hours_left_in_words(self.left) if self.left is not None else _("no figure yet")


@dataclass(frozen=True)
class ChainLink:
    """Operations of one part that follow one another on a chain, with their mean hours."""

    row: PartRow
    places: tuple[PlaceRow, ...]
    hours: float

    @property
    def words(self) -> str:
        """Such as "201 Cylinder block, 40 Bore"; the part alone where all that is open of it stands on the chain."""
        return self.places[0].words if len(self.places) == 1 else str(self.row.part)


@dataclass(frozen=True)
class MilestoneWork:
    """A milestone that is not reached yet; `chain` adds up to `chain_hours`, which are means."""

    milestone: Milestone
    forecast: MilestoneForecast | None
    work: tuple[OpenWork, ...]
    chain: tuple[ChainLink, ...]
    network: Network
    needs: BuildNeeds

    @property
    def waiting(self) -> int:
        """How many of the parts wait for something that is no work of the build."""
        return sum(one.waits for one in self.work)

    @property
    def chain_hours(self) -> float:
        return sum(link.hours for link in self.chain)

    @property
    def chain_numbers(self) -> frozenset[Place]:
        """The places on the chain."""
        return frozenset(place.place for link in self.chain for place in link.places)


def milestones_held(build_forecast: BuildForecast, *, only: int | None = None) -> tuple[MilestoneWork, ...]:
    """Each milestone ahead with its open work, or the one of that key. One query more than the forecast."""
    snapshot = build_forecast.snapshot
    if snapshot.state.finished:
        return ()
    needs = needs_in(snapshot)
    hours = {place: share for row in snapshot.parts for place, share in _mean_hours(row, build_forecast).items()}
    ahead = {one.key: one for one in build_forecast.milestones}
    records = {one.pk: one for one in snapshot.open_milestones}
    return tuple(
        _Reading(build_forecast, needs, hours, plan, ahead.get(plan.key)).work_for(records[plan.key])
        for plan in snapshot.build_plan().milestones
        if only in (None, plan.key)
    )


@dataclass(frozen=True)
class _Reading:
    """What the open work of one milestone is read from; `hours` are mean bench hours left by place."""

    build_forecast: BuildForecast
    needs: BuildNeeds
    hours: Mapping[Place, float]
    plan: MilestonePlan
    forecast: MilestoneForecast | None

    def work_for(self, milestone: Milestone) -> MilestoneWork:
        found = network(self.needs.routes, self.needs.pairs, self.ends)
        way = heaviest_chain(self.needs.routes, self.needs.pairs, self.hours, self.ends)
        chain = tuple(self._links(way))
        on_chain = {link.row.part.pk for link in chain}
        # In working order: by the layer in which a part's work begins, then as the builder has the parts.
        layers: dict[str, int] = {}
        needed: dict[str, list[Place]] = {}
        for stretch in found.stretches:
            layers[stretch.part] = min(stretch.layer, layers.get(stretch.part, stretch.layer))
            steps = [Place(stretch.part, number) for number in stretch.operations] or [Place(stretch.part)]
            needed.setdefault(stretch.part, []).extend(steps)
        rows = [row for row in self.build_forecast.snapshot.parts if self._open(needed.get(row.part.number, []))]
        rows.sort(key=lambda row: (not waits(row), layers[row.part.number]))
        work = (self._open_work(row, needed[row.part.number], row.part.pk in on_chain) for row in rows)
        return MilestoneWork(milestone, self.forecast, tuple(work), chain, found, self.needs)

    @cached_property
    def ends(self) -> tuple[Place, ...]:
        """What the milestone names."""
        return ends_of(self.plan, self.build_forecast.snapshot)

    def _open(self, needed: list[Place]) -> bool:
        return any(not self.needs.at(place).done for place in needed)

    def _open_work(self, row: PartRow, needed: list[Place], on_chain: bool) -> OpenWork:
        left = left_of(self.build_forecast.by_part.get(row.part.pk))
        if left is not None and left.mean > 0:
            left = _scaled(left, min(1.0, sum(self.hours.get(place, 0.0) for place in needed) / left.mean))
        at = Place(row.part.number, row.next_operation.number if row.next_operation is not None else None)
        held = self.needs.held.get(at) or self.needs.held.get(Place(row.part.number), ())
        late = self._late(row) if waits(row) else None
        return OpenWork(row, left, held, waits(row), on_chain, late)

    def _late(self, row: PartRow) -> Late | None:
        if self.forecast is None or self.forecast.finish_on is None or self.forecast.finish_on.p50 is None:
            return None
        way = heaviest_chain(self.needs.routes, self.needs.pairs, self.hours, self.ends, begin=row.part.number)
        links = [(link.words, link.hours) for link in self._links(way)]
        return late_by(links, self.build_forecast.forecast, self.forecast.finish_on.p50)

    def _links(self, way: tuple[Place, ...]) -> Iterator[ChainLink]:
        for _part, some in groupby(way, key=lambda place: place.part):
            places = tuple(self.needs.at(place) for place in some)
            yield ChainLink(places[0].row, places, sum(self.hours[place.place] for place in places))


def _mean_hours(row: PartRow, build_forecast: BuildForecast) -> dict[Place, float]:
    """A part's mean hours left by operation, shared out as the plan has them; none where there is no figure.

    Means add up, which even chances do not.
    """
    left, rest = left_of(build_forecast.by_part.get(row.part.pk)), open_part(row.plan)
    if left is None or rest is None or left.mean <= 0:
        return {}
    if not row.operations:
        return {Place(row.part.number): left.mean}
    planned = [one.planned_minutes for one in rest.operations]
    if not sum(planned):
        planned = [float(one.pieces > 0) for one in rest.operations]
    numbers = [step.operation.number for step in row.operations]
    whole = sum(planned) or 1.0
    return {
        Place(row.part.number, number): left.mean * minutes / whole
        for number, minutes in zip(numbers, planned, strict=True)
        if minutes
    }


def _scaled(left: Spread, share: float) -> Spread:
    return replace(left, **{name: share * value for name, value in vars(left).items()})
