"""What became of the parts that were open at the end of a past month."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import timedelta

from builds.queries.snapshot import BuildSnapshot
from calcs.parts.plan import PartPlan

# Parts count once they are finished within a year of the month. A month's reckoning is closed with that, whatever is
# finished years later; and leaving out what is still open would leave out what took longest all the more.
LATER = timedelta(days=31 * 12 + 27)


@dataclass(frozen=True)
class Scored:
    """A part, and the bench hours that were logged on it after the month, up to a year later."""

    key: int
    hours: float


def settled_parts(then: BuildSnapshot, later: BuildSnapshot) -> tuple[Scored, ...]:
    """The parts with a figure that were open then and finished later, with what they took in between.

    A part of which some hours are not known cannot be held against anything, so it is left out.
    """
    # Not at the top: it loads NumPy, which an ordinary page does without.
    from calcs.parts.remaining import nothing_left

    hours: dict[int, float] = defaultdict(float)
    unknown: set[int] = set()
    for row in later.rows[len(then.rows) :]:
        if row.part_id is not None:
            hours[row.part_id] += (row.bench_minutes or 0) / 60
            if row.bench_minutes is None:
                unknown.add(row.part_id)
    # A line that both days share is one on which nothing happened in between.
    changed = ((line, later.by_part[line.part.pk]) for line in then.parts if later.by_part[line.part.pk] is not line)
    return tuple(
        Scored(line.part.pk, hours[line.part.pk])
        for line, since in changed
        if line.part.pk not in unknown
        and _has_figure(line.plan)
        and nothing_left(since.plan)
        and not nothing_left(line.plan)
    )


def _has_figure(part: PartPlan) -> bool:
    return any(operation.minutes_per_piece is not None for operation in part.operations)
