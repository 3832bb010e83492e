"""Which measured piece goes with which: bores and pistons, gaps and rings, eyes and pins.

As many pairs as can be come first; among all ways to make so many, the one is taken whose clearances are as near the
wanted one as can be, by the sum of the squared differences: two clearances that are a little off are better than one
that is right beside one that is far off. It is an assignment problem and solved as one, exactly and in one pass
(H. W. Kuhn 1955, Naval Research Logistics Quarterly 2, 83-97; D. F. Crouse 2016, IEEE Transactions on Aerospace
and Electronic Systems 52, 1679-1696, as SciPy has it; both from memory).

A pair outside of the limits is made dearer than all pairs within them can be together, so that it is never taken for
the sake of nearness; what was taken so is left over. All costs are whole numbers, and their sums stay below 2^51, where
a float still holds every one of them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from calcs.messages import _
from calcs.units.argument_checks import ratio

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

NANOMETRES = 1_000_000
"""In a millimetre. A clearance counts to the nearest one, far below what any workshop measures.

So 12.52 − 12.50, which comes to 0.0199999999999996 in floats, is 0.02 and within a limit of 0.02.
"""
MOST_PIECES = 1_000
"""Of either sort; so many are paired in about half a second."""
MOST_COST = 2**51
"""A float holds every whole number to 2^53; the solver adds and takes away a few such sums."""
LARGEST_SIZE = 100_000.0
"""Millimetres; larger is no reading of a workshop, and below it a float still tells nanometres."""


@dataclass(frozen=True)
class Pairing:
    """Which outer piece goes with which inner one, by their places in the lists that were given, from 0.

    clearances: of each pair, outer − inner in millimetres, to the nanometre; below 0 it is an interference.
    Whoever needs every outer piece paired needs as many inner ones more as stand in `outer_left`, and the other way
    round.
    """

    pairs: tuple[tuple[int, int], ...]
    clearances: tuple[float, ...]
    outer_left: tuple[int, ...]
    inner_left: tuple[int, ...]


def pair(outer: Sequence[float], inner: Sequence[float], least: float, most: float, wanted: float) -> Pairing:
    """Return which outer size goes with which inner one, so that every clearance is from `least` to `most`.

    All in millimetres; the limits themselves are within. Limits below 0 pair for an interference. Nearness is weighed
    in steps of a nanometre, and in coarser ones where their squares would not add up exactly (for a hundred pairs:
    where a clearance lies more than about 0.4 mm from what is wanted).
    ValueError with a sentence for no pieces, too many (`MOST_PIECES`), what is no finite number, crossed limits, and
    a wanted clearance outside of them.

    >>> found = pair([20.02, 20.05, 20.00], [20.03, 20.00, 19.99], least=0.01, most=0.03, wanted=0.02)
    >>> found.pairs, found.clearances, found.outer_left, found.inner_left
    (((0, 1), (1, 0), (2, 2)), (0.02, 0.02, 0.01), (), ())
    """
    import numpy as np
    from scipy.optimize import linear_sum_assignment

    outer_sizes, inner_sizes = _sizes(outer), _sizes(inner)
    low, high, aim = _limits(least, most, wanted)
    clearance = np.rint((np.array(outer_sizes)[:, None] - np.array(inner_sizes)) * NANOMETRES)
    within = (low <= clearance) & (clearance <= high)
    rows, columns = linear_sum_assignment(_costs(clearance, within, aim))
    pairs = [(int(row), int(column)) for row, column in zip(rows, columns, strict=True) if within[row, column]]
    paired_outer, paired_inner = {place for place, _other in pairs}, {place for _other, place in pairs}
    return Pairing(
        tuple(pairs),
        tuple(float(clearance[both]) / NANOMETRES for both in pairs),
        tuple(place for place in range(len(outer_sizes)) if place not in paired_outer),
        tuple(place for place in range(len(inner_sizes)) if place not in paired_inner),
    )


def _costs(clearance: NDArray[np.float64], within: NDArray[np.bool_], aim: int) -> NDArray[np.float64]:
    """Return what each pair costs: its squared distance from what is wanted; outside, more than all within together."""
    import numpy as np

    distance = np.where(within, np.abs(clearance - aim), 0)
    pairs = min(clearance.shape)
    # n pairs cost at most n × (n × farthest² + 1), the dearest of them all outside.
    finest = math.isqrt((MOST_COST // pairs - 1) // pairs)
    step = max(1, math.ceil(float(distance.max()) / finest))
    costs = np.rint(distance / step) ** 2
    costs[~within] = pairs * costs.max() + 1
    return costs


def _sizes(values: Sequence[float]) -> list[float]:
    if not len(values):
        raise ValueError(_("At least one measured piece of each sort is needed."))
    if len(values) > MOST_PIECES:
        raise ValueError(_("At most {most} pieces of each sort can be paired.", most=f"{MOST_PIECES:,}"))
    return [ratio(value, _("measured size"), -LARGEST_SIZE, LARGEST_SIZE) for value in values]


def _limits(least: float, most: float, wanted: float) -> tuple[int, int, int]:
    """Return the limits and what is wanted in nanometres."""
    names = (_("smallest clearance"), _("largest clearance"), _("wanted clearance"))
    low, high, aim = (
        round(ratio(value, name, -LARGEST_SIZE, LARGEST_SIZE) * NANOMETRES)
        for value, name in zip((least, most, wanted), names, strict=True)
    )
    if low > high:
        raise ValueError(_("The smallest clearance must not be larger than the largest."))
    if not low <= aim <= high:
        raise ValueError(_("The wanted clearance must lie between the smallest and the largest."))
    return low, high, aim
