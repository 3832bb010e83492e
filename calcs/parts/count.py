"""Counting pieces: which have passed what, where every piece stands, and where the log has a hole.

A piece seen at a later operation has passed the earlier ones, whether or not anybody wrote it down there.
More pieces than could have reached an operation is allowed, since real logs have holes, and is pointed out.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from calcs.parts.plan import OperationPlan, PartPlan


@dataclass(frozen=True)
class CountGap:
    """More pieces counted at an operation than the log lets reach it. `place` counts operations from 0."""

    place: int
    key: int
    counted: int
    could_have_reached: int

    @property
    def missing(self) -> int:
        """Pieces that the log does not account for."""
        return self.counted - self.could_have_reached


@dataclass(frozen=True)
class PieceCount:
    """Where the pieces of one part stand.

    `finished_good` pieces have passed the whole route, `reworked` of them only after being put right at some
    operation. Of the finished, `had` are for the build, `spares_had` for the drawer and `over` are more than
    was asked for. `standing[i]` pieces wait for operation i: `standing[0]` are blanks of an open batch, and
    the rest, together `in_work`, have passed at least one operation. `to_make` and `spares_to_make` are the
    pieces that neither finished nor working pieces can still become. Of a part that was said to be finished nothing
    stands anywhere any more: what is missing to its quantity is `uncounted`, taken as finished on that word.
    """

    quantity: int
    spares: int
    finished_good: int
    reworked: int
    had: int
    spares_had: int
    over: int
    in_work: int
    scrap: int
    to_make: int
    spares_to_make: int
    uncounted: int
    standing: tuple[int, ...]
    passed: tuple[int, ...]
    gaps: tuple[CountGap, ...]

    @property
    def quantity_made(self) -> bool:
        """Whether the build has the pieces it needs, by count or because it was said so. Spares are not needed."""
        return self.had + self.uncounted >= self.quantity

    @property
    def blanks_waiting(self) -> int:
        """Blanks of an open batch on which no operation has been counted."""
        return self.standing[0] if self.standing else 0


def passed_each(operations: Sequence[OperationPlan]) -> tuple[int, ...]:
    """Return how many pieces have passed each operation, seen from the later operations as well.

    >>> sawn, turned, drilled = (OperationPlan(k, "turning", 0, 1, good=g, scrap=s)
    ...                          for k, g, s in [(1, 2, 0), (2, 0, 0), (3, 4, 1)])
    >>> passed_each([sawn, turned, drilled])
    (5, 5, 4)
    """
    passed: list[int] = []
    beyond = 0
    for operation in reversed(operations):
        here = max(operation.good, beyond)
        passed.append(here)
        beyond = here + operation.scrap
    return tuple(reversed(passed))


def find_count_gaps(operations: Sequence[OperationPlan]) -> tuple[CountGap, ...]:
    """Return the operations at which more pieces were counted than could have reached them.

    What could have reached an operation is what was logged good at the one before it; an operation where
    nothing at all was counted says nothing either way, so the last counted one before it is asked.

    >>> first, second = OperationPlan(1, "sawing", 0, 1, good=6), OperationPlan(2, "turning", 0, 1, good=7, scrap=1)
    >>> find_count_gaps([first, second])
    (CountGap(place=1, key=2, counted=8, could_have_reached=6),)
    """
    gaps: list[CountGap] = []
    reached: int | None = None
    for place, operation in enumerate(operations):
        if not operation.counted:
            continue
        if reached is not None and operation.counted > reached:
            gaps.append(CountGap(place, operation.key, operation.counted, reached))
        reached = operation.good
    return tuple(gaps)


def count_pieces(part: PartPlan) -> PieceCount:
    """Return where every piece of the part stands. ValueError when a count is below 0.

    >>> part = PartPlan(1, "piston ring", "cylinder", 12, 2, (OperationPlan(1, "turning", 0, 9, good=20),
    ...                 OperationPlan(2, "lapping", 0, 9, good=14, reworked=6, scrap=6)))
    >>> count = count_pieces(part)
    >>> count.had, count.spares_had, count.reworked, count.scrap, count.in_work, count.to_make
    (12, 2, 6, 6, 0, 0)
    """
    _refuse_bad_counts(part)
    operations = part.operations
    passed = passed_each(operations)
    good = passed[-1] if passed else 0
    standing = (0,) * len(operations) if part.marked_finished else _standing(part, passed)
    in_work = sum(standing[1:])
    had = min(good, part.quantity)
    spares_had = min(good - had, part.spares)
    working_for_build = min(in_work, part.quantity - had)
    working_for_spares = min(in_work - working_for_build, part.spares - spares_had)
    return PieceCount(
        quantity=part.quantity,
        spares=part.spares,
        finished_good=good,
        reworked=min(good, max((operation.reworked for operation in operations), default=0)),
        had=had,
        spares_had=spares_had,
        over=good - had - spares_had,
        in_work=in_work,
        scrap=sum(operation.scrap for operation in operations),
        to_make=0 if part.marked_finished else part.quantity - had - working_for_build,
        spares_to_make=0 if part.marked_finished else part.spares - spares_had - working_for_spares,
        uncounted=part.quantity - had if part.marked_finished else 0,
        standing=standing,
        passed=passed,
        gaps=find_count_gaps(operations),
    )


def finished_good(part: PartPlan) -> int:
    """Return the good pieces that have passed the whole route, without counting all others. ValueError as above."""
    _refuse_bad_counts(part)
    return part.operations[-1].good if part.operations else 0


def made_on(quantity: int, counted: Iterable[tuple[date, int]], said_on: date | None = None) -> date | None:
    """Return the day from which on `quantity_made` holds: by the count or because it was said so; None for not yet.

    `counted` are the good pieces at the end of the route, the oldest first, each with its day.

    >>> made_on(3, [(date(2026, 3, 2), 2), (date(2026, 5, 4), 1), (date(2026, 6, 1), 1)])
    datetime.date(2026, 5, 4)
    >>> made_on(9, [(date(2026, 3, 2), 2)], said_on=date(2026, 8, 1))
    datetime.date(2026, 8, 1)
    """
    had = 0
    for day, good in counted:
        had += good
        if had >= quantity:
            return day if said_on is None else min(day, said_on)
    return said_on


def _standing(part: PartPlan, passed: tuple[int, ...]) -> tuple[int, ...]:
    """Pieces that wait for each operation: they passed the one before it and were not yet counted at it."""
    standing: list[int] = []
    before = part.blanks_started
    for operation, through in zip(part.operations, passed, strict=True):
        standing.append(max(0, before - through - operation.scrap))
        before = through
    return tuple(standing)


def _refuse_bad_counts(part: PartPlan) -> None:
    if part.quantity < 0 or part.spares < 0 or part.blanks_started < 0:
        raise ValueError("Pieces needed, spares and blanks are counts of 0 or more.")
    for operation in part.operations:
        if min(operation.good, operation.scrap, operation.reworked) < 0:
            raise ValueError("Good, reworked and scrap are counts of 0 or more.")
        if operation.reworked > operation.good:
            raise ValueError("Reworked pieces are some of the good ones, so there cannot be more of them.")
