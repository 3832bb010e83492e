"""How good ranges were, once the truth is known.

Sources: T. Gneiting and A. E. Raftery 2007, Journal of the American Statistical Association 102, 359-378 (proper
scores; from memory). The functions are checked against published figures in the tests.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from statistics import NormalDist
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]


def pinball_loss(chance: float, forecast: float, truth: float) -> float:
    """Return the pinball loss of the forecast of one quantile, in the unit of the truth.

    A truth above the forecast costs `chance` for each unit, one below it 1 − `chance`. Twice this is the quantile
    score of some books. ValueError for a chance that is not between 0 and 1.

    >>> pinball_loss(0.9, forecast=10, truth=12), round(pinball_loss(0.9, forecast=12, truth=10), 3)
    (1.8, 0.2)
    """
    if not 0 < chance < 1:
        raise ValueError("A chance is a share above 0 and below 1, such as 0.1.")
    miss = truth - forecast
    return chance * miss if miss >= 0 else (chance - 1) * miss


def mean_pinball_loss(quantiles: Mapping[float, float], truth: float) -> float:
    """Return the mean pinball loss over forecasts given as {chance: forecast}. ValueError where there is none.

    >>> mean_pinball_loss({0.5: 10, 0.9: 12}, truth=10)
    0.1
    """
    if not quantiles:
        raise ValueError("A mean of losses needs at least one quantile.")
    losses = [pinball_loss(chance, forecast, truth) for chance, forecast in quantiles.items()]
    return round(sum(losses) / len(losses), 12)


def crps_of_normal(truth: float, mean: float = 0.0, sd: float = 1.0) -> float:
    """Return the continuous ranked probability score of a normal forecast, in the unit of the truth.

    sd × (z (2 Φ(z) − 1) + 2 φ(z) − 1 ÷ √π). ValueError for an sd that is not above 0.

    >>> round(crps_of_normal(0.0), 6)
    0.233695
    """
    if not sd > 0:
        raise ValueError("A standard deviation is above 0.")
    z = (truth - mean) / sd
    standard = NormalDist()
    return sd * (z * (2 * standard.cdf(z) - 1) + 2 * standard.pdf(z) - 1 / math.sqrt(math.pi))


def crps_of_sample(draws: Sequence[float] | Floats, truth: float) -> float:
    """Return the continuous ranked probability score of a sample: mean |x − truth| − ½ mean |x − x′|.

    ValueError for an empty sample.

    >>> crps_of_sample([1, 2, 3, 4], 2.5)
    0.375
    """
    ordered = np.sort(np.asarray(draws, dtype=float))
    if not len(ordered):
        raise ValueError("A score needs at least one draw.")
    number = len(ordered)
    # Ordered, the mean distance between pairs is a weighted sum, so no table of all pairs is needed.
    between = float((2 * np.arange(1, number + 1) - number - 1) @ ordered) * 2 / number**2
    return float(np.abs(ordered - truth).mean()) - between / 2


def coverage_band(trials: int, chance: float, within: float = 0.95) -> tuple[int, int]:
    """Return how often a range that holds with this chance holds in so many trials: fewest and most.

    The binomial quantiles at (1 − within) ÷ 2 and above: a count outside them would be a surprise. ValueError for
    no trials or a chance that is not between 0 and 1.

    >>> coverage_band(20, 0.8)
    (12, 19)
    """
    if trials < 1 or not 0 < chance < 1 or not 0 < within < 1:
        raise ValueError("A band needs at least one trial and chances above 0 and below 1.")
    tail = (1 - within) / 2
    return _binomial_quantile(trials, chance, tail), _binomial_quantile(trials, chance, 1 - tail)


def _binomial_quantile(trials: int, chance: float, under: float) -> int:
    """Return the smallest count whose cumulated chance is at least `under`."""
    so_far = 0.0
    for count in range(trials + 1):
        so_far += math.comb(trials, count) * chance**count * (1 - chance) ** (trials - count)
        if so_far >= under - 1e-12:
            return count
    return trials
