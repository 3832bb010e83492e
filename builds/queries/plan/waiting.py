"""What waits for what in a build, since when, and what it holds up."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from builds.models import Build, Milestone
from builds.queries.plan.needs import BuildNeeds, PlaceRow, ends_of, needs_in, on_order
from builds.queries.snapshot import BuildSnapshot, PartRow, read_snapshot
from calcs.parts.needs import Place, blocked_by, comes_within


@dataclass(frozen=True)
class WaitingRow:
    """Something that waits: for what was said of its part, or, in `missing`, for other parts and operations.

    `since` is the day that was said; of what waits for others it is the last day on which the part was worked on, None
    where it was not begun. `blocks` are the parts and operations that cannot be begun before it is done, the nearest
    first, and `milestones` those not reached yet that need it or any of these.
    """

    place: PlaceRow
    missing: tuple[PlaceRow, ...]
    since: date | None
    blocks: tuple[PlaceRow, ...]
    milestones: tuple[Milestone, ...]


@dataclass(frozen=True)
class WaitingPage:
    snapshot: BuildSnapshot
    rows: tuple[WaitingRow, ...]


def waiting_page(build: Build, today: date) -> WaitingPage:
    """All that waits, by how much it holds up, then the longest first. Eleven queries."""
    snapshot = read_snapshot(build, today)
    rows = () if snapshot.state.finished else tuple(_rows(snapshot, needs_in(snapshot)))
    return WaitingPage(snapshot, tuple(sorted(rows, key=_rank)))


def waits(row: PartRow) -> bool:
    """Whether somebody said that a part waits, or it is on order, and the build has not what it needs of it yet."""
    return (row.plan.waiting or on_order(row.part)) and not row.quantity_made


def _rank(row: WaitingRow) -> tuple[int, int, date]:
    return -len(row.blocks), -len(row.milestones), row.since or date.max


def _rows(snapshot: BuildSnapshot, needs: BuildNeeds) -> Iterator[WaitingRow]:
    plans = {plan.key: ends_of(plan, snapshot) for plan in snapshot.build_plan().milestones}
    ends = [(milestone, plans[milestone.pk]) for milestone in snapshot.open_milestones]

    def waiting(one: PlaceRow, missing: tuple[PlaceRow, ...], since: date | None) -> WaitingRow:
        held = map(needs.at, blocked_by(needs.routes, needs.pairs, one.place))
        blocks = tuple(other for other in held if not other.done)
        places = [one.place, *(other.place for other in blocks)]
        milestones = (
            milestone
            for milestone, named in ends
            if any(comes_within(needs.routes, place, end) for place in places for end in named)
        )
        return WaitingRow(one, missing, since, blocks, tuple(milestones))

    for row in snapshot.parts:
        if waits(row):
            yield waiting(PlaceRow(row), (), row.part.waiting_since_on or row.part.ordered_on)
    for place, missing in needs.held.items():
        one = needs.at(place)
        # What holds a part as a whole is told once, not of each of its operations again.
        whole = needs.held.get(Place(place.part), ()) if place.operation is not None else ()
        own = tuple(lacking for lacking in missing if lacking not in whole)
        if own:
            yield waiting(one, own, _last_worked_on(one.row))


def _last_worked_on(row: PartRow) -> date | None:
    days = [tally.last_on for tally in (row.elsewhere, *(step.tally for step in row.operations)) if tally.entries]
    return max((day for day in days if day is not None), default=None)
