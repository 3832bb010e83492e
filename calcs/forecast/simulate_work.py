"""The hours left of every part, drawn block by block.

Every part reads draws of its own, so that its figures do not hang on what becomes of the others, and the arrays of
one block stay small enough to be worked on quickly.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.forecast.curve import OnCurve
from calcs.forecast.even_draws import Pool, code_of, even_normals
from calcs.forecast.imputation import ImputedHours
from calcs.forecast.rates import RateDraws
from calcs.forecast.simulate_route import (
    Block,
    KindYields,
    Singles,
    again_set_up,
    blocks_of,
    column,
    draw_kind_yields,
    draw_remakes,
    draw_yields,
)
from calcs.forecast.simulate_times import (
    FARTHEST_BORROWED,
    Noise,
    OwnLogs,
    ShopDraws,
    draw_ratios,
    time_figures,
)
from calcs.forecast.tails import beyond
from calcs.parts.remaining import MISSING, OpenPart
from calcs.parts.yields import ShopYield

Floats: TypeAlias = NDArray[np.float64]

ROWS_PER_BLOCK = 64
UNATTENDED_LOG_SD = 0.2
"""Machines keep to their plan better than people do: a judgement."""
LEAST_SHARE_LEFT = 0.1
"""Where hours were logged on a part and no operation was named or counted, a tenth at least is still to do."""


@dataclass(frozen=True)
class Knowledge:
    """All that the drawing of the parts rests on."""

    kinds: tuple[str, ...]
    rates: RateDraws
    own: OwnLogs
    shop_yield: ShopYield
    imputed_part: ImputedHours | None
    imputed_operations: Mapping[str, ImputedHours]
    excess: float = 0.0
    """Log-mean of what finished parts took against what was foreseen; `rates` have it in."""


@dataclass(frozen=True)
class Pools:
    """Where every operation and part reads its own draws: of its yield (normal), of its losses (chances), surprises."""

    yields: Pool
    losses: Pool
    noise: Noise


@dataclass
class PartDraws:
    """Hours left of each open part (parts, draws), at the bench and unattended, and what they are made of.

    `foreseeable` says for which parts there was anything to draw from. The sums are mean hours: planned × ratio, what
    learning takes off and finished parts put on, the same all in with an imputed figure, remakes, and what was already
    spent on unfinished work.
    """

    bench: Singles
    unattended: Singles
    foreseeable: NDArray[np.bool_]
    at_own_ratio: float = 0.0
    learning: float = 0.0
    excess: float = 0.0
    imputed: float = 0.0
    remakes: float = 0.0
    work_in_progress: float = 0.0


def draw_parts(parts: Sequence[OpenPart], known: Knowledge, seed: np.random.SeedSequence, draws: int) -> PartDraws:
    """Return the hours left of every open part, in draws that share the shop's doubts.

    `known.rates` holds as many draws. Parts without any figure come from what the build's others were planned at.
    """
    result = PartDraws(
        np.zeros((len(parts), draws), dtype=np.float32),
        np.zeros((len(parts), draws), dtype=np.float32),
        np.array([part.figured or known.imputed_part is not None for part in parts], dtype=bool),
    )
    yield_seed, own_seed, loss_seed, machine_seed, noise_seed = seed.spawn(5)
    drawn_kinds = draw_kind_yields(known.kinds, known.shop_yield, _rng(yield_seed), draws)
    kind_yields = dict(zip(known.kinds, drawn_kinds, strict=True))
    machine = np.exp(UNATTENDED_LOG_SD * even_normals(_rng(machine_seed), draws)).astype(np.float32)
    figured = [place for place, part in enumerate(parts) if part.figured]
    shop = ShopDraws.of(known.kinds, known.rates)
    number = Pool.LENGTH + draws
    pools = Pools(
        Pool(_rng(own_seed).standard_normal(number, dtype=np.float32)),
        Pool(_rng(loss_seed).random(number, dtype=np.float32)),
        Noise(_rng(noise_seed), draws, known.rates.freedom),
    )
    done = 0
    for block in blocks_of([parts[place] for place in figured], ROWS_PER_BLOCK):
        places = figured[done : done + len(block.parts)]
        _draw_block(block, places, known, shop, kind_yields, machine, pools, result)
        done += len(block.parts)
    _draw_unfigured(parts, known, pools.noise, result)
    return result


def _rng(seed: np.random.SeedSequence) -> np.random.Generator:
    return np.random.default_rng(seed)


def _draw_block(
    block: Block,
    places: Sequence[int],
    known: Knowledge,
    shop: ShopDraws,
    kind_yields: Mapping[str, KindYields],
    machine: Singles,
    pools: Pools,
    result: PartDraws,
) -> None:
    """Draw the parts of one block and add what they are made of to the sums."""
    extra = draw_remakes(block, draw_yields(block, kind_yields, known.shop_yield, pools.yields), pools.losses)
    figures = time_figures(block, known.imputed_operations)
    ratios = draw_ratios(block, shop, figures, known.own, pools.noise.rows(block.codes))
    planned = figures.sure_minutes + figures.minutes_per_piece * block.pieces
    remade = extra * figures.minutes_per_piece
    remade += again_set_up(block, extra) * figures.setup_minutes
    _add_unattended(block, places, extra, machine, result)
    expected = _means(ratios) * planned[:, 0]
    remade *= ratios
    ratios *= planned
    minutes = ratios
    minutes += remade
    spent = _spent(block, planned)
    if spent.any():
        minutes -= spent
        np.maximum(minutes, 0, out=minutes)
    left = _left_of_parts(block, minutes)
    result.bench[places] = left / 60
    _note_sums(block, expected, _mean_sum(remade), _mean_sum(left), result)
    _split_ratio(block, expected, figures.curves, known, result)


def _left_of_parts(block: Block, minutes: Singles) -> Singles:
    """Sum the minutes (rows, draws) by part, less what was logged on a part where nothing was counted yet."""
    by_part = np.array([minutes[rows].sum(axis=0) for rows in block.rows])
    elsewhere = column([part.elsewhere_minutes for part in block.parts])
    if elsewhere.any():
        by_part = np.where(elsewhere > 0, np.maximum(by_part - elsewhere, LEAST_SHARE_LEFT * by_part), by_part)
    return by_part


def _means(minutes: Singles) -> Floats:
    """Return the mean of each row; a product with ones is many times quicker than a mean in double precision."""
    draws = minutes.shape[1]
    return np.asarray(minutes @ np.full(draws, 1 / draws, dtype=np.float32), dtype=np.float64)


def _mean_sum(minutes: Singles) -> float:
    return float(_means(minutes).sum())


def _spent(block: Block, planned: Singles) -> Singles:
    """Bench minutes already spent on the work in hand of each row, where the plan has minutes for it."""
    spent = [operation.open_minutes for operation in block.operations]
    return np.where(planned > 0, column(spent), np.float32(0))


def _note_sums(block: Block, expected: Floats, remade: float, left: float, result: PartDraws) -> None:
    """Add to the sums; what was already spent is what the others exceed the minutes left by."""
    imputed = np.array([operation.figure == MISSING for operation in block.operations])
    result.imputed += float(expected[imputed].sum()) / 60
    result.remakes += remade / 60
    result.work_in_progress += (float(expected.sum()) + remade - left) / 60


def _split_ratio(
    block: Block, expected: Floats, curves: Sequence[OnCurve], known: Knowledge, result: PartDraws
) -> None:
    """Add to the sums what planned × ratio comes to, and what learning and finished parts make of it."""
    slope = float(known.rates.slope.mean())
    given = np.array([operation.figure != MISSING for operation in block.operations])
    curve = np.exp([one.shift + slope * one.load for one in curves])
    first_pieces = expected / curve / math.exp(known.excess)
    result.at_own_ratio += float(first_pieces[given].sum()) / 60
    result.learning += float((first_pieces * (curve - 1))[given].sum()) / 60
    result.excess += float((expected - first_pieces * curve)[given].sum()) / 60


def _add_unattended(block: Block, places: Sequence[int], extra: Singles, machine: Singles, result: PartDraws) -> None:
    """Add the unattended hours; the bench's ratio has no say in them."""
    for place, part, rows in zip(places, block.parts, block.rows, strict=True):
        for operation, remade in zip(part.operations, extra[rows], strict=True):
            if operation.unattended > 0:
                per_piece = operation.minutes_per_piece * operation.unattended
                minutes = operation.planned_unattended_minutes + per_piece * remade
                result.unattended[place] += machine * minutes / 60


def _draw_unfigured(parts: Sequence[OpenPart], known: Knowledge, noise: Noise, result: PartDraws) -> None:
    """Draw parts without a figure, each given that it takes longer than what was logged on it already."""
    imputed = known.imputed_part
    if imputed is None:
        return
    for place, part in enumerate(parts):
        if part.figured:
            continue
        surprise: Floats = noise.rows([code_of(part.number)])[0].astype(float)
        np.clip(surprise, -FARTHEST_BORROWED, FARTHEST_BORROWED, out=surprise)
        centre: Floats = imputed.log_mean + known.rates.shop
        spread: Floats = np.sqrt(imputed.log_sd**2 + known.rates.operation_sd**2)
        if part.logged_minutes > 0:
            surprise = beyond((math.log(part.logged_minutes) - centre) / spread, surprise, noise.freedom)
        minutes = np.exp(np.minimum(centre + spread * surprise, 18.0)) - part.logged_minutes
        result.bench[place] = np.maximum(minutes, 0) / 60
        result.imputed += float(np.maximum(minutes, 0).mean()) / 60
