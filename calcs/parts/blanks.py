"""How many blanks to start, so that enough good pieces come out at the end of a route.

Every piece that reaches an operation passes it with the same, not exactly known, yield. Of n pieces the number
that pass is then beta-binomial, and a route thins a batch operation by operation. That is done exactly here,
the doubt about the yields included: no normal approximation, and no dividing by an average yield.

Domain: blanks and pieces in work are whole numbers of 0 or more, one piece at least in all. A yield known to be 1
needs exactly the pieces wanted; one known to be 0 never gives any, and is refused where a number of blanks is asked.
An operation of which nothing was counted has its prior for a belief, so 0 of 0 gives an answer with much doubt in it.

Sources: the beta-binomial distribution, J. G. Skellam 1948, Journal of the Royal Statistical Society B 10, 257-261
(from memory); start quantities divide by the yield (common practice).

`beliefs` are the operations' yields in route order. `in_work` are pieces that already stand before each
operation (as many numbers as operations); they share the operations' yields with the blanks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.messages import _
from calcs.parts.yields import YieldBelief, refuse_bad_confidence

Floats: TypeAlias = NDArray[np.float64]

MOST_BLANKS = 5000
"""Beyond this many blanks the answer is that the yield is too low, not a number of blanks."""


def chances_by_blanks(
    needed: int, beliefs: Sequence[YieldBelief], most: int, in_work: Sequence[int] = ()
) -> tuple[float, ...]:
    """Return the chance of enough good pieces for 0, 1, 2 … `most` blanks, all worked out at once.

    >>> [round(chance, 2) for chance in chances_by_blanks(1, [YieldBelief.known(0.5)], 3)]
    [0.0, 0.5, 0.75, 0.88]
    """
    if needed < 0 or most < 0:
        raise ValueError("Pieces needed and blanks are counts of 0 or more.")
    standing = _standing(beliefs, in_work)
    enough = (np.arange(most + sum(standing) + 1) >= needed).astype(float)
    return tuple(np.minimum(_expected_at_start(enough, beliefs, standing), 1.0).tolist())


def blanks_needed(needed: int, confidence: float, beliefs: Sequence[YieldBelief], in_work: Sequence[int] = ()) -> int:
    """Return the smallest number of blanks with P(good ≥ needed) ≥ confidence; 0 where the work in hand is enough.

    ValueError for a count below 0, a confidence of 0 or 1, or where not even 5,000 blanks would do.

    >>> blanks_needed(12, 0.9, [YieldBelief.known(0.9)])
    15
    """
    refuse_bad_confidence(confidence)
    most = max(16, 2 * needed)
    while most <= MOST_BLANKS:
        chances = chances_by_blanks(needed, beliefs, most, in_work)
        # The sums behind the chances are exact to some thirteen figures; a tie must not cost a blank.
        for blanks, chance in enumerate(chances):
            if chance >= confidence - 1e-12:
                return blanks
        most *= 2
    message = _("Not even {most} blanks would be enough at that confidence: the yield is too low.", most=most // 2)
    raise ValueError(message)


@dataclass(frozen=True)
class CheapestStart:
    """The number of blanks that costs the fewest expected minutes, and the table it was read from.

    `table` holds (blanks, expected minutes) in order.
    """

    blanks: int
    expected_minutes: float
    table: tuple[tuple[int, float], ...]


def cheapest_start(
    needed: int,
    beliefs: Sequence[YieldBelief],
    minutes_per_blank: float,
    second_setup_minutes: float,
    in_work: Sequence[int] = (),
    first_setup_minutes: float = 0.0,
) -> CheapestStart:
    """Return the cheapest number of blanks: too many cost their time, too few cost setting up a second time.

    Every blank is counted with the whole time of its route, which overstates those lost early; missing pieces
    are made up in one second go, at the expected yield. What the pieces in work still cost is the same whatever
    is started, and left out. The first set-up is paid where any blank is started, which matters only where the
    work in hand may do. ValueError when a figure is below 0 or none of the blanks would survive.

    >>> cheapest_start(4, [YieldBelief.known(0.8)], minutes_per_blank=20, second_setup_minutes=120).blanks
    6
    """
    if needed < 1 or min(minutes_per_blank, second_setup_minutes, first_setup_minutes) < 0:
        raise ValueError("At least one piece must be needed, and minutes are 0 or more.")
    standing = _standing(beliefs, in_work)
    survive = float(np.prod([belief.mean for belief in beliefs]))
    if survive <= 0:
        raise ValueError(_("With a yield of 0 no number of blanks would be enough."))
    most = max(needed + 4, int(3 * needed / survive))
    if most > MOST_BLANKS:
        raise ValueError(_("The yield is too low: even {most} blanks may not be enough.", most=MOST_BLANKS))
    missing = np.maximum(needed - np.arange(most + sum(standing) + 1.0), 0)
    second_go = np.where(missing > 0, second_setup_minutes, 0.0) + missing / survive * minutes_per_blank
    blanks_made = np.arange(most + 1)
    minutes = _expected_at_start(second_go, beliefs, standing) + blanks_made * minutes_per_blank
    minutes = minutes + np.where(blanks_made > 0, first_setup_minutes, 0.0)
    choices = [(blanks, float(minutes[blanks])) for blanks in range(max(0, needed - sum(standing)), most + 1)]
    best = min(choices, key=lambda choice: (choice[1], choice[0]))
    return CheapestStart(best[0], best[1], tuple(choices))


def thinning(most: int, belief: YieldBelief) -> Floats:
    """Return the chances [n, k] that k of n pieces pass one operation, for n and k from 0 to `most`.

    Beta-binomial: choose(n, k) B(k + a, n − k + b) ÷ B(a, b); binomial where the yield is known.
    """
    from scipy.special import gammaln, xlogy

    counts = np.arange(most + 1.0)
    log_factorial = gammaln(counts + 1)
    if belief.sharp:
        share = belief.mean
        passed, lost, tried = xlogy(counts, share), xlogy(counts, 1 - share), np.zeros(most + 1)
    else:
        a, b = belief.a, belief.b
        passed = gammaln(counts + a) - gammaln(a)
        lost = gammaln(counts + b) - gammaln(b)
        tried = gammaln(a + b) - gammaln(counts + a + b)
    # Each term hangs on n, on k or on n − k alone, so three short vectors fill the whole table.
    by_lost = _by_difference(lost - log_factorial)
    logs = by_lost + (passed - log_factorial)[None, :] + (tried + log_factorial)[:, None]
    return np.asarray(np.exp(np.minimum(logs, 0.0, out=logs), out=logs))


def _by_difference(values: Floats) -> Floats:
    """Return the table [n, k] of values[n − k], minus infinity above the diagonal."""
    most = len(values) - 1
    padded = np.concatenate([np.full(most, -np.inf), values])
    return np.lib.stride_tricks.sliding_window_view(padded, most + 1)[:, ::-1]


def _expected_at_start(worth: Floats, beliefs: Sequence[YieldBelief], standing: Sequence[int]) -> Floats:
    """Carry the worth of 0, 1, 2 … good pieces at the end back through the route to the blanks at its start."""
    for belief, waiting in zip(reversed(beliefs), reversed(standing), strict=True):
        worth = (thinning(len(worth) - 1, belief) @ worth)[waiting:]
    return worth


def _standing(beliefs: Sequence[YieldBelief], in_work: Sequence[int]) -> list[int]:
    if in_work and len(in_work) != len(beliefs):
        raise ValueError("Pieces in work are given as one count for each operation of the route.")
    if any(count < 0 for count in in_work):
        raise ValueError("Pieces in work are counts of 0 or more.")
    return list(in_work) or [0] * len(beliefs)
