"""Patterns of cutting: what can come out of one bar, all of it or what the best mix of fractions asks for.

Sources, from memory: P. C. Gilmore and R. E. Gomory 1961, Operations Research 9, 849-859 (patterns as they are wanted);
A. A. Farley 1990, Operations Research 38, 922-923 (the bound while some are still wanted).
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Pattern: TypeAlias = tuple[int, ...]
Floats: TypeAlias = NDArray[np.float64]

MOST_PATTERNS = 4000
"""More patterns are not written down but found as they are wanted: the program grows slow beyond it."""
SLACK_MM = 1e-6
"""What lengths may differ by in binary without a piece being refused that fits exactly."""
LEAST_GAIN = 1e-9
GRID = 4000
"""Steps of a bar in which its best pattern is looked for: finer ones find little more and take longer."""


@dataclass(frozen=True)
class Job:
    """The job in bare figures: lengths wanted, longest first, with how many; and what each sort of bar is good for."""

    lengths: tuple[float, ...]
    wanted: tuple[int, ...]
    bars: tuple[Bar, ...]
    kerf: float

    @property
    def sizes(self) -> list[float]:
        """What each length takes of a bar, with its saw cut."""
        return [length + self.kerf for length in self.lengths]


@dataclass(frozen=True)
class Bar:
    """One sort of bar: what of it can be used, and what one weighs in the choice."""

    length: float
    price: float | None
    how_many: int | None
    room: float
    weight: float

    @property
    def bought(self) -> bool:
        return self.how_many is None


@dataclass
class Program:
    """The program so far: the patterns with the bar each is cut from."""

    patterns: list[tuple[int, Pattern]] = field(default_factory=list)
    complete: bool = True


def patterns(job: Job, until: float) -> Program:
    """Write down every pattern that no further piece fits into, as long as they are few; else one of each length."""
    program = Program()
    for place, bar in enumerate(job.bars):
        if not _fill(job, bar, place, program, until):
            return Program(_plain_patterns(job), complete=False)
    return program


def _fill(job: Job, bar: Bar, place: int, program: Program, until: float) -> bool:
    """Add the patterns of one bar, most of the longest pieces first; False where they are too many."""
    sizes = job.sizes
    open_ends: list[tuple[Pattern, float]] = [((), bar.room + SLACK_MM)]
    while open_ends:
        taken, room = open_ends.pop()
        if len(taken) == len(sizes):
            if any(taken) and all(taken[one] == job.wanted[one] or size > room for one, size in enumerate(sizes)):
                program.patterns.append((place, taken))
            continue
        size, wanted = sizes[len(taken)], job.wanted[len(taken)]
        most = min(wanted, int(room // size))
        # The shortest pieces fill what is left: fewer of them would leave a pattern that another one holds.
        least = most if len(taken) + 1 == len(sizes) else 0
        open_ends += [((*taken, number), room - number * size) for number in range(least, most + 1)]
        if len(program.patterns) > MOST_PATTERNS or len(open_ends) > MOST_PATTERNS or time.monotonic() > until:
            return False
    return True


def _plain_patterns(job: Job) -> list[tuple[int, Pattern]]:
    """Return patterns to begin with: for each bar as many of one length as come out, and then the longest that fit."""
    found = []
    for place, bar in enumerate(job.bars):
        for one, length in enumerate(job.lengths):
            number = min(job.wanted[one], int((bar.room + SLACK_MM) // (length + job.kerf)))
            if number:
                pattern = [number if other == one else 0 for other in range(len(job.lengths))]
                room = bar.room + SLACK_MM - number * job.sizes[one]
                for other, size in enumerate(job.sizes):
                    more = min(job.wanted[other] - pattern[other], int(room // size))
                    pattern[other], room = pattern[other] + more, room - more * size
                found.append((place, tuple(pattern)))
    return found


def find_patterns(job: Job, program: Program, until: float) -> float:
    """Add the patterns that the best mix of fractions wants, in rounds; return the least that any plan can cost."""
    known, bound = set(program.patterns), _length_alone(job)
    fresh = program.patterns
    while fresh and time.monotonic() < until:
        mix, fresh, over = _best_mix(job, program), [], 1.0
        for place, bar in enumerate(job.bars):
            found, most = _most_worth(job, bar, mix.worth)
            limit = mix.of_limit.get(place, 0.0)
            over = max(over, (most - limit) / bar.weight if bar.weight else math.inf)
            if float(mix.worth @ np.array(found)) > bar.weight + limit + LEAST_GAIN and (place, found) not in known:
                fresh.append((place, found))
        # The prices, so much smaller that no pattern is worth more than its bar, bound every plan (Farley).
        bound = max(bound, mix.cost / over)
        program.patterns += fresh
        known.update(fresh)
    return bound


def filled_in_turn(job: Job) -> list[tuple[int, Pattern]] | None:
    """Return a plan of one bar after another, each as full as what is left can make it; None where bars run out."""
    left, chosen = list(job.wanted), []
    used = [0] * len(job.bars)
    worth = np.array(job.sizes)
    while any(left):
        rest = replace(job, wanted=tuple(left))
        best, best_share = None, 0.0
        for place, bar in enumerate(job.bars):
            if bar.how_many is None or used[place] < bar.how_many:
                pattern = _most_worth(rest, bar, worth)[0]
                share = float(worth @ np.array(pattern)) / max(bar.weight, LEAST_GAIN)
                if share > best_share:
                    best, best_share = (place, pattern), share
        if best is None:
            return None
        used[best[0]] += 1
        chosen.append(best)
        left = [one - less for one, less in zip(left, best[1], strict=True)]
    return chosen


def _length_alone(job: Job) -> float:
    """Return what the pieces cost at least by their length, whatever bars they come from."""
    cheapest = min(bar.weight / bar.room for bar in job.bars if bar.room > 0)
    return cheapest * sum(size * number for size, number in zip(job.sizes, job.wanted, strict=True))


@dataclass(frozen=True)
class _Mix:
    """The cheapest mix of fractions of patterns: its cost, what a piece is worth in it, and a bar of a limited sort."""

    cost: float
    worth: Floats
    of_limit: dict[int, float]


def _best_mix(job: Job, program: Program) -> _Mix:
    from scipy.optimize import linprog

    number, limits = len(job.lengths), limited(job)
    missing = 10 * max(bar.weight for bar in job.bars)
    costs = [job.bars[place].weight for place, _pattern in program.patterns] + [missing] * number
    pieces = np.hstack([np.array([pattern for _place, pattern in program.patterns], dtype=float).T, np.eye(number)])
    places = np.array([place for place, _pattern in program.patterns] + [-1] * number)
    rows = np.vstack([-pieces, *(places == limit for limit in limits)])
    ends = [*(-one for one in job.wanted), *(job.bars[place].how_many or 0 for place in limits)]
    found = linprog(costs, A_ub=rows, b_ub=ends, method="highs")
    prices = -np.asarray(found.ineqlin.marginals, dtype=float)
    return _Mix(float(found.fun or 0.0), prices[:number], dict(zip(limits, prices[number:].tolist(), strict=True)))


def _most_worth(job: Job, bar: Bar, worth: Floats) -> tuple[Pattern, float]:
    """Return a pattern of one bar that is worth nearly most, and what no pattern of it can be worth more than.

    The bounded knapsack by dynamic programming, each length in lots of 1, 2, 4 ... pieces, over steps of the bar. With
    lengths rounded up to steps a pattern comes out of the bar for certain; rounded down, its worth is a bound.
    """
    step = (bar.room + SLACK_MM) / GRID
    best, bound, lots = np.zeros(GRID + 1), np.zeros(GRID + 1), []
    for one, taken in _lots(job):
        if worth[one] > 0:
            steps = taken * job.sizes[one] / step
            with_it = _one_more(best, math.ceil(steps), taken * worth[one])
            lots.append((one, taken, math.ceil(steps), with_it > best))
            best = np.maximum(best, with_it)
            bound = np.maximum(bound, _one_more(bound, math.floor(steps), taken * worth[one]))
    numbers, room = [0] * len(job.sizes), GRID
    for one, taken, steps_up, pays in reversed(lots):
        if pays[room]:
            numbers[one], room = numbers[one] + taken, room - steps_up
    return tuple(numbers), float(bound[GRID])


def _one_more(best: Floats, steps: int, worth: float) -> Floats:
    """Return the best of each number of steps with one lot more, nothing where it does not fit."""
    with_it = np.full(len(best), -np.inf)
    if steps < len(best):
        with_it[steps:] = best[: len(best) - steps] + worth
    return with_it


def _lots(job: Job) -> Iterator[tuple[int, int]]:
    """Yield each length in lots that add up to every number wanted."""
    for one, wanted in enumerate(job.wanted):
        left, lot = wanted, 1
        while left > 0:
            yield one, min(lot, left)
            left, lot = left - lot, 2 * lot


def limited(job: Job) -> list[int]:
    """Return the places of the bars of which there are only so many."""
    return [place for place, bar in enumerate(job.bars) if bar.how_many is not None]
