"""Planned against actual: what this shop's own log says of the plan.

    log(actual ÷ planned) = μ + κ(kind) + ε(operation) + piece noise ÷ √pieces

A normal hierarchical model. μ is the shop's bias, κ what a kind of operation adds to it, ε what one operation
has of its own. Given the three standard deviations (of κ, of ε and of one piece) everything else is closed
form; they are integrated over a grid, each point weighing marginal likelihood × prior. The mixture over the
grid gives the tails: where a log is full of surprises, the wide points take the weight.

Few data shrink to the shop, many speak for themselves: B. Efron and C. Morris 1975, Journal of the American
Statistical Association 70, 311-319; A. Gelman and others, Bayesian Data Analysis, chapter 5.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.forecast.even_draws import even_chances, even_normals
from calcs.forecast.result import RateSummary

Floats: TypeAlias = NDArray[np.float64]

PRIOR_MEDIAN_RATIO = 1.3
"""Published overruns run from none (many small tasks) to 30-90 per cent of the estimate (whole projects)."""
PRIOR_LOG_SD = 0.5
WILDEST_RATIO = 30.0
"""Ratios beyond this (or below its inverse) are read as this. The fitted 99th percentile of published task
ratios is 32; what lies beyond is a slip of the pen (hours for minutes is 60) and must not move the shop."""

KIND_SDS = (0.05, 0.12, 0.25, 0.45, 0.8)
OPERATION_SDS = (0.08, 0.16, 0.28, 0.45, 0.7, 1.1)
PIECE_SDS = (0.06, 0.15, 0.35, 0.7, 1.2)
FREEDOM = 4.0
"""Degrees of freedom of one operation's surprise: tails that hold an operation of ten times its plan."""
ROUNDS = 4
TIMING_MINUTES = 9.0
"""How exactly evenings are written down: to the half hour, whose rounding has this standard deviation (30 ÷ √12)."""
PRIOR_SCALES = (0.4, 0.35, 0.4)
"""Half-normal priors on the three standard deviations of κ, ε and one piece: weak, and a judgement."""


@dataclass(frozen=True)
class RateObservation:
    """One operation's log so far: planned and actual bench minutes of the pieces that were counted.

    An empty `kind` is a whole part: it speaks of the shop and of no kind. Minutes are above 0, pieces at
    least 1; ValueError otherwise.
    """

    key: int
    kind: str
    planned_minutes: float
    actual_minutes: float
    pieces: int = 1

    def __post_init__(self) -> None:
        minutes = self.planned_minutes, self.actual_minutes
        if not all(math.isfinite(figure) and figure > 0 for figure in minutes) or self.pieces < 1:
            raise ValueError("A rate is learned from planned and actual minutes above 0 and at least one piece.")

    @property
    def log_ratio(self) -> float:
        """The logarithm of actual ÷ planned, held to ± log 30."""
        limit = math.log(WILDEST_RATIO)
        return max(-limit, min(limit, math.log(self.actual_minutes) - math.log(self.planned_minutes)))


@dataclass(frozen=True)
class RateDraws:
    """Draws of the shop: one column a draw.

    `shop` (draws) is μ; `kinds` (kinds, draws) is μ + κ; `operation_sd`, `piece_sd` and `kind_sd` (draws) are the
    standard deviations of ε, of one piece's noise and of κ. All are logarithms or their spread.
    """

    shop: Floats
    kinds: Floats
    operation_sd: Floats
    piece_sd: Floats
    kind_sd: Floats

    def mean_ratio(self) -> Floats:
        """Return the mean actual ÷ planned (draws) of an operation of any kind, which lies above the median."""
        return np.asarray(np.exp(self.shop + (self.kind_sd**2 + self.operation_sd**2) / 2))

    def shifted(self, by: Floats) -> RateDraws:
        """Return the same with a logarithm (draws) added to the shop and to every kind alike."""
        return RateDraws(self.shop + by, self.kinds + by, self.operation_sd, self.piece_sd, self.kind_sd)


@dataclass(frozen=True)
class RatePosterior:
    """What is held of μ and κ after the log: a mixture of normals over the grid of standard deviations.

    `sds` (grid, 3) are those of κ, ε and one piece; `weights` (grid) add up to 1; `means` (grid, 1 + kinds) and
    `roots` (grid, 1 + kinds, 1 + kinds, lower Cholesky) describe μ followed by the κ of `kinds`. `trust` is the
    weight of each observation: near 1 for an ordinary one, near 0 for one that is far from everything else.
    """

    kinds: tuple[str, ...]
    observations: tuple[RateObservation, ...]
    sds: Floats
    weights: Floats
    means: Floats
    roots: Floats
    trust: Floats

    def draw(self, rng: np.random.Generator, draws: int) -> RateDraws:
        """Return so many joint draws. A kind more at the end leaves the draws of the others as they were."""
        chosen = np.searchsorted(np.cumsum(self.weights), even_chances(rng, draws) * (1 - 1e-12))
        chosen = np.minimum(chosen, len(self.weights) - 1)
        noise = np.array([even_normals(rng, draws) for _ in range(1 + len(self.kinds))])
        effects = self.means[chosen].T
        for point in np.unique(chosen):
            here = chosen == point
            effects[:, here] += self.roots[point] @ noise[:, here]
        kind_sd, operation_sd, piece_sd = self.sds[chosen].T
        return RateDraws(effects[0], effects[0] + effects[1:], operation_sd, piece_sd, kind_sd)

    def overall(self) -> RateSummary:
        """Return planned against actual over everything observed, with the shop's own ratio."""
        centres = self.means[:, 0]
        spreads = np.abs(self.roots[:, 0, 0])
        return self._summary("", self.observations, centres, spreads)

    def by_kind(self) -> tuple[RateSummary, ...]:
        """Return planned against actual for each kind that has a log, in the order of `kinds`."""
        rows = []
        for place, kind in enumerate(self.kinds, start=1):
            observed = [one for one in self.observations if one.kind == kind]
            if observed:
                loading = self.roots[:, 0, :] + self.roots[:, place, :]
                centres = self.means[:, 0] + self.means[:, place]
                rows.append(self._summary(kind, observed, centres, np.sqrt((loading**2).sum(axis=1))))
        return tuple(rows)

    def _summary(self, kind: str, observed: Sequence[RateObservation], centres: Floats, spreads: Floats) -> RateSummary:
        low, middle, high = _mixture_quantiles((0.1, 0.5, 0.9), self.weights, centres, spreads)
        return RateSummary(
            kind=kind,
            planned_hours=float(sum(one.planned_minutes for one in observed)) / 60,
            actual_hours=float(sum(one.actual_minutes for one in observed)) / 60,
            ratio=math.exp(middle),
            low=math.exp(low),
            high=math.exp(high),
            operations=len(observed),
        )


def fit_rates(observations: Sequence[RateObservation], kinds: Sequence[str]) -> RatePosterior:
    """Return the posterior of the shop and of every kind in `kinds`. ValueError when a kind was left out of it.

    Without observations it is the prior: median 1.3, log-sd 0.5.

    >>> round(fit_rates([], ["turning"]).overall().ratio, 3)
    1.3
    >>> seen = [RateObservation(key, "turning", 60, 120, 4) for key in range(30)]
    >>> round(fit_rates(seen, ["turning"]).by_kind()[0].ratio, 1)
    2.0
    """
    missing = {one.kind for one in observations} - {"", *kinds}
    if missing:
        raise ValueError(f"These kinds have a log and were not asked for: {', '.join(sorted(missing))}.")
    log = _Log.of(observations, kinds)
    trust = np.ones(len(observations))
    for _ in range(ROUNDS if len(observations) else 0):
        trust = log.trust_after(log.posterior(trust))
    return log.posterior(trust)


@dataclass(frozen=True)
class _Log:
    """Observations as the columns that the normal equations want.

    `columns` (observations) is the place of each one's kind, 0 for none; `values` its log ratio; `sds` (grid, 3) the
    standard deviations of κ, ε and one piece; `noise` (grid, observations) the variance of each value about μ + κ.
    """

    observations: tuple[RateObservation, ...]
    kinds: tuple[str, ...]
    columns: NDArray[np.int_]
    values: Floats
    sds: Floats
    noise: Floats

    @classmethod
    def of(cls, observations: Sequence[RateObservation], kinds: Sequence[str]) -> _Log:
        columns = [0 if not one.kind else 1 + list(kinds).index(one.kind) for one in observations]
        values = np.array([one.log_ratio for one in observations], dtype=float)
        pieces = np.array([one.pieces for one in observations], dtype=float)
        planned = np.array([max(1.0, one.planned_minutes) for one in observations], dtype=float)
        sds = np.array(list(product(KIND_SDS, OPERATION_SDS, PIECE_SDS)))
        noise = sds[:, 1:2] ** 2 + sds[:, 2:3] ** 2 / pieces[None, :] + (TIMING_MINUTES / planned[None, :]) ** 2
        return cls(tuple(observations), tuple(kinds), np.array(columns, dtype=int), values, sds, noise)

    def trust_after(self, found: RatePosterior) -> Floats:
        """Return the weight of every observation under Student's tails: one step of the EM algorithm."""
        means = found.weights @ found.means
        effects = np.concatenate([[0.0], means[1:]])[self.columns]
        spread = found.weights @ self.noise
        return np.asarray((FREEDOM + 1) / (FREEDOM + (self.values - means[0] - effects) ** 2 / spread))

    def posterior(self, trust: Floats) -> RatePosterior:
        """Solve the small normal equations of μ and κ at every grid point at once, each observation at its trust."""
        noise, size = self.noise / trust, 1 + len(self.kinds)
        own_column = np.zeros((len(self.values), size))
        own_column[np.arange(len(self.values)), self.columns] = 1.0
        centred = self.values - math.log(PRIOR_MEDIAN_RATIO)
        # Every observation speaks of μ and of one κ at most, so the normal equations are an arrow, not a full table.
        known, pull = (1 / noise) @ own_column, (centred / noise) @ own_column
        known[:, 0], pull[:, 0] = (1 / noise).sum(axis=1), (centred / noise).sum(axis=1)
        prior = np.full((len(self.sds), size), PRIOR_LOG_SD**-2)
        prior[:, 1:] = self.sds[:, :1] ** -2
        precision = np.zeros((len(self.sds), size, size))
        precision[:, 0, 1:] = precision[:, 1:, 0] = known[:, 1:]
        precision[:, np.arange(size), np.arange(size)] = known + prior
        shift = np.linalg.solve(precision, pull[:, :, None])[:, :, 0]
        weights = _grid_weights(self.sds, precision, prior, noise, centred, (pull * shift).sum(axis=1))
        shift[:, 0] += math.log(PRIOR_MEDIAN_RATIO)
        roots = np.linalg.cholesky(np.linalg.inv(precision))
        means = np.asarray(shift, dtype=float)
        return RatePosterior(
            self.kinds, self.observations, self.sds, weights, means, np.asarray(roots, dtype=float), trust
        )


def _grid_weights(
    sds: Floats, precision: Floats, prior: Floats, noise: Floats, centred: Floats, explained: Floats
) -> Floats:
    """Return marginal likelihood × prior of every grid point, adding up to 1."""
    log_determinant = np.linalg.slogdet(precision)[1] - np.log(prior).sum(axis=1)
    unexplained = (centred**2 / noise).sum(axis=1) - explained
    logs = -0.5 * (np.log(noise).sum(axis=1) + log_determinant + unexplained)
    for column, (grid, scale) in enumerate(zip((KIND_SDS, OPERATION_SDS, PIECE_SDS), PRIOR_SCALES, strict=True)):
        # The grid is uneven, so each point stands for the width between its neighbours.
        width = np.gradient(np.array(grid))
        logs += np.log(width)[np.searchsorted(grid, sds[:, column])] - 0.5 * (sds[:, column] / scale) ** 2
    weights = np.exp(logs - logs.max())
    return np.asarray(weights / weights.sum())


def _mixture_quantiles(chances: Sequence[float], weights: Floats, centres: Floats, spreads: Floats) -> list[float]:
    """Return the points that a mixture of normals stays under with these chances, by halving."""
    from scipy.special import ndtr

    heavy = weights > 1e-6 * weights.max()
    weights, centres, spreads = weights[heavy] / weights[heavy].sum(), centres[heavy], spreads[heavy]
    low = np.full(len(chances), (centres - 9 * spreads).min())
    high = np.full(len(chances), (centres + 9 * spreads).max())
    for _ in range(45):
        middle = (low + high) / 2
        under = ndtr((middle[:, None] - centres) / spreads) @ weights < np.array(chances)
        low, high = np.where(under, middle, low), np.where(under, high, middle)
    return [float(middle) for middle in (low + high) / 2]
