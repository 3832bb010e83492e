"""The log of a builder who counts nothing: hours on parts or on whole assemblies, which are said to be finished."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from calcs.parts.plan import WHOLE_PART, OperationPlan, PartPlan
from tests.calibration.evenings import History


def without_counts(parts: Sequence[PartPlan], history: History, day: int) -> tuple[PartPlan, ...]:
    """Return the parts as such a builder's record shows them on a day."""
    last = {part.key: 0 for part in history.shop.parts}
    for entry in history.entries:
        if entry.part is not None:
            last[entry.part] = max(last[entry.part], entry.day)
    finished = {key for key, until in last.items() if until <= day}
    names_operations = bool(history.shop.keys % 2)
    if history.shop.world.logs == "assemblies":
        return _assemblies(parts, finished, names_operations)
    shown = _with_hours_on_operations if names_operations else _with_hours_on_the_part
    return tuple(replace(shown(part), marked_finished=part.key in finished, blanks_started=0) for part in parts)


def _with_hours_on_operations(part: PartPlan) -> PartPlan:
    return replace(part, operations=tuple(_uncounted(operation) for operation in part.operations))


def _with_hours_on_the_part(part: PartPlan) -> PartPlan:
    making = OperationPlan(
        part.key,
        WHOLE_PART,
        sum(operation.setup_minutes for operation in part.operations),
        sum(operation.minutes_per_piece or 0.0 for operation in part.operations),
        rough=any(operation.rough for operation in part.operations),
    )
    return replace(part, operations=(making,), bench_minutes_elsewhere=part.bench_minutes)


def _uncounted(operation: OperationPlan) -> OperationPlan:
    return replace(
        operation,
        good=0,
        reworked=0,
        scrap=0,
        bench_minutes_counted=0.0,
        bench_minutes_open=operation.bench_minutes,
        piece_minutes=(),
    )


def _assemblies(parts: Sequence[PartPlan], finished: set[int], names_operations: bool) -> tuple[PartPlan, ...]:
    """One part for each assembly: all its planned minutes in one figure, all its hours in one sum."""
    shown = []
    for key, group in enumerate(dict.fromkeys(part.group for part in parts), start=1):
        members = [part for part in parts if part.group == group]
        planned = sum(
            operation.bench_minutes_planned(part.quantity_with_spares)
            for part in members
            for operation in part.operations
        )
        spent = sum(part.bench_minutes for part in members)
        done = all(part.key in finished for part in members)
        making = OperationPlan(key, WHOLE_PART, 0.0, planned, setups_done=int(spent > 0 and names_operations))
        if names_operations:
            counted, still_open = (spent, 0.0) if done else (0.0, spent)
            making = replace(making, good=int(done), bench_minutes_counted=counted, bench_minutes_open=still_open)
        shown.append(
            PartPlan(
                key,
                group,
                "",
                1,
                0,
                (making,),
                bench_minutes_elsewhere=0.0 if names_operations else spent,
                marked_finished=done and not names_operations,
            )
        )
    return tuple(shown)
