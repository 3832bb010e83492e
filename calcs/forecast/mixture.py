"""Quantiles of a mixture of normals, as the posterior of the rates is one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]


def mixture_quantiles(chances: Sequence[float], weights: Floats, centres: Floats, spreads: Floats) -> list[float]:
    """Return the points that a mixture of normals stays under with these chances, by halving.

    `weights`, `centres` and `spreads` have one figure for each normal.

    >>> one = np.array([1.0])
    >>> [round(point, 3) for point in mixture_quantiles((0.1, 0.5), one, 2 * one, one)]
    [0.718, 2.0]
    """
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
