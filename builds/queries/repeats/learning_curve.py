"""What each operation of a repeated part has learned: its lots, and the curve carried on to the pieces to come."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from builds.models import Operation
from builds.queries.snapshot import BuildSnapshot, LogRow, OperationRow, PartRow

if TYPE_CHECKING:
    from calcs.parts.next_piece import CurveOnwards, PieceToCome

# More of a lot's time is never taken for set-up, so that a careless figure cannot leave nothing (a judgement).
MOST_SETUP = 0.5
# The curve is drawn on for so many pieces to come at least, and at most.
ONWARDS = (4, 40)


@dataclass(frozen=True)
class Lot:
    """Pieces that were counted together, good and scrap, with the bench minutes they took without their set-up.

    `first` and `last` count from 1 the pieces whose time is known.
    """

    first: int
    last: int
    minutes: float

    @property
    def pieces(self) -> int:
        return self.last - self.first + 1

    @property
    def minutes_each(self) -> float:
        return self.minutes / self.pieces


@dataclass(frozen=True)
class LearnedOperation:
    """One operation; `curve` is None where there are too few pieces with times to tell."""

    line: OperationRow
    lots: tuple[Lot, ...]
    curve: "CurveOnwards | None"

    @property
    def timed(self) -> int:
        """Pieces of which the time is known."""
        return sum(lot.pieces for lot in self.lots)

    @property
    def verdict(self) -> str:
        """Which way it goes, in words, where the range leaves no other way open."""
        if self.curve is None:
            return "too few to tell"
        if self.curve.high < 1:
            return "quicker"
        return "slower" if self.curve.low > 1 else "no clear change"

    @property
    def latest(self) -> Lot:
        return self.lots[-1]

    @property
    def following(self) -> "PieceToCome | None":
        """The next piece."""
        return self.curve.onwards[0] if self.curve is not None else None


def learned_by(snapshot: BuildSnapshot, line: PartRow) -> tuple[LearnedOperation, ...]:
    """What every operation of a part has learned, those with a time on any piece only. No query."""
    from calcs.parts.next_piece import carry_on

    learned = []
    for place, one in enumerate(line.operations):
        lots = lots_of(snapshot.rows, one.operation)
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


def lots_of(rows: Iterable[LogRow], operation: Operation) -> tuple[Lot, ...]:
    """The lots of one operation with known times, oldest first.

    Minutes before a count belong to the pieces counted then. The planned set-up at the bench is taken off the first
    lot of each batch, up to half of it. Pieces whose time is not known, or that have none, are left out.
    """
    setup = operation.setup_minutes * (1 - operation.unattended_share)
    lots: list[Lot] = []
    begun: set[int | None] = set()
    timed, minutes, known = 0, 0.0, True
    for row in rows:
        if row.operation_id != operation.pk:
            continue
        minutes += row.bench_minutes or 0
        known = known and row.bench_minutes is not None
        pieces = row.good + row.scrap
        if not pieces:
            continue
        if known and minutes > 0:
            off = 0.0 if row.batch_id in begun else min(setup, MOST_SETUP * minutes)
            lots.append(Lot(timed + 1, timed + pieces, minutes - off))
            timed += pieces
        begun.add(row.batch_id)
        minutes, known = 0.0, True
    return tuple(lots)
