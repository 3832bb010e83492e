"""What can be begun at the bench now: pieces that lie before an operation, and what keeps one from being begun."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from calcs.parts.count import PieceCount
from calcs.parts.plan import WHOLE_PART, OperationPlan, PartPlan
from calcs.parts.remaining import pieces_to_pass

Hold = Literal["nothing to do", "bought", "waiting", "pieces", "needs", "material", "machine"]
"""Why an operation cannot be begun, the nearest reason first: nothing is left of it, its part is bought or waits, its
pieces are not through the operation before, others have to be finished first, the material is not there, or the machine
is out of order."""


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
    for operation, to_pass, standing in zip(
        part.operations, pieces_to_pass(part, count), count.standing, strict=True
    ):
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
class Standing:
    """How an operation stands tonight. `material` is None where nobody knows; then it holds nothing back."""

    pieces: int
    left: int
    bought: bool = False
    waiting: bool = False
    needs_open: bool = False
    material: bool | None = None
    machine_out_of_order: bool = False


def what_holds(standing: Standing) -> Hold | None:
    """Return what keeps an operation from being begun, None where nothing does.

    >>> what_holds(Standing(pieces=2, left=2)), what_holds(Standing(pieces=0, left=2, machine_out_of_order=True))
    (None, 'pieces')
    """
    holds: dict[Hold, bool] = {
        "nothing to do": standing.left <= 0,
        "bought": standing.bought,
        "waiting": standing.waiting,
        "pieces": standing.pieces <= 0,
        "needs": standing.needs_open,
        "material": standing.material is False,
        "machine": standing.machine_out_of_order,
    }
    return next((hold for hold, true in holds.items() if true), None)
