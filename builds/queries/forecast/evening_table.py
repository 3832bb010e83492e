"""What each operation that has pieces before it takes in an evening: worked out once a revision and day, and kept."""

from collections.abc import Container, Iterator
from dataclasses import dataclass
from datetime import date

from builds.models import Build
from builds.models.choices import Role
from builds.queries import cache_store
from builds.queries.forecast.build_forecast import seed_of
from builds.queries.forecast.set_ups import STANDS_FOR
from builds.queries.forecast.what_if import usual_evening
from builds.queries.plan.needs import BuildNeeds, ends_of, needs_in
from builds.queries.snapshot import BuildSnapshot, PartRow, read_snapshot
from calcs.forecast import ARITHMETIC
from calcs.forecast.evening import OperationTimes
from calcs.parts.at_hand import AtHand, pieces_at_hand
from calcs.parts.needs import Place, on_the_way
from calcs.parts.remaining import nothing_left


@dataclass(frozen=True)
class EveningRow:
    """An operation with pieces before it. `milestone` is the first open one that needs it; empty for none.

    `started` of the pieces take nothing out of the rack any more: blanks of a batch, or pieces under way.
    `milestone_place` counts those that have something left, the next one first. `needs_open`: something has to be
    finished before it; `others_need_it`: something else is held until it is done.
    """

    times: OperationTimes
    pieces: int
    started: int
    milestone: str
    milestone_place: int
    needs_open: bool
    others_need_it: bool


@dataclass(frozen=True)
class EveningTable:
    """`usual_minutes` is a usual evening, None where the log tells none. `without_route` parts are open without any.

    `jigs` are pairs of an operation and a jig that it needs.
    """

    rows: tuple[EveningRow, ...]
    usual_minutes: int | None
    without_route: int
    next_milestone: str
    jigs: tuple[tuple[int, int], ...]


def evening_table(build: Build, as_of: date) -> EveningTable:
    """What the operations of a build take. No query where it is kept, else eleven."""
    key = f"evening:{ARITHMETIC}:{build.uid}:{build.revision}:{as_of.isoformat()}"
    found = cache_store.fetch(key, EveningTable)
    if found is None:
        found = _worked_out(read_snapshot(build, as_of))
        cache_store.keep(key, found)
    return found


def _worked_out(snapshot: BuildSnapshot) -> EveningTable:
    # Not at the top: it loads NumPy, which an ordinary page does without.
    from calcs.forecast.evening_times import evening_times

    finished = snapshot.state.finished_on is not None
    open_parts = [row for row in snapshot.parts if not (finished or nothing_left(row.plan))]
    wanted = [(part, one) for part in open_parts for one in _at_hand(part, snapshot.as_of - STANDS_FOR)]
    asked = [one for _part, one in wanted]
    times = evening_times([row.plan for row in snapshot.parts], asked, seed_of(snapshot.build)) if asked else ()
    order, usual = _Order.of(snapshot), usual_evening(snapshot)
    return EveningTable(
        rows=tuple(_row(part, one, drawn, order) for (part, one), drawn in zip(wanted, times, strict=True)),
        usual_minutes=None if usual is None else round(60 * usual),
        without_route=sum(not row.operations for row in open_parts),
        next_milestone=order.milestones[0][0] if order.milestones else "",
        jigs=order.jigs,
    )


def _row(part: PartRow, one: AtHand, times: OperationTimes, order: "_Order") -> EveningRow:
    place = Place(part.part.number, part.operations[one.place].operation.number)
    # Of the pieces before it, one at least had its material cut where work is under way.
    under_way = part.operations[one.place].tally.open_minutes > 0
    milestone, milestone_place = order.milestone_of(place)
    return EveningRow(
        times=times,
        pieces=one.pieces,
        started=min(one.pieces, max(part.count.standing[one.place], int(under_way))),
        milestone=milestone,
        milestone_place=milestone_place,
        needs_open=place in order.held,
        others_need_it=place in order.wanted,
    )


def _at_hand(row: PartRow, since: date) -> Iterator[AtHand]:
    """The operations of a part that have pieces before them; a set-up made before that day stands no more."""
    for place, pieces in enumerate(pieces_at_hand(row.plan, row.count)):
        last_on = row.operations[place].tally.last_on
        if pieces:
            yield AtHand(row.plan, place, pieces, may_stand=last_on is not None and last_on >= since)


@dataclass(frozen=True)
class _Order:
    """What comes before what. `milestones`: those with something left, in order, with the operations that each needs.

    `held` cannot be begun yet, and `wanted` is what something is held by, with all that comes before it.
    """

    milestones: tuple[tuple[str, Container[Place]], ...]
    held: Container[Place]
    wanted: Container[Place]
    jigs: tuple[tuple[int, int], ...]

    @classmethod
    def of(cls, snapshot: BuildSnapshot) -> "_Order":
        needs = needs_in(snapshot)
        still_open = {
            Place(row.part.number, step.operation.number)
            for row in snapshot.parts
            for step, to_pass in zip(row.operations, row.to_pass, strict=True)
            if to_pass
        }
        milestones = snapshot.build_plan().milestones
        ahead = [(one.name, on_the_way(needs.routes, needs.pairs, ends_of(one, snapshot))) for one in milestones]
        lacking = {missing.place for all_missing in needs.held.values() for missing in all_missing}
        return cls(
            tuple((name, needed) for name, needed in ahead if needed & still_open),
            needs.held.keys(),
            on_the_way(needs.routes, needs.pairs, lacking),
            tuple(_jigs(needs)),
        )

    def milestone_of(self, place: Place) -> tuple[str, int]:
        """Name and place of the first milestone that needs an operation; an empty name and the last place for none."""
        found = ((name, at) for at, (name, needed) in enumerate(self.milestones) if place in needed)
        return next(found, ("", len(self.milestones)))


def _jigs(needs: BuildNeeds) -> Iterator[tuple[int, int]]:
    for one in needs.rows:
        if one.needed.part.role == Role.JIG:
            for step in [one.waiting.step] if one.waiting.step is not None else one.waiting.row.operations:
                yield step.operation.pk, one.needed.part.pk
