"""Bench minutes of each operation, drawn: pieces × planned minutes × this shop's ratio.

Rows are operations, columns are draws. The shop's and the kinds' draws are shared by all rows, so that one
doubt moves every operation at once; an operation with a log of its own keeps its own ε.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.forecast.even_draws import Pool
from calcs.forecast.imputation import ImputedHours
from calcs.forecast.rates import FREEDOM, RateDraws, RateObservation, RatePosterior
from calcs.forecast.simulate_route import Block, Singles, column
from calcs.parts.remaining import MEASURED, MISSING, OpenOperation

ROUGH_LOG_SD = 0.3
"""More doubt about a figure that was said to be rough: a judgement."""

FARTHEST_BORROWED = np.float32(2)
"""A borrowed figure is one like those there are, so its surprise ends at two scales of its doubt: a judgement."""
NOTHING_TO_BORROW = ImputedHours(-math.inf, 0.0)

Floats: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True)
class ShopDraws:
    """The shop's draws in single precision, with the place of each kind among them."""

    places: Mapping[str, int]
    kinds: Singles
    operation_variance: Singles
    piece_variance: Singles
    spreads: dict[tuple[int, float], Singles] = field(default_factory=dict)

    def spread(self, pieces: int, more: float) -> Singles:
        """Return the standard deviation (draws) of an operation with so many pieces and so much more variance."""
        key = (max(pieces, 1), more)
        if key not in self.spreads:
            self.spreads[key] = np.sqrt(
                self.operation_variance + self.piece_variance / np.float32(key[0]) + np.float32(more)
            )
        return self.spreads[key]

    @classmethod
    def of(cls, kinds: Sequence[str], draws: RateDraws) -> ShopDraws:
        """Return the draws of a posterior that was fitted for these kinds."""
        return cls(
            {kind: place for place, kind in enumerate(kinds)},
            draws.kinds.astype(np.float32),
            (draws.operation_sd**2).astype(np.float32),
            (draws.piece_sd**2).astype(np.float32),
        )


@dataclass(frozen=True)
class OwnLogs:
    """What single operations were seen to take, the trust in each, and what was learnt over their pieces, by key.

    `ahead` are log-mean and log-sd of the pieces left against those so far.
    """

    seen: Mapping[int, RateObservation]
    trust: Mapping[int, float]
    ahead: Mapping[int, tuple[float, float]]

    @classmethod
    def of(cls, posterior: RatePosterior, ahead: Mapping[int, tuple[float, float]]) -> OwnLogs:
        """Return the operations that a posterior was fitted to; whole parts are left out."""
        pairs = [(one, float(trust)) for one, trust in zip(posterior.observations, posterior.trust, strict=True)]
        seen = {one.key: one for one, _ in pairs if one.kind}
        return cls(seen, {one.key: trust for one, trust in pairs if one.kind}, ahead)


class Noise(Pool):
    """Draws with heavy tails: Student's with as many degrees of freedom as the rates were fitted with.

    Now and then an operation takes ten times its plan, which no normal draw foresees.
    """

    FARTHEST = 4.0

    def __init__(self, rng: np.random.Generator, draws: int) -> None:
        number = self.LENGTH + draws
        widths = np.sqrt(FREEDOM / (2 * rng.standard_gamma(FREEDOM / 2, number)))
        far = np.float32(self.FARTHEST)
        super().__init__(np.clip((rng.standard_normal(number) * widths).astype(np.float32), -far, far))


@dataclass(frozen=True)
class TimeFigures:
    """Bench set-up and bench minutes per piece of each row (columns), imputed ones filled in at their median,
    and the variance that a rough or imputed figure adds."""

    setups: Singles
    setup_minutes: Singles
    minutes_per_piece: Singles
    more_variance: Singles

    @property
    def sure_minutes(self) -> Singles:
        """Set-up still to come, in minutes."""
        return self.setups * self.setup_minutes


def time_figures(block: Block, imputed: Mapping[str, ImputedHours]) -> TimeFigures:
    """Return the planned bench figures of the block's rows."""
    per_piece, setups, variance = [], [], []
    for operation in block.operations:
        minutes, log_sd = operation.minutes_per_piece, ROUGH_LOG_SD if operation.rough else 0.0
        setup_minutes = operation.setup_minutes * (1 - operation.unattended)
        if operation.figure == MISSING:
            found = imputed.get(operation.kind) or imputed.get("") or NOTHING_TO_BORROW
            minutes, log_sd = math.exp(found.log_mean), found.log_sd
            setup_minutes = setup_minutes or found.setup_minutes
        else:
            minutes *= 1 - operation.unattended
        per_piece.append(minutes)
        setups.append(setup_minutes)
        variance.append(log_sd**2)
    return TimeFigures(
        setups=column([operation.setups for operation in block.operations]),
        setup_minutes=column(setups),
        minutes_per_piece=column(per_piece),
        more_variance=column(variance),
    )


def draw_ratios(
    block: Block,
    shop: ShopDraws,
    figures: TimeFigures,
    own: OwnLogs,
    noise: Singles,
) -> Singles:
    """Return actual ÷ planned for the pieces ahead of every operation (rows, draws).

    `noise` are rows of `Noise`, used up in place. An operation that has spent bench minutes on pieces not counted
    yet is drawn given that the work in hand takes longer than that.
    """
    special = []
    more = figures.more_variance[:, 0].tolist()
    for row, operation in enumerate(block.operations):
        if operation.open_minutes > 0 or operation.figure == MEASURED or operation.key in own.seen:
            special.append(row)
            continue
        if operation.figure == MISSING:
            np.clip(noise[row], -FARTHEST_BORROWED, FARTHEST_BORROWED, out=noise[row])
        noise[row] *= shop.spread(operation.pieces, more[row])
        noise[row] += shop.kinds[shop.places[operation.kind]]
    if special:
        noise[special] = _special(block, special, shop, figures, own, noise[special])
    return np.exp(np.minimum(noise, np.float32(12), out=noise), out=noise)


def _special(
    block: Block, rows: Sequence[int], shop: ShopDraws, figures: TimeFigures, own: OwnLogs, noise: Singles
) -> Singles:
    """Return logarithms of the ratio for rows that have a log of their own, whether counted or in hand."""
    operations, pieces = [block.operations[row] for row in rows], block.pieces[rows]
    centre = shop.kinds[[shop.places[operation.kind] for operation in operations]]
    spread: Singles = np.divide(shop.piece_variance, np.maximum(pieces, 1), dtype=np.float32)
    spread += shop.operation_variance
    spread += figures.more_variance[rows]
    _use_own_logs(operations, own, shop, centre, spread, pieces)
    np.sqrt(spread, out=spread)
    planned = (figures.sure_minutes + figures.minutes_per_piece * block.pieces)[rows, 0].tolist()
    for row, operation in enumerate(operations):
        if operation.open_minutes > 0 and planned[row] > 0:
            log_least = math.log(operation.open_minutes / planned[row])
            noise[row] = beyond((log_least - centre[row]) / np.maximum(spread[row], 1e-3), noise[row])
    noise *= spread
    noise += centre
    return noise


FARTHEST_BEYOND = 3.0
"""How far past what it has taken already an operation in hand may go, in scales of its doubt."""


def beyond(least: Singles | Floats, noise: Singles | Floats) -> Floats:
    """Return draws of `Noise` given that they lie above `least`, one for one with unconditioned draws.

    Heavy tails mean that what has overrun goes on overrunning. None lies farther above than three.

    >>> beyond(np.array([-40.0, 1.0, 30.0]), np.array([0.5, 0.5, 0.5])).round(2).tolist()
    [0.5, 1.97, 33.0]
    """
    floor = np.clip(np.asarray(least, dtype=float), -500, 500)
    # The chance above a draw, scaled down to the chance above the least.
    chance = _chance_above(floor) * _chance_above(np.asarray(noise, dtype=float))
    return np.clip(_point_below(chance), floor, np.maximum(floor + FARTHEST_BEYOND, Noise.FARTHEST))


def _chance_above(point: Floats) -> Floats:
    """Return the chance that Student's t with `FREEDOM` degrees lies above the point.

    In closed form, which holds for four degrees alone: SciPy's stdtr takes 25 times as long. A test holds both
    functions to FREEDOM.
    """
    scaled = point**2 / 4
    # The part beyond one half, written so that far out nothing is lost: 1 − s (3 − s²) ÷ 2 = (1 − s)² (2 + s) ÷ 2.
    sine = np.abs(point) / 2 / np.sqrt(1 + scaled)
    gap = 1 / ((1 + scaled) * (1 + sine))
    tail = gap**2 * (2 + sine) / 4
    return np.asarray(np.where(point > 0, tail, 1 - tail))


def _point_below(chance: Floats) -> Floats:
    """Return the point above which Student's t with `FREEDOM` degrees lies with this chance; four, as above.

    W. T. Shaw 2006, Journal of Computational Finance 9(4), 37-73 (from memory); SciPy agrees in the tests.
    """
    root = np.sqrt(4 * chance * (1 - chance))
    size = 2 * np.sqrt(np.maximum(np.cos(np.arccos(np.minimum(root, 1)) / 3) / np.maximum(root, 1e-300) - 1, 0))
    return np.asarray(np.where(chance < 0.5, size, -size))


def _use_own_logs(
    operations: Sequence[OpenOperation],
    own: OwnLogs,
    shop: ShopDraws,
    centre: Singles,
    spread: Singles,
    pieces: Singles,
) -> None:
    """Shrink rows with a log towards their own ratio, and let measured figures stand as they are."""
    rows = [row for row, operation in enumerate(operations) if operation.key in own.seen]
    if rows:
        seen = [own.seen[operations[row].key] for row in rows]
        noise = shop.piece_variance / column([one.pieces for one in seen])
        # An operation far from its kind shows that its own ε is a wide one, so it speaks for itself all the more.
        wide = shop.operation_variance / column([own.trust[one.key] for one in seen])
        weight = wide / (wide + noise)
        centre[rows] += weight * (column([one.log_ratio for one in seen]) - centre[rows])
        spread[rows] += wide * (1 - weight) - shop.operation_variance
    measured = [row for row, operation in enumerate(operations) if operation.figure == MEASURED]
    if measured:
        counted = column([operations[row].good + operations[row].scrap for row in measured])
        centre[measured] = 0.0
        spread[measured] = shop.piece_variance * (1 / counted + 1 / np.maximum(pieces[measured], 1))
    for row in rows + measured:
        shift, doubt = own.ahead.get(operations[row].key, (0.0, 0.0))
        centre[row] += shift
        spread[row] += doubt**2
