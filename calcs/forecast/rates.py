"""Planned against actual: what this shop's own log says of the plan.

    log(actual ÷ planned) = μ + κ(kind) + δ × load + ε(operation) + piece noise ÷ √pieces

A normal hierarchical model. μ is the shop's bias, κ what a kind of operation adds to it, ε what one operation
has of its own. Planned is planned on the usual learning curve (calcs.forecast.curve), and δ is what the shop's
slope differs from the usual one by, seen where operations of many pieces stay under the single ones. Given the
three standard deviations (of κ, of ε and of one piece) everything else is closed form; they are integrated over a
grid, each point weighing marginal likelihood × prior. The mixture over the grid gives the tails: where a log is
full of surprises, the wide points take the weight.

Few data shrink to the shop, many speak for themselves: B. Efron and C. Morris 1975, Journal of the American
Statistical Association 70, 311-319; A. Gelman and others, Bayesian Data Analysis, chapter 5.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.forecast.curve import USUAL_SLOPE
from calcs.forecast.even_draws import even_chances, even_normals
from calcs.forecast.mixture import mixture_quantiles
from calcs.forecast.rate_seen import RateObservation, SlopeSeen, above_median, averaged
from calcs.forecast.result import LearningSummary, RateSummary
from calcs.forecast.tails import FREEDOM, freedom_of
from calcs.parts.learning_curve import rate_of
from calcs.parts.plan import WHOLE_PART

Floats: TypeAlias = NDArray[np.float64]

PRIOR_MEDIAN_RATIO = 1.3
"""Published overruns run from none (many small tasks) to 30-90 per cent of the estimate (whole projects)."""
PRIOR_LOG_SD = 0.5
KINDS_FROM = 2
"""The unknowns stand in this order: μ, δ, and the kinds from this place on."""
KIND_SDS = (0.05, 0.15, 0.3, 0.55, 1.0)
OPERATION_SDS = (0.08, 0.16, 0.28, 0.45, 0.7, 1.1)
PIECE_SDS = (0.06, 0.15, 0.35, 0.7, 1.2)
ROUNDS = 4
TIMING_MINUTES = 9.0
"""How exactly evenings are written down: to the half hour, whose rounding has this standard deviation (30 ÷ √12)."""
SLOPE_SD = 0.12
"""How far a shop's slope lies from the usual one: from no learning at all to 87 per cent is common. A judgement."""
LEAST_LOAD = 0.3
"""Where less than this hangs on the slope (two pieces have 0.34), an operation hardly speaks of learning."""
OWN_SLOPE_SD = 0.05
"""And an operation's slope from its shop's: a judgement."""
PRIOR_SCALES = (0.6, 0.35, 0.4)
"""Half-normal priors on the three standard deviations of κ, ε and one piece: weak, and a judgement."""


@dataclass(frozen=True)
class RateDraws:
    """Draws of the shop: one column a draw.

    `shop` (draws) is μ; `kinds` (kinds, draws) is μ + κ; `operation_sd`, `piece_sd` and `kind_sd` (draws) are the
    standard deviations of ε, of one piece's noise and of κ. All are logarithms or their spread. `slope` is δ.
    """

    shop: Floats
    kinds: Floats
    slope: Floats
    operation_sd: Floats
    piece_sd: Floats
    kind_sd: Floats
    freedom: float = FREEDOM

    def mean_ratio(self) -> Floats:
        """Return the mean actual ÷ planned (draws) of an operation of any kind, which lies above the median."""
        return np.asarray(np.exp(self.shop + (self.kind_sd**2 + self.operation_sd**2) / 2))

    def with_wholes_apart(self, kinds: Sequence[str], log_sd: float, rng: np.random.Generator) -> RateDraws:
        """Return the same with so much more doubt in the rate of whole parts, if `kinds` have it."""
        doubt = log_sd * even_normals(rng, len(self.shop))
        whole = np.array([[kind == WHOLE_PART] for kind in kinds], dtype=float).reshape(-1, 1)
        return replace(self, kinds=self.kinds + whole * doubt)

    def shifted(self, by: Floats) -> RateDraws:
        """Return the same with a logarithm (draws) added to the shop and to every kind alike."""
        return replace(self, shop=self.shop + by, kinds=self.kinds + by)


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
    freedom: float

    def draw(self, rng: np.random.Generator, draws: int) -> RateDraws:
        """Return so many joint draws. A kind more at the end leaves the draws of the others as they were."""
        chosen = np.searchsorted(np.cumsum(self.weights), even_chances(rng, draws) * (1 - 1e-12))
        chosen = np.minimum(chosen, len(self.weights) - 1)
        noise = np.array([even_normals(rng, draws) for _ in range(KINDS_FROM + len(self.kinds))])
        effects = self.means[chosen].T
        for point in np.unique(chosen):
            here = chosen == point
            effects[:, here] += self.roots[point] @ noise[:, here]
        kind_sd, operation_sd, piece_sd = self.sds[chosen].T
        return RateDraws(
            effects[0], effects[0] + effects[KINDS_FROM:], effects[1], operation_sd, piece_sd, kind_sd, self.freedom
        )

    @property
    def kind_places(self) -> Iterator[tuple[int, str]]:
        """Where each kind stands among the unknowns."""
        return enumerate(self.kinds, start=KINDS_FROM)

    def own_slope(self, seen: SlopeSeen) -> tuple[float, float]:
        """Return mean and standard deviation of one operation's slope beside the usual one: its lots, and the shop."""
        centre = float(self.weights @ self.means[:, 1])
        variances = (self.roots[:, 1, :] ** 2).sum(axis=1) + (self.means[:, 1] - centre) ** 2
        of_shop = float(self.weights @ variances) + OWN_SLOPE_SD**2
        weight = of_shop / (of_shop + seen.sd**2)
        return centre + weight * (seen.beside_usual - centre), math.sqrt(of_shop * (1 - weight))

    def learning(self) -> LearningSummary:
        """Return what a doubling of the pieces does to the time of one, and from how many operations that is read."""
        spreads = np.sqrt((self.roots[:, 1, :] ** 2).sum(axis=1))
        points = mixture_quantiles((0.1, 0.5, 0.9), self.weights, self.means[:, 1], spreads)
        low, middle, high = (rate_of(USUAL_SLOPE + point) for point in points)
        return LearningSummary(middle, low, high, sum(one.curve.load > LEAST_LOAD for one in self.observations))

    def overall(self) -> RateSummary:
        """Return planned against actual over everything observed, with the shop's own ratio."""
        centres = self.means[:, 0]
        spreads = np.abs(self.roots[:, 0, 0])
        return self._summary("", self.observations, centres, spreads)

    def by_kind(self) -> tuple[RateSummary, ...]:
        """Return planned against actual for each kind that has a log, in the order of `kinds`."""
        rows = []
        for place, kind in self.kind_places:
            observed = [one for one in self.observations if one.kind == kind]
            if observed:
                loading = self.roots[:, 0, :] + self.roots[:, place, :]
                centres = self.means[:, 0] + self.means[:, place]
                rows.append(self._summary(kind, observed, centres, np.sqrt((loading**2).sum(axis=1))))
        return tuple(rows)

    def _summary(self, kind: str, observed: Sequence[RateObservation], centres: Floats, spreads: Floats) -> RateSummary:
        low, middle, high = mixture_quantiles((0.1, 0.5, 0.9), self.weights, centres, spreads)
        return RateSummary(
            kind=kind,
            planned_hours=float(sum(one.planned_minutes for one in observed)) / 60,
            actual_hours=float(sum(one.actual_minutes for one in observed)) / 60,
            ratio=math.exp(middle),
            low=math.exp(low),
            high=math.exp(high),
            operations=len(observed),
        )


def fit_rates(
    observations: Sequence[RateObservation], kinds: Sequence[str], slopes: Sequence[SlopeSeen] = ()
) -> RatePosterior:
    """Return the posterior of the shop and of every kind in `kinds`. ValueError when a kind was left out of it.

    `slopes` are what single operations' lots say of learning.

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
    log = _Log.of(observations, kinds, slopes)
    trust, freedom = np.ones(len(observations)), FREEDOM
    for _ in range(ROUNDS if len(observations) else 0):
        trust, freedom = log.trust_after(log.posterior(trust, freedom))
    return log.posterior(trust, freedom)


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
    loads: Floats
    slopes: tuple[SlopeSeen, ...]

    @classmethod
    def of(
        cls, observations: Sequence[RateObservation], kinds: Sequence[str], slopes: Sequence[SlopeSeen] = ()
    ) -> _Log:
        columns = [0 if not one.kind else KINDS_FROM + list(kinds).index(one.kind) for one in observations]
        loads = np.array([one.curve.load for one in observations], dtype=float)
        # What speaks of the shop and of no kind has no κ to carry what a whole part lies above an operation.
        apart = [0.0 if one.kind else above_median(one.kind) for one in observations]
        values = np.array([one.log_ratio for one in observations], dtype=float) - apart
        pieces = np.array([one.pieces for one in observations], dtype=float)
        planned = np.array([max(1.0, one.planned_minutes) for one in observations], dtype=float)
        sds = np.array(list(product(KIND_SDS, OPERATION_SDS, PIECE_SDS)))
        scatter = np.array([averaged(one.kind, one.planned_minutes) for one in observations])
        noise = (
            scatter * (sds[:, 1:2] ** 2 + sds[:, 2:3] ** 2 / pieces[None, :]) + (TIMING_MINUTES / planned[None, :]) ** 2
        )
        noise += (OWN_SLOPE_SD * loads) ** 2
        places = np.array(columns, dtype=int)
        return cls(tuple(observations), tuple(kinds), places, values, sds, noise, loads, tuple(slopes))

    def trust_after(self, found: RatePosterior) -> tuple[Floats, float]:
        """Return the weight of every observation under Student's tails, one step of the EM algorithm, and the tails."""
        means = found.weights @ found.means
        left_over = self.values - means[0] - means[1] * self.loads - np.where(self.columns, means[self.columns], 0.0)
        scaled = left_over / np.sqrt(found.weights @ self.noise)
        freedom = freedom_of(scaled)
        return np.asarray((freedom + 1) / (freedom + scaled**2)), freedom

    def posterior(self, trust: Floats, freedom: float = FREEDOM) -> RatePosterior:
        """Solve the small normal equations of μ and κ at every grid point at once, each observation at its trust."""
        noise, size = self.noise / trust, KINDS_FROM + len(self.kinds)
        own_column = np.zeros((len(self.values), size))
        own_column[np.arange(len(self.values)), self.columns] = 1.0
        own_column[:, 0], own_column[:, 1] = 1.0, self.loads
        expected = np.array([math.log(PRIOR_MEDIAN_RATIO), 0.0, *map(above_median, self.kinds)])
        centred = self.values - own_column @ expected
        known, pull = (1 / noise) @ own_column, (centred / noise) @ own_column
        loaded = (self.loads / noise) @ own_column
        prior = np.full((len(self.sds), size), PRIOR_LOG_SD**-2)
        prior[:, KINDS_FROM:] = self.sds[:, :1] ** -2
        prior[:, 1] = SLOPE_SD**-2
        precision = np.zeros((len(self.sds), size, size))
        # Every observation speaks of μ, of δ and of one κ at most: two full rows and columns, and a diagonal.
        precision[:, np.arange(size), np.arange(size)] = known + prior
        precision[:, 0, :] = precision[:, :, 0] = known
        precision[:, 1, :] = precision[:, :, 1] = loaded
        precision[:, 0, 0] += prior[:, 0]
        precision[:, 1, 1] += prior[:, 1]
        for seen in self.slopes:
            variance = seen.sd**2 + OWN_SLOPE_SD**2
            precision[:, 1, 1] += 1 / variance
            pull[:, 1] += seen.beside_usual / variance
        shift = np.linalg.solve(precision, pull[:, :, None])[:, :, 0]
        weights = _grid_weights(self.sds, precision, prior, noise, centred, (pull * shift).sum(axis=1))
        roots = np.linalg.cholesky(np.linalg.inv(precision))
        means = np.asarray(shift + expected, dtype=float)
        return RatePosterior(
            self.kinds, self.observations, self.sds, weights, means, np.asarray(roots, dtype=float), trust, freedom
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
