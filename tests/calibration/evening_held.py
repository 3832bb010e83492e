"""How often work that is offered for an evening fits into it, on simulated builds whose truth is known."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from calcs.forecast.evening import FITS, OperationTimes, fit_into
from calcs.forecast.evening_times import evening_times
from calcs.parts.at_hand import AtHand, pieces_at_hand
from calcs.parts.count import count_pieces
from calcs.parts.plan import BuildPlan, OperationPlan
from tests.calibration.as_of import plan_as_of
from tests.calibration.evenings import History, simulate
from tests.calibration.report import cut_days
from tests.calibration.world import SimulatedOperation, World


@dataclass(frozen=True)
class Held:
    """One operation at one evening: the chance that was stated, whether it is enough to be offered, and the truth.

    `held_at_four_in_five` is of an evening just as long as holds the work with 4 chances in 5; `hours_of_kind` were
    logged at operations of the same kind. `in_hand` is what minutes were spent on and no piece counted of since.
    """

    stated: float
    held: bool
    held_at_four_in_five: bool
    hours_of_kind: float
    in_hand: bool = False

    @property
    def offered(self) -> bool:
        return self.stated >= FITS


def held_of(world: World, seeds: Iterable[int], minutes: float, draws: int = 1000) -> Iterator[Held]:
    """Yield what can be begun at every cut of simulated builds, with an evening of so many minutes ahead."""
    for seed in seeds:
        history = simulate(world, seed)
        for _cut, day in cut_days(history):
            yield from _held_on(history, day, minutes, seed, draws)


def _held_on(history: History, day: int, minutes: float, seed: int, draws: int) -> Iterator[Held]:
    plan, rng = plan_as_of(history, day), np.random.default_rng([seed, day, 77])
    truth = {one.key: one for part in history.shop.parts for one in part.operations}
    hours = _hours_of_kinds(plan)
    at_hand = [
        AtHand(part, place, pieces, may_stand=True)
        for part in plan.parts
        for place, pieces in enumerate(pieces_at_hand(part, count_pieces(part)))
        if pieces
    ]
    for one, times in zip(at_hand, evening_times(plan.parts, at_hand, seed, draws), strict=True):
        operation = one.part.operations[one.place]
        of_kind = hours.get(operation.kind, 0.0)
        if operation.bench_minutes_open > 0:
            took, pieces = _went_on(history, day, operation.key)
            # Where another number was counted than there seemed to be, nobody was told of just these pieces.
            yield from (
                Held(time.chance_within(minutes), took <= minutes, took <= time.point(FITS), of_kind, in_hand=True)
                for time in times.standing
                if time.pieces == pieces
            )
        else:
            yield _afresh(times, operation, truth[operation.key], minutes, of_kind, rng)


def _afresh(
    times: OperationTimes,
    operation: OperationPlan,
    truth: SimulatedOperation,
    minutes: float,
    hours: float,
    rng: np.random.Generator,
) -> Held:
    fit = fit_into(times.set_up, minutes)
    if fit is None:
        raise AssertionError("Everything in a simulated build has a figure.")
    time = next(one for one in times.set_up if one.pieces == fit.pieces)
    took = _took(operation, truth, fit.pieces, rng)
    return Held(fit.chance, took <= minutes, took <= time.point(FITS), hours)


def _went_on(history: History, day: int, operation: int) -> tuple[float, int]:
    """Minutes that were spent on from that day until pieces were counted, and how many."""
    minutes = 0.0
    for entry in history.entries:
        if entry.day > day and entry.operation == operation:
            minutes += entry.minutes
            if entry.good or entry.scrap:
                return minutes, entry.good + entry.scrap
    return minutes, 0


def _took(operation: OperationPlan, truth: SimulatedOperation, pieces: int, rng: np.random.Generator) -> float:
    """Minutes that a set-up and so many pieces take in truth: the same sum as in `tests.calibration.evenings`."""
    setup = truth.setup_minutes * math.exp(truth.log_ratio + 0.2 * rng.standard_normal())
    made = operation.counted + np.arange(1, pieces + 1)
    noise = 0.25 * rng.standard_normal(pieces)
    return float(setup + (truth.minutes_per_piece * made**truth.learning_slope * np.exp(truth.log_ratio + noise)).sum())


def _hours_of_kinds(plan: BuildPlan) -> dict[str, float]:
    hours: dict[str, float] = {}
    for part in plan.parts:
        for operation in part.operations:
            hours[operation.kind] = hours.get(operation.kind, 0.0) + operation.bench_minutes / 60
    return hours
