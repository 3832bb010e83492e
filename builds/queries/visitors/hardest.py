"""Which part was the hardest to make: by the pieces that were lost, else by the hours beyond the plan."""

from collections import Counter
from dataclasses import dataclass

from builds.models import Part
from builds.queries.plan.piece_row import PieceRow
from builds.queries.repeats.overview import NO_REASON, repeated_part
from builds.queries.snapshot import BuildSnapshot, PartRow
from builds.queries.visitors.figures import hours_in_words, number
from calcs.messages import _, ngettext

# Fewer lost pieces, or a ratio closer to the plan, make no part hard.
LEAST_LOST = 2
LEAST_OVER, LEAST_HOURS = 1.25, 2.0


@dataclass(frozen=True)
class LostPieces:
    """How a part fared of which pieces were lost. `reasons` as they were logged, with their pieces, commonest first."""

    part: Part
    begun: int
    good: int
    lost: int
    row: PieceRow
    reasons: tuple[tuple[str, int], ...]

    @property
    def headline(self) -> str:
        """Such as "Of 21 begun, 8 came out good"."""
        return ngettext(
            "Of {begun} begun, {n} came out good",
            "Of {begun} begun, {n} came out good",
            self.good,
            begun=number(self.begun),
        )

    @property
    def sentence(self) -> str:
        """How many were lost, and why most of them."""
        lost = ngettext("{n} piece was lost on the way.", "{n} pieces were lost on the way.", self.lost)
        if not self.reasons:
            return lost
        reason, pieces = self.reasons[0]
        most = ngettext("Most often: {reason} ({n}).", "Most often: {reason} ({n}).", pieces, reason=reason)
        return f"{lost} {most}"


@dataclass(frozen=True)
class OverPlan:
    """A made part that took longer than was planned, in hours."""

    part: Part
    planned: float
    actual: float

    @property
    def sentence(self) -> str:
        return _(
            "It took {actual}. The plan had said {planned}.",
            actual=hours_in_words(self.actual), planned=hours_in_words(self.planned),
        )  # fmt: skip


@dataclass(frozen=True)
class HardestTold:
    """Each None where there is nothing to tell, or where visitors are not told of scrap or of hours."""

    lost: LostPieces | None
    over: OverPlan | None

    @property
    def part(self) -> Part | None:
        told = self.lost or self.over
        return told.part if told else None


def hardest_told(snapshot: BuildSnapshot, *, scrap: bool, hours: bool) -> HardestTold | None:
    """scrap, hours: whether visitors are told of them. No query."""
    told = HardestTold(_most_lost(snapshot) if scrap else None, _most_over(snapshot) if hours else None)
    return told if told.part else None


def _most_lost(snapshot: BuildSnapshot) -> LostPieces | None:
    line = max(snapshot.parts, key=lambda one: one.count.scrap, default=None)
    if line is None or line.count.scrap < LEAST_LOST:
        return None
    repeated = repeated_part(snapshot, line)
    count = line.count
    good = count.finished_good + count.uncounted
    return LostPieces(
        part=line.part,
        begun=good + count.in_work + count.scrap,
        good=good,
        lost=count.scrap,
        row=repeated.row,
        reasons=tuple(Counter(dict(one for one in repeated.reasons if one[0] != NO_REASON)).most_common()),
    )


def _most_over(snapshot: BuildSnapshot) -> OverPlan | None:
    """Of the parts that are made, the one with most hours beyond its plan."""
    over = [found for line in snapshot.parts if line.quantity_made and (found := _over(line))]
    return max(over, key=lambda one: (one.actual - one.planned, -one.part.pk), default=None)


def _over(line: PartRow) -> OverPlan | None:
    """What the part took, and what the plan had given its pieces; None where it is close, or the plan says nothing."""
    steps = [step.plan for step in line.operations]
    if not steps or any(step.minutes_per_piece is None or step.times_unknown for step in steps):
        return None
    planned = sum(step.bench_minutes_planned(line.part.quantity_with_spares) for step in steps) / 60
    actual = line.bench_minutes / 60
    worth = planned > 0 and actual >= LEAST_HOURS and actual >= LEAST_OVER * planned
    return OverPlan(line.part, planned, actual) if worth else None
