"""Which pieces to cut from which bar, so that the fewest bars are bought and what stands in the rack is used first.

The one-dimensional cutting stock problem: a pattern is a set of pieces that come out of one bar, and whole numbers of
patterns are to give every piece wanted at the least cost. Where the patterns of a job can all be written down, that
program is solved exactly; where they are too many, patterns are found as they are wanted (calcs.shop.bar_patterns), and
what the best of them may be short of the bound is said.

Lengths are millimetres. A piece costs its own length and a saw cut; the last cut is saved where nothing is left over.
`end_mm` of every bar cannot be used: the chuck holds it.
"""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from calcs.messages import _
from calcs.shop.bar_patterns import (
    SLACK_MM,
    Bar,
    Job,
    Pattern,
    Program,
    filled_in_turn,
    find_patterns,
    limited,
    patterns,
)
from calcs.shop.bars_one_by_one import filled_one_by_one

Pieces: TypeAlias = Sequence[tuple[float, int]]
Stock: TypeAlias = Sequence[tuple[float, float | None, int | None]]

MOST_PIECES = 100_000
FOR_WHOLE_NUMBERS = 0.4
"""The share of the time that is kept for the whole numbers, once patterns are found: a judgement."""
FEW_PATTERNS = 200
"""So few are chosen from at once (a judgement)."""
AT_ONCE = 0.1
"""The share of the time that is enough for them, or they are not so easy after all (a judgement)."""
FOR_ONE_BY_ONE = 0.3
"""The share of the time in which few bars are to be filled one by one: mostly far less is taken (a judgement)."""
INFEASIBLE = 2
"""What SciPy's milp calls a program that nothing solves."""
LEAST_GAP = 1e-6
"""A gap below this is none."""
RACK_SHARE = 1e-5
"""A bar in the rack counts this share of its length: of two answers the one wins that leaves the longer bars."""


@dataclass(frozen=True)
class CutBar:
    """One bar: its length, the lengths cut from it, longest first, and what is left beside the end that is held."""

    stock_mm: float
    pieces_mm: tuple[float, ...]
    left_mm: float
    bought: bool


@dataclass(frozen=True)
class CuttingPlan:
    """Every bar to cut. `cost` is that of the bars bought, None where one has no price; `bought_mm` is their length.

    `gap` is how much less the best plan could cost at most, as a share; 0 where this one is proved to be the best.
    """

    bars: tuple[CutBar, ...]
    cost: float | None
    bought_mm: float
    gap: float


def cut_up(pieces: Pieces, stock: Stock, kerf_mm: float, end_mm: float, seconds: float = 2.0) -> CuttingPlan:
    """Return which pieces to cut from which bar.

    `pieces` are lengths with how many of each are wanted; `stock` are bars: length, price of one or None, and how many
    stand in the rack, or None for a length that can be bought in any number. Bought length is kept least, or the cost
    where every length that can be bought has a price. ValueError for a piece that comes out of no bar, for bars that
    do not suffice, and for figures below 0.

    >>> plan = cut_up([(40.0, 4), (30.0, 2)], [(110.0, None, None)], kerf_mm=1.0, end_mm=0.0)
    >>> len(plan.bars), plan.bought_mm, plan.gap
    (3, 330.0, 0.0)
    """
    until = time.monotonic() + seconds
    job = _job(pieces, stock, kerf_mm, end_mm)
    if not job.lengths:
        return CuttingPlan((), 0.0, 0.0, 0.0)
    program = patterns(job, until)
    if program.complete and len(program.patterns) <= FEW_PATTERNS:
        plans = _of_patterns(job, program, 0.0, end_mm, time.monotonic() + seconds * AT_ONCE)
        if plans and not plans[0].gap:
            return plans[0]
    in_turn = filled_in_turn(job) or []
    plans = [] if not in_turn else _one_by_one(job, in_turn, end_mm, time.monotonic() + seconds * FOR_ONE_BY_ONE)
    if plans and not plans[-1].gap:
        return plans[-1]
    bound = 0.0
    if not program.complete:
        program.patterns += [one for one in dict.fromkeys(in_turn) if one not in program.patterns]
        bound = find_patterns(job, program, until - seconds * FOR_WHOLE_NUMBERS)
    plans = [*(_bounded(job, plan, bound) for plan in plans), *_of_patterns(job, program, bound, end_mm, until)]
    if not plans:
        raise ValueError(_("The bars are not enough, or no way of cutting was found in the time given."))
    return min(plans, key=lambda plan: (_weight(job, plan), plan.gap))


def _of_patterns(job: Job, program: Program, bound: float, end: float, until: float) -> list[CuttingPlan]:
    """The best plan of these patterns, or none in time. bound: what any plan costs at least, where not all are known.

    ValueError where every pattern is known and the bars do not suffice.
    """
    chosen, least = _whole_numbers(job, program, until)
    return [_plan(job, chosen, least if program.complete else bound, end)] if chosen else []


def _one_by_one(job: Job, in_turn: list[tuple[int, Pattern]], end: float, until: float) -> list[CuttingPlan]:
    """The plan of one full bar after another and, where the bars are few enough to be filled one by one, a better."""
    found = filled_one_by_one(job, sum(job.bars[place].weight for place, _pattern in in_turn), until)
    if found is None:
        return [_plan(job, in_turn, 0.0, end)]
    chosen, least = found
    return [_plan(job, one, least, end) for one in (in_turn, chosen) if one]


def _bounded(job: Job, plan: CuttingPlan, bound: float) -> CuttingPlan:
    """A plan with what is known of the best by another way as well."""
    return replace(plan, gap=min(plan.gap, _gap(job, _weight(job, plan), bound)))


def _weight(job: Job, plan: CuttingPlan) -> float:
    weights = {(bar.length, bar.bought): bar.weight for bar in sorted(job.bars, key=lambda bar: -bar.weight)}
    return sum(weights[bar.stock_mm, bar.bought] for bar in plan.bars)


def _job(pieces: Pieces, stock: Stock, kerf: float, end: float) -> Job:
    """Check the figures and put them in order. ValueError as for `cut_up`."""
    if not (math.isfinite(kerf) and math.isfinite(end) and kerf >= 0 and end >= 0):
        raise ValueError(_("The saw cut and the end that is held are lengths of 0 or more."))
    wanted: dict[float, int] = {}
    for length, number in pieces:
        if not (math.isfinite(length) and length > 0 and number >= 0):
            raise ValueError(_("A piece has a length above 0, and 0 or more of it are wanted."))
        wanted[length] = wanted.get(length, 0) + number
    lengths = tuple(sorted((length for length, number in wanted.items() if number), reverse=True))
    if sum(wanted.values()) > MOST_PIECES:
        raise ValueError(_("At most {most} pieces are cut up at once.", most=f"{MOST_PIECES:,}"))
    bars = _bars(stock, kerf, end)
    longest = max((bar.room for bar in bars), default=0.0)
    for length in lengths:
        if length + kerf > longest + SLACK_MM:
            raise ValueError(_("No bar is long enough for a piece of {length} mm.", length=f"{length:g}"))
    return Job(lengths, tuple(wanted[length] for length in lengths), bars, kerf)


def _bars(stock: Stock, kerf: float, end: float) -> tuple[Bar, ...]:
    if any(
        not (math.isfinite(length) and length > 0 and (price or 0) >= 0 and (number or 0) >= 0)
        for length, price, number in stock
    ):
        raise ValueError(_("A bar has a length above 0, and no price or number below 0."))
    by_price = all(price is not None for _length, price, number in stock if number is None)
    bars = []
    for length, price, number in stock:
        # Where nothing is held, the last piece may end where the bar does.
        room = length - end + (kerf if end == 0 else 0.0)
        worth = price if by_price and price is not None else length
        bars.append(Bar(length, price, number, room, worth if number is None else RACK_SHARE * length))
    return tuple(bars)


def _whole_numbers(job: Job, program: Program, until: float) -> tuple[list[tuple[int, Pattern]], float]:
    """Return the patterns to cut, each as often as it is cut, and the least that any mix of these patterns costs.

    The list is empty where none was found in time. ValueError where every pattern is known and the bars do not suffice.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    limits = limited(job)
    rows = [[pattern[one] for _place, pattern in program.patterns] for one in range(len(job.lengths))]
    rows += [[int(place == limit) for place, _pattern in program.patterns] for limit in limits]
    least = [*job.wanted, *(0 for _limit in limits)]
    most = [*(np.inf for _one in job.wanted), *(job.bars[place].how_many or 0 for place in limits)]
    found = milp(
        [job.bars[place].weight for place, _pattern in program.patterns],
        constraints=LinearConstraint(rows, least, most),
        bounds=Bounds(0, np.inf),
        integrality=np.ones(len(program.patterns), dtype=int),
        options={"time_limit": max(0.1, until - time.monotonic()), "mip_rel_gap": 0.0},
    )
    if found.x is None:
        if program.complete and found.status == INFEASIBLE:
            raise ValueError(_("The bars in the rack are not enough, and no length is on sale."))
        return [], 0.0
    numbers = (round(number) for number in found.x)
    chosen = [one for one, number in zip(program.patterns, numbers, strict=True) for _again in range(number)]
    return chosen, float(found.mip_dual_bound)


def _plan(job: Job, chosen: Sequence[tuple[int, Pattern]], bound: float, end: float) -> CuttingPlan:
    """Put the patterns down as bars, without the pieces nobody wanted."""
    surplus = [-number for number in job.wanted]
    for _place, pattern in chosen:
        surplus = [more + one for more, one in zip(surplus, pattern, strict=True)]
    cut, used = [], []
    for place, pattern in chosen:
        dropped = [min(one, more) for one, more in zip(pattern, surplus, strict=True)]
        surplus = [more - one for more, one in zip(surplus, dropped, strict=True)]
        kept = [one - less for one, less in zip(pattern, dropped, strict=True)]
        if any(kept):
            cut.append(_cut_bar(job, job.bars[place], kept, end))
            used.append(job.bars[place])
    bought = [bar for bar in used if bar.bought]
    cost = None if any(bar.price is None for bar in bought) else sum(bar.price or 0.0 for bar in bought)
    gap = _gap(job, sum(bar.weight for bar in used), bound)
    return CuttingPlan(tuple(cut), cost, sum(bar.length for bar in bought), gap)


def _gap(job: Job, total: float, bound: float) -> float:
    gap = (total - _in_whole_bars(job, bound)) / total if total > 0 else 0.0
    return gap if gap > LEAST_GAP else 0.0


def _cut_bar(job: Job, bar: Bar, numbers: Sequence[int], end: float) -> CutBar:
    pieces = [length for length, number in zip(job.lengths, numbers, strict=True) for _again in range(number)]
    left = bar.length - end - sum(pieces) - job.kerf * len(pieces)
    return CutBar(bar.length, tuple(pieces), max(0.0, left), bar.bought)


def _in_whole_bars(job: Job, bound: float) -> float:
    """Return the least that whole bars can cost which cost no less than the bound."""
    weights = [bar.weight for bar in job.bars]
    if len(set(weights)) == 1:
        step = weights[0]
    elif all(weight == int(weight) for weight in weights):
        step = float(math.gcd(*(int(weight) for weight in weights)))
    else:
        return bound
    return math.ceil(bound / step - LEAST_GAP) * step if step else bound
