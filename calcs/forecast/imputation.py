"""Ranges imputed from the build's own figures, where a part or an operation has none.

What a figured part was planned at, all pieces and set-ups in, is taken as a log-normal population; one more
part is one more member of it, with the doubt of a small sample. An operation borrows from operations: the figure of
a whole part's making is none of an operation, and would count a part anew for each of its operations.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from statistics import median

from calcs.parts.plan import WHOLE_PART, OperationPlan, PartPlan

PRIOR_LOG_SD = 1.0
PRIOR_WORTH = 4.0
"""The spread between parts of one build is taken as a factor of e, as if four parts had said so."""


@dataclass(frozen=True)
class ImputedHours:
    """Planned bench minutes of something without a figure: log-mean and log-sd of a log-normal.

    `setup_minutes` come once beside it, where an operation borrows per piece.
    """

    log_mean: float
    log_sd: float
    setup_minutes: float = 0.0


def impute(minutes: Sequence[float]) -> ImputedHours | None:
    """Return what one more of the same would be planned at, or None where there is nothing to go by.

    >>> imputed = impute([60.0, 60.0, 60.0])
    >>> round(math.exp(imputed.log_mean), 1), round(imputed.log_sd, 2)
    (60.0, 0.94)
    """
    logs = [math.log(figure) for figure in minutes if figure > 0]
    if not logs:
        return None
    mean = sum(logs) / len(logs)
    squares = sum((log - mean) ** 2 for log in logs)
    variance = (PRIOR_WORTH * PRIOR_LOG_SD**2 + squares) / (PRIOR_WORTH + len(logs) - 1)
    return ImputedHours(mean, math.sqrt(variance * (1 + 1 / len(logs))))


def imputed_part(parts: Iterable[PartPlan]) -> ImputedHours | None:
    """Return the planned bench minutes of a whole part, from the parts that have all their figures."""
    return impute([planned_whole(part) for part in parts if part.operations and _all_figured(part)])


def planned_whole(part: PartPlan) -> float:
    """Return the planned bench minutes of all the part's pieces, one set-up at each operation."""
    pieces = part.quantity_with_spares
    return sum(operation.bench_minutes_planned(pieces) for operation in part.operations)


def imputed_operations(parts: Iterable[PartPlan]) -> dict[str, ImputedHours]:
    """Return planned bench minutes per piece and of a set-up by kind, and for any kind under the empty name.

    An operation without a figure lends what its own log measured. A part's making, all of its work in one figure,
    lends to nobody. Empty where no operation has a figure.
    """
    by_kind: dict[str, list[tuple[float, float]]] = {}
    for part in parts:
        for operation in part.operations:
            minutes = _lent(operation)
            if minutes is not None and operation.kind != WHOLE_PART:
                by_kind.setdefault(operation.kind, []).append(minutes)
    everything = [minutes for kind in by_kind.values() for minutes in kind]
    found = {kind: _borrowed(minutes) for kind, minutes in {**by_kind, "": everything}.items()}
    return {kind: imputed for kind, imputed in found.items() if imputed is not None}


def _lent(operation: OperationPlan) -> tuple[float, float] | None:
    """Bench minutes of one piece and of a set-up; None where neither plan nor log tell."""
    if operation.minutes_per_piece is not None:
        at_bench = 1 - operation.unattended_share
        return operation.minutes_per_piece * at_bench, operation.setup_minutes * at_bench
    if operation.counted and operation.bench_minutes_counted > 0:
        return operation.bench_minutes_counted / operation.counted, 0.0
    return None


def _borrowed(lent: Sequence[tuple[float, float]]) -> ImputedHours | None:
    per_piece = impute([minutes for minutes, _ in lent])
    return per_piece and replace(per_piece, setup_minutes=median(setup for _, setup in lent))


def _all_figured(part: PartPlan) -> bool:
    return all(operation.minutes_per_piece is not None for operation in part.operations)
