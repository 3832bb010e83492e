"""What each operation of a repeated part has learned: its lots, and the curve carried on to the pieces to come."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from builds.models import Operation
from builds.queries.snapshot import BuildSnapshot, LogRow, OperationRow, PartRow
from calcs.messages import _

if TYPE_CHECKING:
    from calcs.parts.learning_curve import Lot
    from calcs.parts.next_piece import CurveOnwards, PieceToCome

# The curve is drawn on for so many pieces to come at least, and at most.
ONWARDS = (4, 40)


@dataclass(frozen=True)
class LearnedOperation:
    """One operation; `curve` is None where there are too few pieces with times to tell."""

    line: OperationRow
    lots: "tuple[Lot, ...]"
    curve: "CurveOnwards | None"

    @property
    def timed(self) -> int:
        """Pieces of which the time is known."""
        return sum(lot.pieces for lot in self.lots)

    @property
    def verdict(self) -> str:
        """Which way it goes, in words, where the range leaves no other way open."""
        if self.curve is None:
            return _("too few to tell")
        if self.curve.high < 1:
            return _("quicker")
        return _("slower") if self.curve.low > 1 else _("no clear change")

    @property
    def latest(self) -> "Lot":
        return self.lots[-1]

    @property
    def following(self) -> "PieceToCome | None":
        """The next piece."""
        return self.curve.onwards[0] if self.curve is not None else None


def learned_by(snapshot: BuildSnapshot, line: PartRow) -> tuple[LearnedOperation, ...]:
    """What every operation of a part has learned, those with a time on any piece only. No query."""
    from calcs.parts.learning_curve import lots_of
    from calcs.parts.next_piece import carry_on

    learned = []
    for place, one in enumerate(line.operations):
        lots = lots_of(one.plan, counts_of(snapshot.rows, one.operation))
        if lots:
            left = max(0, line.part.quantity_with_spares - line.count.passed[place])
            onwards = min(max(left, ONWARDS[0]), ONWARDS[1])
            learned.append(LearnedOperation(one, lots, carry_on([(lot.minutes, lot.pieces) for lot in lots], onwards)))
    return tuple(learned)


def most_worked(learned: tuple[LearnedOperation, ...], most: int = 2) -> tuple[LearnedOperation, ...]:
    """The operations with a curve that took the most minutes: the ones worth a drawing, in route order."""
    curved = [one for one in learned if one.curve is not None]
    chosen = sorted(curved, key=lambda one: -sum(lot.minutes for lot in one.lots))[:most]
    return tuple(one for one in curved if one in chosen)


def counts_of(rows: Iterable[LogRow], operation: Operation) -> list[tuple[float | None, int]]:
    """The counts of one operation in the order logged: bench minutes since the count before, None where some are not
    known, and the pieces then counted, scrap too."""
    counts: list[tuple[float | None, int]] = []
    minutes: float | None = 0.0
    for row in rows:
        if row.operation_id != operation.pk:
            continue
        minutes = None if minutes is None or row.bench_minutes is None else minutes + row.bench_minutes
        if row.good or row.scrap:
            counts.append((minutes, row.good + row.scrap))
            minutes = 0.0
    return counts
