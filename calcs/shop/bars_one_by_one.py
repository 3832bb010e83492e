"""Few bars that each give many short pieces: too many patterns to write down, but few enough bars to fill one by one.

Source: the assignment program of L. V. Kantorovich 1960, Management Science 6, 366-422 (from memory). Which bars are
used, and how many of each length come out of each, is one program; where the bars are few it is solved outright.
"""

from __future__ import annotations

import time

import numpy as np

from calcs.shop.bar_patterns import SLACK_MM, Job, Pattern

MOST_BARS = 16
"""With more bars than these the program grows slower than patterns are found."""


def bars_to_fill(job: Job, most_cost: float) -> list[int]:
    """Return the bars that a plan of that cost can use, each by its sort, as often as it can be used."""
    places = []
    for place, bar in enumerate(job.bars):
        most = int((most_cost + SLACK_MM) // bar.weight) if bar.weight else MOST_BARS + 1
        number = most if bar.how_many is None else min(bar.how_many, sum(job.wanted))
        places += [place] * min(number, MOST_BARS + 1)
    return places


def filled_one_by_one(job: Job, most_cost: float, until: float) -> tuple[list[tuple[int, Pattern]], float] | None:
    """Return the best plan that costs no more, and the least that any plan costs; None where there are too many bars.

    The plan is empty where none was found in time.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import lil_matrix

    places = bars_to_fill(job, most_cost)
    if len(places) > MOST_BARS or time.monotonic() >= until:
        return None
    lengths, bars = len(job.lengths), len(places)
    first = bars  # what is cut from bar b of length i stands at first + b * lengths + i
    rows = lil_matrix((2 * bars + lengths, bars + bars * lengths))
    for bar, place in enumerate(places):
        rows[bar, bar] = -(job.bars[place].room + SLACK_MM)
        for one, size in enumerate(job.sizes):
            rows[bar, first + bar * lengths + one] = size
            rows[bars + one, first + bar * lengths + one] = 1
        if bar and places[bar - 1] == place:
            # Bars of a sort are alike, so the first of them are used first.
            rows[bars + lengths + bar, bar], rows[bars + lengths + bar, bar - 1] = 1, -1
    least = np.concatenate([np.full(bars, -np.inf), job.wanted, np.full(bars, -np.inf)])
    most = np.concatenate([np.zeros(bars), job.wanted, np.zeros(bars)])
    found = milp(
        np.concatenate([[job.bars[place].weight for place in places], np.zeros(bars * lengths)]),
        constraints=LinearConstraint(rows.tocsc(), least, most),
        bounds=Bounds(0, np.concatenate([np.ones(bars), np.tile(job.wanted, bars)])),
        integrality=np.ones(bars + bars * lengths, dtype=int),
        options={"time_limit": max(0.05, until - time.monotonic()), "mip_rel_gap": 0.0},
    )
    bound = float(found.mip_dual_bound) if found.mip_dual_bound is not None else 0.0
    if found.x is None:
        return [], bound
    cut = np.rint(found.x[first:]).astype(int).reshape(bars, lengths)
    return [(place, tuple(map(int, row))) for place, row in zip(places, cut, strict=True) if row.any()], bound
