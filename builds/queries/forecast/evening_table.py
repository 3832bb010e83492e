"""What each operation that has pieces before it takes in an evening: worked out once a revision and day, and kept."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from builds.models import Build
from builds.queries import cache_store
from builds.queries.forecast.build_forecast import seed_of
from builds.queries.forecast.what_if import usual_evening
from builds.queries.snapshot import BuildSnapshot, PartRow, read_snapshot
from calcs.forecast import ARITHMETIC
from calcs.forecast.evening import OperationTimes
from calcs.parts.at_hand import AtHand, pieces_at_hand
from calcs.parts.remaining import nothing_left

# How long a machine is taken to stand as it was left, when nothing was logged on it since: a judgement.
STANDS_FOR = timedelta(days=21)


@dataclass(frozen=True)
class EveningRow:
    """An operation with pieces before it. `milestone` is the first open one that needs its part; empty for none.

    `started` of the pieces take nothing out of the rack any more: blanks of a batch, or pieces under way.
    `milestone_place` counts those that have something left, the next one first.
    """

    times: OperationTimes
    pieces: int
    started: int
    milestone: str = ""
    milestone_place: int = 0


@dataclass(frozen=True)
class EveningTable:
    """`usual_minutes` is a usual evening, None where the log tells none. `without_route` parts are open without any."""

    rows: tuple[EveningRow, ...]
    usual_minutes: int | None
    without_route: int
    next_milestone: str


def evening_table(build: Build, as_of: date) -> EveningTable:
    """What the operations of a build take. No query where it is kept, else nine."""
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
    milestones = _milestones(snapshot, {part.part.pk for part in open_parts})
    no_milestone, usual = ("", len(snapshot.milestones)), usual_evening(snapshot)
    return EveningTable(
        rows=tuple(
            EveningRow(drawn, one.pieces, _started(part, one), *milestones.get(part.part.pk, no_milestone))
            for (part, one), drawn in zip(wanted, times, strict=True)
        ),
        usual_minutes=None if usual is None else round(60 * usual),
        without_route=sum(not row.operations for row in open_parts),
        next_milestone=min(milestones.values(), key=lambda one: one[1], default=no_milestone)[0],
    )


def _at_hand(row: PartRow, since: date) -> Iterator[AtHand]:
    """The operations of a part that have pieces before them; a set-up made before that day stands no more."""
    for place, pieces in enumerate(pieces_at_hand(row.plan, row.count)):
        last_on = row.operations[place].tally.last_on
        if pieces:
            yield AtHand(row.plan, place, pieces, may_stand=last_on is not None and last_on >= since)


def _started(row: PartRow, one: AtHand) -> int:
    """Of the pieces before an operation, those whose material was cut already: one at least where work is under way."""
    under_way = row.operations[one.place].tally.open_minutes > 0
    return min(one.pieces, max(row.count.standing[one.place], int(under_way)))


def _milestones(snapshot: BuildSnapshot, still_open: set[int]) -> dict[int, tuple[str, int]]:
    """By part: the name of the first milestone that needs it, and its place among those with something left."""
    found: dict[int, tuple[str, int]] = {}
    place = 0
    for milestone in snapshot.build_plan().milestones:
        needed = (milestone.part_keys & still_open) - found.keys()
        found |= dict.fromkeys(needed, (milestone.name, place))
        place += bool(needed)
    return found
