"""When milestones are reached while other work goes on as well: the hours that will have been worked by then.

    hours until then = hours of its own work + other work in between, never more than the whole build has left

How much other work comes in between is learned from the log: the share of hours that went into what the next
milestones needed, over the times before those that were reached and since then. A builder is taken to give some of the
hours to the next milestone (the focus) and the rest to anything that is open, so a milestone that needs most of what is
left gets most of that rest as well; `USUAL_FOCUS` stands for what a short log cannot say. Both are drawn: the share as
a Beta distribution, the other work in stretches, so that a milestone two evenings away may come undisturbed or behind
a whole stretch.
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


@dataclass(frozen=True)
class Look:
    """A time in the log: hours in all, the share of them towards some milestones, and the share that these milestones
    then had of everything that was open."""

    hours: float
    towards: float
    of_the_rest: float

    @property
    def focus(self) -> float:
        """The share of hours given to the milestones on purpose, beyond what falls to them of any open work; 0 to 1.

        >>> Look(100.0, towards=0.75, of_the_rest=0.5).focus, Look(100.0, towards=0.1, of_the_rest=0.5).focus
        (0.5, 0.0)
        """
        return max(0.0, (self.towards - self.of_the_rest) / (1 - self.of_the_rest))


def share_towards(plan: BuildPlan, ahead: int, own: float, whole: float) -> Towards:
    """Return the share of hours that goes into what the next `ahead` milestones need.

    `own` are the mean hours left of these, `whole` those of the build.
    """
    of_the_rest = _of_the_rest(own, whole)
    looks = list(_looks(plan, ahead, own, whole))
    # Looks at several milestones together overlap; no hour of the log says more than once what it has to say.
    once = 1 / max(1, min(ahead, len(looks))) / HOURS_PER_LOOK
    said = [(USUAL_FOCUS, FOCUS_WORTH), *((look.focus, look.hours * once) for look in looks)]
    worth = sum(weight for _focus, weight in said)
    share = sum((focus + (1 - focus) * of_the_rest) * weight for focus, weight in said) / worth
    share = min(max(share, LEAST_SHARE), 1 - LEAST_SHARE)
    return Towards(share * worth, (1 - share) * worth, len(plan.reached))


def _of_the_rest(needed: float, everything: float) -> float:
    return min(MOST_OF_THE_REST, needed / everything) if everything > 0 else 0.0


def _looks(plan: BuildPlan, ahead: int, own: float, whole: float) -> Iterator[Look]:
    """Yield the times up to each reached milestone, and that since the last."""
    reached = sorted(plan.reached, key=lambda one: (one.reached_on or date.min, one.key))
    days = [one.reached_on or date.min for one in reached]
    times: list[dict[tuple[int | None, int | None], float]] = [{} for _ in range(len(days) + 1)]
    for stint in plan.stints:
        if stint.kind == "operation":
            time = times[bisect_left(days, stint.last)]
            time[stint.part, stint.operation] = time.get((stint.part, stint.operation), 0.0) + stint.minutes / 60
    since = [sum(sum(time.values()) for time in times[first:]) for first in range(len(times))]
    for last in range(len(times)):
        now = last == len(reached)
        first = last if now else max(0, last - ahead + 1)
        needed = Needed.of(plan.milestones[:ahead] if now else reached[first : last + 1], plan.parts)
        hours = sum(sum(time.values()) for time in times[first : last + 1])
        towards = sum(spent for time in times[first : last + 1] for work, spent in time.items() if needed.has(*work))
        if hours > 0:
            open_then = _of_the_rest(towards + (own if now else 0.0), since[first] + whole)
            yield Look(hours, towards / hours, open_then)


def hours_until(
    plan: BuildPlan, own: Floats, whole: Floats, rng: np.random.Generator
) -> tuple[Floats, tuple[Towards, ...]]:
    """Return the hours that will have been worked when each milestone is reached (milestones, draws), and the shares.

    `own` are the hours of its work and of everything before it (milestones, draws), `whole` those of the build (draws).
    """
    of_shares, of_stretches = even_normals(rng, len(whole)), even_normals(rng, len(whole))
    until, shares, so_far = [], [], np.zeros(len(whole))
    for place, hours in enumerate(own):
        towards = share_towards(plan, place + 1, float(hours.mean()), float(whole.mean()))
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
