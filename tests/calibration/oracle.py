"""The floor: hours left as drawn by somebody who knows the shop's true ratios, yields, curves, growth and shop time.

What is left to chance is what no log could teach: how far single operations not begun lie from their kind, the pieces
that will be lost, and what will come into the plan. An operation that was begun is known with what it has of its own.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from calcs.forecast.result import Spread
from calcs.forecast.summary import spread_of
from calcs.parts.remaining import OpenOperation, OpenPart, open_parts
from tests.calibration.as_of import plan_as_of
from tests.calibration.evenings import LEAST_CHANCE_GOOD, PLANNED_HOURS_OF_AN_ADDITION, History
from tests.calibration.world import SimulatedOperation

Floats = NDArray[np.float64]
ROUNDS = 3


def hours_left(history: History, day: int, seed: int, draws: int = 400) -> Spread:
    """Return the hours left of a simulated build on a day, as its shop's true figures give them."""
    rng = np.random.default_rng([seed, 5])
    truth = {operation.key: operation for part in history.shop.parts for operation in part.operations}
    plan = plan_as_of(history, day, in_full=True)
    minutes = np.zeros(draws)
    for part in open_parts(plan.parts):
        minutes += _part(part, truth, history, rng, draws)
    hours = minutes / 60
    hours += _growth(hours, history, rng)
    return spread_of(hours / (1 - history.shop.shop_share))


def _part(
    part: OpenPart, truth: dict[int, SimulatedOperation], history: History, rng: np.random.Generator, draws: int
) -> Floats:
    """Minutes left of one part (draws): once through the route, and again for what was lost."""
    ratios = {one.key: _ratio(one, truth[one.key], history, rng, draws) for one in part.operations}
    chances = {one.key: max(LEAST_CHANCE_GOOD, truth[one.key].chance_good) for one in part.operations}
    minutes, short = np.zeros(draws), np.zeros(draws, dtype=int)
    for one in part.operations:
        pieces = np.maximum(one.pieces - short, 0)
        short = short + pieces - rng.binomial(pieces, chances[one.key])
        ahead = ratios[one.key] * _curve(one, truth[one.key].learning_slope, pieces)
        # What was spent on a piece in hand is not spent again.
        minutes += np.maximum(ahead - one.open_minutes, 0.2 * ahead * (one.open_minutes > 0))
    for _ in range(ROUNDS):
        if not short.any():
            break
        again, short = short, np.zeros(draws, dtype=int)
        for one in part.operations:
            pieces = np.maximum(again - short, 0)
            short = short + pieces - rng.binomial(pieces, chances[one.key])
            each = one.minutes_per_piece * (one.pieces + one.good + one.scrap) ** truth[one.key].learning_slope
            minutes += ratios[one.key] * (one.setup_minutes * (pieces > 0) + each * pieces)
    return minutes


def _curve(one: OpenOperation, slope: float, pieces: NDArray[np.int_]) -> Floats:
    made = one.good + one.scrap
    most = int(pieces.max(initial=0))
    units = np.concatenate([[0.0], np.cumsum(np.arange(made + 1, made + most + 1, dtype=float) ** slope)])
    return np.asarray(one.setup_minutes * one.setups + one.minutes_per_piece * units[pieces])


def _ratio(
    one: OpenOperation, true: SimulatedOperation, history: History, rng: np.random.Generator, draws: int
) -> Floats:
    shop, world = history.shop, history.shop.world
    # The mean of a piece's noise lies above its median.
    noise = world.piece_log_sd**2 / 2
    if one.good + one.scrap + one.open_minutes > 0:
        return np.full(draws, math.exp(true.log_ratio + noise))
    own = np.clip(world.operation_scale * rng.standard_t(world.degrees_of_freedom, draws), -2.0, 2.3)
    return np.asarray(np.exp(shop.log_ratio + shop.kind_effects[true.kind] + own + noise))


def _growth(hours: Floats, history: History, rng: np.random.Generator) -> Floats:
    """Hours (draws) of what comes into the plan while `hours` are worked off, and of what comes with that."""
    sizes = np.array(
        [
            sum(one.setup_minutes + part.quantity * one.minutes_per_piece for one in part.operations) / 60
            for part in history.shop.parts
        ]
    )
    shop = history.shop
    cost = math.exp(shop.log_ratio + 0.15)
    added = np.zeros(len(hours))
    fresh = hours
    for _ in range(ROUNDS):
        number = rng.poisson(fresh * shop.growth / PLANNED_HOURS_OF_AN_ADDITION)
        # Six in ten are one more operation on a part, which has about three and a quarter of them.
        lumps = rng.choice(sizes, size=(int(number.max(initial=0)), len(hours))) * cost
        lumps *= np.where(rng.random(lumps.shape) < 0.6, 1 / 3.25, 1.0)
        fresh = np.where(np.arange(len(lumps))[:, None] < number, lumps, 0.0).sum(axis=0)
        added = added + fresh
    return added
