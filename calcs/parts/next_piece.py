"""The pieces to come of an operation that learns: its curve carried on, with its range.

The curve is that of `calcs.parts.learning_curve`. What the lots leave over beside it is the noise of one piece, pulled
towards a quarter as there; level and slope have their own doubt. A range holds the time of one piece with 4
chances in 5, on logarithms, as times are never below nothing and more often far too long than far too short.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from calcs.parts.learning_curve import (
    PRIOR_PIECE_SD,
    PRIOR_PIECES,
    Learning,
    fit_learning,
    rate_of,
    unit_time,
    units_total,
)

FOUR_IN_FIVE = NormalDist().inv_cdf(0.9)


@dataclass(frozen=True)
class PieceToCome:
    """Minutes that one piece may take: even chance, and 4 chances in 5 from `low` to `high`."""

    piece: int
    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class CurveOnwards:
    """`rate` is the share that doubling the pieces takes a piece's time down to, `low` to `high` with 4 chances in 5.

    `pieces` are those the curve was read from, `onwards` the pieces after them in order.
    """

    pieces: int
    rate: float
    low: float
    high: float
    onwards: tuple[PieceToCome, ...]


def carry_on(lots: Sequence[tuple[float, int]], pieces: int) -> CurveOnwards | None:
    """Return the curve through (minutes, pieces) of lots in the order made, and so many pieces on.

    None where it is too few to tell (below six pieces, or all of them in one lot). ValueError for no piece to come.

    >>> from calcs.parts.learning_curve import slope_of
    >>> on = carry_on([(100 * (n + 1) ** slope_of(0.8), 1) for n in range(40)], 1)
    >>> on.pieces, 0.79 < on.rate < 0.83, on.onwards[0].piece, 28 < on.onwards[0].middle < 33
    (40, True, 41, True)
    >>> carry_on([(30.0, 1)] * 5, 1) is None
    True
    """
    if pieces < 1:
        raise ValueError("At least one piece is to come.")
    used = [(minutes, number) for minutes, number in lots if minutes > 0 and number > 0]
    learning = fit_learning(used)
    if learning is None:
        return None
    level, noise, far = _beside_the_curve(used, learning)
    spread = FOUR_IN_FIVE * learning.slope_sd
    return CurveOnwards(
        pieces=learning.pieces,
        rate=learning.rate,
        low=rate_of(learning.slope - spread),
        high=rate_of(learning.slope + spread),
        onwards=tuple(_piece(learning, level, noise, far, learning.pieces + step) for step in range(1, pieces + 1)),
    )


def _beside_the_curve(lots: Sequence[tuple[float, int]], learning: Learning) -> tuple[float, float, float]:
    """The logarithm of the first piece's time, the standard deviation of one piece beside the curve, and how many of
    them 4 pieces in 5 lie within: Student's, since few lots know the noise badly."""
    from scipy.special import stdtrit

    begin, left_over = 1, []
    for minutes, number in lots:
        on_curve = units_total(1.0, learning.rate, begin + number - 1, begin) / number
        left_over.append((number, math.log(minutes / number) - math.log(on_curve)))
        begin += number
    level = sum(number * over for number, over in left_over) / learning.pieces
    squares = sum(number * (over - level) ** 2 for number, over in left_over)
    freedom = PRIOR_PIECES + len(lots) - 1
    noise = math.sqrt((PRIOR_PIECES * PRIOR_PIECE_SD**2 + squares) / freedom)
    return level, noise, float(stdtrit(freedom, 0.9))


def _piece(learning: Learning, level: float, noise: float, far: float, piece: int) -> PieceToCome:
    middle = math.exp(level) * unit_time(1.0, learning.rate, piece)
    # The lots hold the curve at about the logarithm of the middle of their pieces; beyond it the slope's doubt grows.
    arm = math.log(piece) - (math.log(learning.pieces) - 1)
    doubt = far * math.sqrt(noise**2 * (1 + 1 / learning.pieces) + (arm * learning.slope_sd) ** 2)
    return PieceToCome(piece, middle * math.exp(-doubt), middle, middle * math.exp(doubt))
