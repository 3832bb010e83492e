"""When milestones are reached while other work goes on as well: the hours that will have been worked by then.

    hours until then = hours of its own work + other work in between, never more than the whole build has left

How much other work comes in between is learned from the log: the share of hours that went into what the next
milestones needed, over the times before those that were reached and since then. Where a log says little, a builder is
taken to give `USUAL_FOCUS` of the hours to the next milestone and the rest to anything that is open, so a milestone
that needs most of what is left gets most of that rest as well. Both are drawn: the share as a Beta distribution, the
other work in stretches, so that a milestone two evenings away may come undisturbed or behind a whole stretch.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.forecast.even_draws import beta_at, even_normals
from calcs.forecast.observations import HOURS_PER_LOOK
from calcs.forecast.result import TowardsSummary
from calcs.parts.count import passed_each
from calcs.parts.plan import BuildPlan, MilestonePlan, PartPlan

Floats: TypeAlias = NDArray[np.float64]

USUAL_FOCUS = 0.6
FOCUS_WORTH = 4.0
"""What is usual counts as so many looks at the log. On simulated builds whose builders do what they like for up to six
tenths of the time, 0.7 and 6 would be right; others stray more, so both are taken lower: a judgement."""
STRETCH_HOURS = 12.0
"""Variance ÷ mean of the other work in between, in hours: it comes in stretches of several evenings. A judgement."""
LEAST_SHARE, MOST_OF_THE_REST = 0.02, 0.95


@dataclass(frozen=True)
class Needed:
    """What some milestones need together: keys of whole parts, and by part how many operations of its route."""

    whole: frozenset[int]
    so_far: dict[int, int]
    operations: frozenset[int]

    @classmethod
    def of(cls, milestones: Sequence[MilestonePlan], parts: Sequence[PartPlan]) -> Needed:
        """Return what any of the milestones needs; of a part that several name, as far as the furthest one."""
        whole = frozenset[int]().union(*(one.part_keys for one in milestones))
        named = {operation for one in milestones for part, operation in one.up_to if part not in whole}
        so_far: dict[int, int] = {}
        steps: set[int] = set()
        for part in parts if named else ():
            places = [place for place, one in enumerate(part.operations, start=1) if one.key in named]
            if places and part.key not in whole:
                so_far[part.key] = places[-1]
                steps.update(one.key for one in part.operations[: places[-1]])
        return cls(whole, so_far, frozenset(steps))

    def has(self, part: int | None, operation: int | None) -> bool:
        """Whether work on this went into it; what names no operation of a part needed so far went into that."""
        if part in self.whole:
            return True
        return part in self.so_far if operation is None else operation in self.operations


def needs_in_order(plan: BuildPlan) -> list[Needed]:
    """Return, for each milestone ahead, what it needs together with everything that comes before it."""
    return [Needed.of(plan.milestones[: place + 1], plan.parts) for place in range(len(plan.milestones))]


def cut_short(part: PartPlan, operations: int) -> PartPlan:
    """Return the part with the first so many operations of its route; what later ones saw has passed the last of them.

    >>> from calcs.parts.plan import OperationPlan
    >>> boring, fitting, turning = (OperationPlan(1 + good, "fitting", 0, 9, good=good) for good in (0, 0, 1))
    >>> [one.good for one in cut_short(PartPlan(1, "erection", "", 1, 0, (boring, fitting, turning)), 2).operations]
    [0, 1]
    """
    *before, last = part.operations[:operations]
    passed = passed_each(part.operations)[operations - 1]
    return replace(part, operations=(*before, replace(last, good=max(last.good, passed))))


@dataclass(frozen=True)
class Towards:
    """The share of hours that goes into what some milestones need: a Beta distribution.

    `reached` is the number of milestones towards which it was seen to.
    """

    a: float
    b: float
    reached: int

    def draw(self, normals: Floats) -> Floats:
        """Return the points of the share, 0 to 1, where these standard normal draws lie in theirs."""
        return np.maximum(beta_at(self.a, self.b, normals), LEAST_SHARE)

    def summary(self) -> TowardsSummary:
        """Return mean, 10 and 90 per cent points, and towards how many milestones it was seen."""
        from scipy.special import betaincinv

        low, high = (float(betaincinv(self.a, self.b, chance)) for chance in (0.1, 0.9))
        return TowardsSummary(self.a / (self.a + self.b), low, high, self.reached)


def share_towards(plan: BuildPlan, ahead: int, of_the_rest: float) -> Towards:
    """Return the share of hours that goes into what the next `ahead` milestones need.

    `of_the_rest` is how much of all that is left they need, 0 or more and below 1.
    """
    usual = USUAL_FOCUS + (1 - USUAL_FOCUS) * of_the_rest
    a, b = usual * FOCUS_WORTH, (1 - usual) * FOCUS_WORTH
    looks = list(_looks(plan, ahead))
    # Looks at several milestones together overlap; no hour of the log says more than once what it has to say.
    once = 1 / min(ahead, max(1, len(looks)))
    towards, other = (sum(look[side] for look in looks) * once / 60 / HOURS_PER_LOOK for side in (0, 1))
    return Towards(a + towards, b + other, min(len(looks), len(plan.reached)))


def _looks(plan: BuildPlan, ahead: int) -> Iterator[tuple[float, float]]:
    """Yield minutes towards milestones and others: of the times up to each reached one, and of that since the last."""
    reached = sorted(plan.reached, key=lambda one: (one.reached_on or date.min, one.key))
    days = [one.reached_on or date.min for one in reached]
    times: list[dict[tuple[int | None, int | None], float]] = [{} for _ in range(len(days) + 1)]
    for stint in plan.stints:
        if stint.kind == "operation":
            time = times[bisect_left(days, stint.last)]
            time[stint.part, stint.operation] = time.get((stint.part, stint.operation), 0.0) + stint.minutes
    for last in range(len(reached)):
        first = max(0, last - ahead + 1)
        yield _split(times[first : last + 1], Needed.of(reached[first : last + 1], plan.parts))
    yield _split(times[-1:], Needed.of(plan.milestones[:ahead], plan.parts))


def _split(times: Sequence[dict[tuple[int | None, int | None], float]], needed: Needed) -> tuple[float, float]:
    towards = sum(minutes for time in times for work, minutes in time.items() if needed.has(*work))
    return towards, sum(sum(time.values()) for time in times) - towards


def hours_until(
    plan: BuildPlan, own: Floats, whole: Floats, rng: np.random.Generator
) -> tuple[Floats, tuple[Towards, ...]]:
    """Return the hours that will have been worked when each milestone is reached (milestones, draws), and the shares.

    `own` are the hours of its work and of everything before it (milestones, draws), `whole` those of the build (draws).
    """
    of_shares, of_stretches = even_normals(rng, len(whole)), even_normals(rng, len(whole))
    until, shares, so_far = [], [], np.zeros(len(whole))
    for place, hours in enumerate(own):
        of_the_rest = float(hours.sum() / max(whole.sum(), 1e-9))
        towards = share_towards(plan, place + 1, min(MOST_OF_THE_REST, of_the_rest))
        between = _in_between(hours * (1 / towards.draw(of_shares) - 1), of_stretches)
        so_far = np.maximum(so_far, np.minimum(hours + between, whole))
        until.append(np.where(hours > 0, so_far, 0.0))
        shares.append(towards)
    return np.array(until).reshape(own.shape), tuple(shares)


def _in_between(mean: Floats, normals: Floats) -> Floats:
    """Return hours of other work that comes in stretches (log-normal): variance = mean × STRETCH_HOURS."""
    mean = np.maximum(mean, 1e-6)
    variance = np.log1p(STRETCH_HOURS / mean)
    return np.asarray(mean * np.exp(np.sqrt(variance) * normals - variance / 2))
