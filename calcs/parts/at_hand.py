"""What can be begun at the bench now: pieces that lie before an operation, and what keeps one from being begun."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from calcs.parts.count import PieceCount
from calcs.parts.plan import WHOLE_PART, OperationPlan, PartPlan
from calcs.parts.remaining import pieces_to_pass

Hold = Literal["bought", "waiting", "pieces", "material", "needs", "machine"]
"""Why an operation cannot be begun, the nearest reason first: its part is bought or waits, no piece is through the
operation before, the material is not there, others have to be finished first, or the machine is out of order."""


def pieces_at_hand(part: PartPlan, count: PieceCount) -> tuple[int, ...]:
    """Return the pieces that could go through each operation now, none of them more than have still to pass it.

    They have passed the operation before; the first of the route begins with blanks. `count` is that of the part.

    >>> from calcs.parts.count import count_pieces
    >>> route = tuple(OperationPlan(key, "turning", 0, 1, good=good) for key, good in ((1, 4), (2, 1), (3, 0)))
    >>> part = PartPlan(1, "stud", "", 6, 0, route)
    >>> pieces_at_hand(part, count_pieces(part))
    (2, 3, 1)
    """
    found, first = [], True
    for operation, to_pass, standing in zip(part.operations, pieces_to_pass(part, count), count.standing, strict=True):
        if _stands_for_its_log(operation):
            found.append(0)
            continue
        found.append(to_pass if first else min(to_pass, standing))
        first = False
    return tuple(found)


def _stands_for_its_log(operation: OperationPlan) -> bool:
    """Whether it is a "making" whose place others took, which plans nothing any more."""
    planless = operation.minutes_per_piece == 0 and operation.setup_minutes == 0
    return planless and operation.rough and operation.kind == WHOLE_PART


@dataclass(frozen=True)
class AtHand:
    """An operation that may be begun: its part, its place in the route, and the pieces that could go through it now.

    With `may_stand` its set-up may be standing still.
    """

    part: PartPlan
    place: int
    pieces: int
    may_stand: bool = False


@dataclass(frozen=True)
class Standing:
    """How an operation stands. Of the `pieces` before it, `started` ones take no material any more.

    `material` is None where nobody knows of it; then it holds nothing back.
    """

    pieces: int
    started: int = 0
    material: bool | None = None
    bought: bool = False
    waiting: bool = False
    needs_open: bool = False
    machine_out_of_order: bool = False

    @property
    def pieces_with_material(self) -> int:
        """Pieces that could go through it now."""
        return min(self.pieces, self.started) if self.material is False else self.pieces

    @property
    def hold(self) -> Hold | None:
        """What keeps it from being begun, None where nothing does.

        >>> Standing(2).hold, Standing(0, machine_out_of_order=True).hold, Standing(2, material=False).hold
        (None, 'pieces', 'material')
        """
        holds: dict[Hold, bool] = {
            "bought": self.bought,
            "waiting": self.waiting,
            "pieces": self.pieces <= 0,
            "material": self.pieces_with_material <= 0,
            "needs": self.needs_open,
            "machine": self.machine_out_of_order,
        }
        return next((hold for hold, true in holds.items() if true), None)
