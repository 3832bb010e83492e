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

from calcs.forecast.curve import NO_CURVE, OnCurve, on_curve
from calcs.forecast.even_draws import Pool
from calcs.forecast.imputation import ImputedHours
from calcs.forecast.rate_seen import RateObservation, SlopeSeen, averaged
from calcs.forecast.rates import OWN_SLOPE_SD, RateDraws, RatePosterior
from calcs.forecast.simulate_route import Block, Singles, column
from calcs.forecast.tails import FARTHEST, FREEDOM, beyond, stretch
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
    slope: Singles
    operation_variance: Singles
    piece_variance: Singles
    freedom: float
    spreads: dict[tuple[int, float, float], Singles] = field(default_factory=dict)

    def spread(self, pieces: int, more: float, scatter: float) -> Singles:
        """Return the standard deviation (draws) of an operation with so many pieces, that has this share of an
        operation's variance and so much more."""
        key = (max(pieces, 1), more, scatter)
        if key not in self.spreads:
            self.spreads[key] = np.sqrt(
                np.float32(scatter) * (self.operation_variance + self.piece_variance / np.float32(key[0]))
                + np.float32(more)
            )
        return self.spreads[key]

    @classmethod
    def of(cls, kinds: Sequence[str], draws: RateDraws) -> ShopDraws:
        """Return the draws of a posterior that was fitted for these kinds."""
        return cls(
            {kind: place for place, kind in enumerate(kinds)},
            draws.kinds.astype(np.float32),
            draws.slope.astype(np.float32),
            (draws.operation_sd**2).astype(np.float32),
            (draws.piece_sd**2).astype(np.float32),
            draws.freedom,
        )


@dataclass(frozen=True)
class OwnLogs:
    """What single operations were seen to take, the trust in each, and their own slopes, by key.

    `slopes` are mean and standard deviation of what lies between an operation's slope and the usual one, for those
    whose lots tell.
    """

    seen: Mapping[int, RateObservation]
    trust: Mapping[int, float]
    slopes: Mapping[int, tuple[float, float]]

    @classmethod
    def of(cls, posterior: RatePosterior, slopes: Mapping[int, SlopeSeen]) -> OwnLogs:
        """Return the operations that a posterior was fitted to; whole parts are left out."""
        pairs = [(one, float(trust)) for one, trust in zip(posterior.observations, posterior.trust, strict=True)]
        seen = {one.key: one for one, _ in pairs if one.kind}
        trust = {one.key: trust for one, trust in pairs if one.kind}
        return cls(seen, trust, {key: posterior.own_slope(slope) for key, slope in slopes.items()})


class Noise(Pool):
    """Draws with heavy tails: Student's with the degrees of freedom that the rates were fitted with.

    Now and then an operation takes ten times its plan, which no normal draw foresees.
    """

    def __init__(self, rng: np.random.Generator, draws: int, freedom: float = FREEDOM) -> None:
        number = self.LENGTH + draws
        self.freedom = freedom
        widths = np.sqrt(FREEDOM / (2 * rng.standard_gamma(FREEDOM / 2, number)))
        drawn = stretch(rng.standard_normal(number) * widths, freedom)
        super().__init__(np.clip(drawn, -FARTHEST, FARTHEST).astype(np.float32))


@dataclass(frozen=True)
class TimeFigures:
    """Bench set-up and bench minutes per piece of each row (columns), imputed ones filled in at their median,
    the variance that a rough or imputed figure adds, and the usual learning curve of the pieces ahead."""

    setups: Singles
    setup_minutes: Singles
    minutes_per_piece: Singles
    more_variance: Singles
    curves: list[OnCurve]
    scatters: list[float]

    @property
    def sure_minutes(self) -> Singles:
        """Set-up still to come, in minutes."""
        return self.setups * self.setup_minutes


def time_figures(block: Block, imputed: Mapping[str, ImputedHours]) -> TimeFigures:
    """Return the planned bench figures of the block's rows."""
    per_piece, setups, variance, curves, scatters = [], [], [], [], []
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
        made = operation.good + operation.scrap
        curves.append(on_curve(setup_minutes * operation.setups, minutes, made, operation.pieces))
        scatters.append(averaged(operation.kind, setup_minutes * operation.setups + minutes * operation.pieces))
    return TimeFigures(
        setups=column([operation.setups for operation in block.operations]),
        setup_minutes=column(setups),
        minutes_per_piece=column(per_piece),
        more_variance=column(variance),
        curves=curves,
        scatters=scatters,
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
        curve = figures.curves[row]
        # In round thousandths, so that operations share their spreads.
        slopes_apart = round((OWN_SLOPE_SD * curve.load) ** 2, 3)
        noise[row] *= shop.spread(operation.pieces, more[row] + slopes_apart, figures.scatters[row])
        noise[row] += shop.kinds[shop.places[operation.kind]]
        if curve is not NO_CURVE:
            noise[row] += np.float32(curve.shift) + np.float32(curve.load) * shop.slope
    if special:
        noise[special] = _special(block, special, shop, figures, own, noise[special])
    return np.exp(np.minimum(noise, np.float32(12), out=noise), out=noise)


def _special(
    block: Block, rows: Sequence[int], shop: ShopDraws, figures: TimeFigures, own: OwnLogs, noise: Singles
) -> Singles:
    """Return logarithms of the ratio for rows that have a log of their own, whether counted or in hand."""
    operations, pieces = [block.operations[row] for row in rows], block.pieces[rows]
    centre = shop.kinds[[shop.places[operation.kind] for operation in operations]]
    scatter = column([figures.scatters[row] for row in rows])
    spread: Singles = np.divide(shop.piece_variance, np.maximum(pieces, 1), dtype=np.float32)
    spread += shop.operation_variance
    spread *= scatter
    spread += figures.more_variance[rows]
    _use_own_logs(operations, own, shop, centre, spread, pieces, scatter)
    _carry_on(operations, own, shop, [figures.curves[row] for row in rows], centre, spread)
    np.sqrt(spread, out=spread)
    planned = (figures.sure_minutes + figures.minutes_per_piece * block.pieces)[rows, 0].tolist()
    for row, operation in enumerate(operations):
        if operation.open_minutes > 0 and planned[row] > 0:
            log_least = math.log(operation.open_minutes / planned[row])
            noise[row] = beyond((log_least - centre[row]) / np.maximum(spread[row], 1e-3), noise[row], shop.freedom)
    noise *= spread
    noise += centre
    return noise


def _use_own_logs(
    operations: Sequence[OpenOperation],
    own: OwnLogs,
    shop: ShopDraws,
    centre: Singles,
    spread: Singles,
    pieces: Singles,
    scatter: Singles,
) -> None:
    """Shrink rows with a log towards their own ratio, and let measured figures stand as they are."""
    rows = [row for row, operation in enumerate(operations) if operation.key in own.seen]
    if rows:
        seen = [own.seen[operations[row].key] for row in rows]
        noise = scatter[rows] * shop.piece_variance / column([one.pieces for one in seen])
        all_own = scatter[rows] * shop.operation_variance
        # An operation far from its kind shows that its own ε is a wide one, so it speaks for itself all the more.
        wide = all_own / column([own.trust[one.key] for one in seen])
        weight = wide / (wide + noise)
        at_slope = np.stack([_slope_of(one.key, own, shop)[0] * np.float32(one.curve.load) for one in seen])
        centre[rows] += weight * (column([one.log_ratio for one in seen]) - at_slope - centre[rows])
        spread[rows] += wide * (1 - weight) - all_own
    measured = [row for row, operation in enumerate(operations) if operation.figure == MEASURED]
    if measured:
        counted = column([operations[row].good + operations[row].scrap for row in measured])
        centre[measured] = 0.0
        spread[measured] = shop.piece_variance * (1 / counted + 1 / np.maximum(pieces[measured], 1))


def _carry_on(
    operations: Sequence[OpenOperation],
    own: OwnLogs,
    shop: ShopDraws,
    curves: Sequence[OnCurve],
    centre: Singles,
    spread: Singles,
) -> None:
    """Put the pieces ahead on their curve: at an operation's own slope where its lots tell, at the shop's elsewhere."""
    for row, (operation, ahead) in enumerate(zip(operations, curves, strict=True)):
        seen = own.seen.get(operation.key)
        behind = seen.curve if seen else NO_CURVE
        shift, load = ahead.shift, ahead.load
        if operation.figure == MEASURED:
            # A measured figure is the mean of the pieces made so far, not the first one's.
            behind = on_curve(0.0, operation.minutes_per_piece, 0, operation.good + operation.scrap)
            shift, load = shift - behind.shift, load - behind.load
        slope, doubt = _slope_of(operation.key, own, shop)
        centre[row] += np.float32(shift) + np.float32(load) * slope
        spread[row] += (doubt * (ahead.load - behind.load)) ** 2


def _slope_of(key: int, own: OwnLogs, shop: ShopDraws) -> tuple[Singles, float]:
    """The slope beside the usual one (draws) that goes with an operation, and the doubt that it leaves to each."""
    if key not in own.slopes:
        return shop.slope, OWN_SLOPE_SD
    mean, doubt = own.slopes[key]
    return np.full_like(shop.slope, mean), doubt
