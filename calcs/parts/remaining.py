"""What is still to do, operation by operation, before any doubt is drawn.

Bench minutes and unattended minutes are split here, once. An operation's figure is `given` by the plan,
`measured` where the plan has none and its own log does, or `missing`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from calcs.parts.count import PieceCount, count_pieces, finished_good
from calcs.parts.plan import OperationPlan, PartPlan

GIVEN, MEASURED, MISSING = "given", "measured", "missing"


@dataclass(frozen=True)
class OpenOperation:
    """One operation of a part that is not finished.

    `pieces` have still to go through it if nothing more is lost, `standing` pieces wait before it, `setups` is
    1 where it was never begun. `setup_minutes` and `minutes_per_piece` are planned minutes in all, of which
    the share `unattended` needs nobody at the bench. `open_minutes` were spent at the bench on pieces not counted yet.
    """

    key: int
    kind: str
    figure: str
    pieces: int
    standing: int
    setups: int
    setup_minutes: float
    minutes_per_piece: float
    unattended: float
    open_minutes: float
    rough: bool
    good: int
    scrap: int
    never_scraps: bool = False

    @property
    def planned_minutes(self) -> float:
        """Bench minutes still planned if nothing more is lost; 0 where the figure is missing."""
        return self._minutes * (1 - self.unattended)

    @property
    def planned_unattended_minutes(self) -> float:
        """Unattended minutes still planned if nothing more is lost."""
        return self._minutes * self.unattended

    @property
    def _minutes(self) -> float:
        return self.setup_minutes * self.setups + self.minutes_per_piece * self.pieces


@dataclass(frozen=True)
class OpenPart:
    """A part that is not finished: `goal` good pieces, spares among them, have still to come off its route.

    With `figured` at least one operation has a figure. `elsewhere_minutes` are bench minutes logged on the
    part without an operation while nothing was counted at any; `logged_minutes` are all of its bench minutes.
    `number` is the part's, or its key where it has none.
    """

    key: int
    group: str
    goal: int
    operations: tuple[OpenOperation, ...]
    figured: bool
    elsewhere_minutes: float
    logged_minutes: float
    number: str

    @property
    def planned_minutes(self) -> float:
        """Bench minutes still planned if nothing more is lost."""
        return sum(operation.planned_minutes for operation in self.operations)


def nothing_left(part: PartPlan) -> bool:
    """Return whether a part was said to be finished, or its route has let through all pieces and spares needed.

    A part without a route and of which nobody said so has something left, unless it is bought or none is needed.

    >>> nothing_left(PartPlan(1, "stud", "", 6, 0)), nothing_left(PartPlan(1, "stud", "", 6, 0, marked_finished=True))
    (False, True)
    """
    return part.marked_finished or (part.bought and not part.operations) or pieces_left(part) <= 0


def pieces_left(part: PartPlan) -> int:
    """Return the good pieces still to come off a part's route by its counts, spares among them; 0 or less: none."""
    return part.quantity_with_spares - finished_good(part)


def pieces_to_pass(part: PartPlan, count: PieceCount) -> tuple[int, ...]:
    """Return the good pieces that have still to pass each operation if nothing more is lost, spares among them.

    What was scrapped further on has to pass again. `count` is that of the part.

    >>> route = (OperationPlan(1, "sawing", 0, 1, good=8), OperationPlan(2, "turning", 0, 1, good=5, scrap=2))
    >>> part = PartPlan(1, "stud", "", 6, 2, route)
    >>> pieces_to_pass(part, count_pieces(part))
    (2, 3)
    """
    to_pass: list[int] = []
    still = 0 if nothing_left(part) else pieces_left(part)
    for standing in reversed(count.standing):
        to_pass.append(still)
        still = max(0, still - standing)
    return tuple(reversed(to_pass))


def open_parts(parts: Iterable[PartPlan]) -> tuple[OpenPart, ...]:
    """Return the parts of which something is left, in the order given. ValueError when a figure makes no sense.

    >>> route = (OperationPlan(1, "turning", 30, 10, good=2), OperationPlan(2, "drilling", 10, 5))
    >>> [part] = open_parts([PartPlan(1, "stud", "cylinder", 6, 0, route)])
    >>> [(operation.pieces, operation.setups, operation.planned_minutes) for operation in part.operations]
    [(4, 0, 40.0), (6, 1, 40.0)]
    """
    opened = (open_part(part) for part in parts)
    return tuple(part for part in opened if part is not None)


def with_unnamed_hours(part: PartPlan) -> PartPlan:
    """Return the part with hours that name no operation on the only one there is, where they can mean no other.

    While some of its pieces are counted and some are to come, nobody can say which of them such hours went into.

    >>> logged = PartPlan(1, "stud", "", 6, 0, (OperationPlan(1, "making", 0, 60),), bench_minutes_elsewhere=90)
    >>> with_unnamed_hours(logged).operations[0].bench_minutes_open, with_unnamed_hours(logged).bench_minutes
    (90.0, 90.0)
    """
    if len(part.operations) != 1 or not part.bench_minutes_elsewhere:
        return part
    [only] = part.operations
    if only.counted and not nothing_left(part):
        return part
    minutes = only.bench_minutes_open + part.bench_minutes_elsewhere
    return replace(part, operations=(replace(only, bench_minutes_open=minutes),), bench_minutes_elsewhere=0.0)


def open_part(part: PartPlan) -> OpenPart | None:
    """Return what is open of one part, or None where nothing is left."""
    if nothing_left(part):
        return None
    part = with_unnamed_hours(part)
    count, goal = count_pieces(part), pieces_left(part)
    route = zip(part.operations, pieces_to_pass(part, count), count.standing, strict=True)
    operations = tuple(_open_operation(*one) for one in route)
    counted = any(operation.counted for operation in part.operations)
    return OpenPart(
        key=part.key,
        group=part.group,
        goal=goal,
        operations=operations,
        figured=any(operation.figure != MISSING for operation in operations),
        elsewhere_minutes=0.0 if counted else part.bench_minutes_elsewhere,
        logged_minutes=part.bench_minutes,
        number=part.number or str(part.key),
    )


def _open_operation(operation: OperationPlan, pieces: int, standing: int) -> OpenOperation:
    _refuse_bad_figures(operation)
    begun = bool(operation.counted or operation.setups_done)
    figure, per_piece, unattended = _figure(operation)
    return OpenOperation(
        key=operation.key,
        kind=operation.kind,
        figure=figure,
        pieces=pieces,
        standing=standing,
        setups=0 if begun or not pieces else 1,
        setup_minutes=operation.setup_minutes,
        minutes_per_piece=per_piece,
        unattended=unattended,
        open_minutes=operation.bench_minutes_open if pieces else 0.0,
        rough=operation.rough,
        good=operation.good,
        scrap=operation.scrap,
        never_scraps=operation.never_scraps,
    )


def _figure(operation: OperationPlan) -> tuple[str, float, float]:
    """Return where the figure comes from, the minutes per piece and the unattended share of them."""
    if operation.minutes_per_piece is not None:
        return GIVEN, operation.minutes_per_piece, operation.unattended_share
    if operation.counted and operation.bench_minutes_counted > 0 and not operation.times_unknown:
        # The log speaks of the bench only, so nothing of a measured figure is unattended.
        return MEASURED, operation.bench_minutes_counted / operation.counted, 0.0
    return MISSING, 0.0, operation.unattended_share


def _refuse_bad_figures(operation: OperationPlan) -> None:
    minutes = (
        operation.setup_minutes,
        operation.minutes_per_piece or 0.0,
        operation.bench_minutes_counted,
        operation.bench_minutes_open,
    )
    if not (min(minutes) >= 0 and math.isfinite(sum(minutes))):
        raise ValueError("Planned and logged minutes are 0 or more.")
    if not 0 <= operation.unattended_share <= 1:
        raise ValueError("The share that runs unattended lies between 0 and 1.")
