"""Is a yield getting better from batch to batch? An exact answer, and an honest one where there is too little to tell.

The question is put as a test for a trend in shares over batches in the order they were made (W. G. Cochran 1954,
Biometrics 10, 417-451; P. Armitage 1955, Biometrics 11, 375-386). It is worked out exactly: given how many pieces
each batch had and how many were lost in all, every way in which the losses could have fallen on the batches is
weighed (multivariate hypergeometric). For two batches this is Fisher's exact test (R. A. Fisher 1935, Journal of the
Royal Statistical Society 98, 39-82). Only for many hundreds of pieces a normal distribution stands in for the count.

It takes every piece's fate for its own. The pieces of one batch share some of it, so a result near the border says
less than it seems to.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Literal

BORDER = 0.05
"""A change that chance alone would bring in less than one case of twenty is called one (common practice)."""
MOST_SUMS = 15_000_000
"""Beyond so many sums the normal distribution answers, which is then as good."""


Verdict = Literal["better", "worse", "too few", "no sign"]


@dataclass(frozen=True)
class Trend:
    """What batches say of a trend.

    `better` is the chance that losses which had nothing to do with the order would fall at least as much on the early
    batches as they did; `worse` the same on the late ones. `best_possible` is the smallest such chance that any fall
    of so many losses could give: where it lies above the border, nothing could be told at all.
    """

    better: float
    worse: float
    best_possible: float

    @property
    def verdict(self) -> Verdict:
        """Return "better", "worse", "too few" or "no sign"."""
        if self.better <= BORDER:
            return "better"
        if self.worse <= BORDER:
            return "worse"
        return "too few" if self.best_possible > BORDER else "no sign"


def yield_trend(batches: Sequence[tuple[int, int]]) -> Trend | None:
    """Return the trend of (good, scrap) over batches in the order they were made.

    Batches of which nothing was counted say nothing. None where fewer than two did, and where nothing was lost or
    nothing came out good, so that there is nothing to compare. ValueError for a count below 0.

    >>> trend = yield_trend([(3, 9), (9, 1)])
    >>> round(trend.better, 4), trend.verdict
    (0.0035, 'better')
    >>> yield_trend([(1, 1), (2, 1)]).verdict
    'too few'
    """
    if any(min(counts) < 0 for counts in batches):
        raise ValueError("Good and scrap are counts of 0 or more.")
    sizes = [good + scrap for good, scrap in batches if good + scrap]
    losses = [scrap for good, scrap in batches if good + scrap]
    lost = sum(losses)
    if len(sizes) < 2 or not 0 < lost < sum(sizes):
        return None
    seen = sum(place * scrap for place, scrap in enumerate(losses))
    sums = sum(min(size, lost) + 1 for size in sizes) * lost * (lost * (len(sizes) - 1) + 1)
    return _exact(sizes, lost, seen) if sums <= MOST_SUMS else _normal(sizes, lost, seen)


def _exact(sizes: Sequence[int], lost: int, seen: int) -> Trend:
    """Weigh every way in which the losses can fall, by the sum of (place × losses)."""
    import numpy as np

    share, scores = lost / sum(sizes), lost * (len(sizes) - 1) + 1
    table = np.zeros((lost + 1, scores))
    table[0, 0] = 1.0
    for place, size in enumerate(sizes):
        following = np.zeros_like(table)
        # Binomial falls of any one share, given their sum, are the falls asked for; the mean share keeps them in range.
        for here in range(min(size, lost) + 1):
            shift = place * here
            ways = math.lgamma(size + 1) - math.lgamma(here + 1) - math.lgamma(size - here + 1)
            weight = math.exp(ways + here * math.log(share) + (size - here) * math.log1p(-share))
            following[here:, shift:] += weight * table[: lost + 1 - here, : scores - shift]
        table = following
    chances = table[lost] / table[lost].sum()
    possible = np.flatnonzero(chances)
    extreme = float(min(chances[possible[0]], chances[possible[-1]]))
    return Trend(min(1.0, float(chances[: seen + 1].sum())), min(1.0, float(chances[seen:].sum())), extreme)


def _normal(sizes: Sequence[int], lost: int, seen: int) -> Trend:
    """The same by its mean and variance under random falls, with half a step's correction."""
    pieces = sum(sizes)
    first = sum(place * size for place, size in enumerate(sizes))
    second = sum(place * place * size for place, size in enumerate(sizes))
    mean = lost * first / pieces
    variance = lost * (pieces - lost) / (pieces * (pieces - 1)) * (second - first * first / pieces)
    falls = NormalDist(mean, math.sqrt(variance))
    return Trend(falls.cdf(seen + 0.5), 1 - falls.cdf(seen - 0.5), 0.0)
