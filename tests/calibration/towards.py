"""Builds with four milestones, whose builder does what he likes for part of the time, and how their dates held.

The parts stand in the plan nearly in the order of the milestones; what comes after the fourth is needed by none. An
evening is either for what is liked, any part that is open and then the same until it is done, or for the parts of the
next milestone. What comes into the plan later falls to a milestone that is still ahead, or to none.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from calcs.forecast import forecast
from calcs.forecast.result import FinishDates
from calcs.parts.plan import BuildPlan, MilestonePlan
from tests.calibration.as_of import day_of, plan_as_of
from tests.calibration.evenings import Bench, History, worked_off
from tests.calibration.report import cut_days
from tests.calibration.world import Shop, SimulatedPart, World, draw_shop

MILESTONES = 4
MOST_LIKING = 0.6
REGIMES = ((0.0, 0.2), (0.2, 0.4), (0.4, MOST_LIKING))
"""The share of the evenings that goes into what is liked: from, to."""
EVENINGS_OF_LIKING = 3.0
"""So many evenings running go into what is liked."""
OUT_OF_ORDER = 3.0
"""So many places parts lie off the order of the milestones."""


class BenchWithMilestones(Bench):
    """A builder with milestones ahead: `group` is the one that needs a part (from 0; MILESTONES: none does)."""

    def __init__(self, shop: Shop, history: History) -> None:
        super().__init__(shop, history)
        self.liking = float(self.rng.uniform(0.0, MOST_LIKING))
        self.likes = False
        self.liked: SimulatedPart | None = None
        ends = np.cumsum(self.rng.dirichlet(np.full(MILESTONES + 1, 4.0)))[:-1]
        number = len(shop.parts)
        places = np.argsort(np.argsort(np.arange(number) + OUT_OF_ORDER * self.rng.standard_normal(number)))
        groups = np.searchsorted(ends, (places + 0.5) / number)
        self.group = {part.key: int(group) for part, group in zip(shop.parts, groups, strict=True)}

    @property
    def open_parts(self) -> list[SimulatedPart]:
        return [*self.waiting, *(job.part for job in self.jobs)]

    @property
    def next_milestone(self) -> int:
        return min((self.group[part.key] for part in self.open_parts), default=MILESTONES)

    def work(self, day: int, minutes: float) -> None:
        leaves, takes = 1 / EVENINGS_OF_LIKING, self.liking / (1 - self.liking) / EVENINGS_OF_LIKING
        self.likes = bool(self.rng.random() < (1 - leaves if self.likes else takes))
        if not self.likes:
            self.liked = None
        super().work(day, minutes)

    def _work_in_front(self, left: float) -> float:
        self._turn_to_what_is_due()
        return super()._work_in_front(left)

    def _turn_to_what_is_due(self) -> None:
        due = self._due()
        for job in self.jobs:
            if job.part.key in due:
                self.jobs.remove(job)
                self.jobs.insert(0, job)
                return
        part = next(part for part in self.waiting if part.key in due)
        self.waiting.remove(part)
        self._open_batch(part, None)

    def _due(self) -> set[int]:
        """Keys of the parts that tonight is for."""
        there = self.open_parts
        if not self.likes:
            return {part.key for part in there if self.group[part.key] == self.next_milestone}
        if self.liked not in there:
            self.liked = there[int(self.rng.integers(len(there)))]
        return {self.liked.key} if self.liked else set()

    def _add_part(self) -> None:
        needed_by = int(self.rng.integers(self.next_milestone, MILESTONES + 1))
        super()._add_part()
        self.group[self.shop.parts[-1].key] = needed_by


@dataclass(frozen=True)
class MilestoneCase:
    """One milestone ahead on one day: the range of its date and the day on which it was reached."""

    seed: int
    liking: float
    as_of: date
    finish_on: FinishDates
    reached_on: date

    @property
    def held(self) -> bool:
        return not self.late and self.finish_on.p10 is not None and self.finish_on.p10 <= self.reached_on

    @property
    def late(self) -> bool:
        return self.finish_on.p90 is not None and self.finish_on.p90 < self.reached_on

    @property
    def even(self) -> float:
        """Even chance ÷ truth, in days."""
        days = math.inf if self.finish_on.p50 is None else (self.finish_on.p50 - self.as_of).days
        return max(1, days) / max(1, (self.reached_on - self.as_of).days)


def milestone_cases(seeds: Iterable[int], draws: int = 1000) -> list[MilestoneCase]:
    """Return every milestone that was still ahead, of every build of these seeds at every cut."""
    return [case for seed in seeds for case in _cases_of_build(seed, draws)]


def _cases_of_build(seed: int, draws: int) -> list[MilestoneCase]:
    shop = draw_shop(World(), seed)
    bench = BenchWithMilestones(shop, History(shop))
    history = worked_off(bench)
    days = reached_days(history, bench.group)
    cases = []
    for place, (_cut, day) in enumerate(cut_days(history)):
        plan = with_milestones(plan_as_of(history, day), bench.group, days, day)
        found = forecast(plan, day_of(day), seed=4 * seed + place, draws=draws)
        for one in found.milestones:
            if one.finish_on is None:
                raise AssertionError("A simulated build with a log must have dates.")
            cases.append(MilestoneCase(seed, bench.liking, day_of(day), one.finish_on, day_of(days[one.key])))
    return cases


def reached_days(history: History, group: dict[int, int]) -> list[int]:
    """Return the last day of work on what each milestone or one before it needs."""
    last = [0] * (MILESTONES + 1)
    for entry in history.entries:
        if entry.part is not None:
            last[group[entry.part]] = max(last[group[entry.part]], entry.day)
    return [max(last[: place + 1]) for place in range(MILESTONES)]


def with_milestones(plan: BuildPlan, group: dict[int, int], days: Sequence[int], day: int) -> BuildPlan:
    """Return the plan with the milestones that lie ahead and with those reached by that day."""
    known = {part.key for part in plan.parts}
    milestones = [
        MilestonePlan(
            place,
            f"milestone {place + 1}",
            frozenset(key for key in known if group[key] == place),
            reached_on=day_of(days[place]) if days[place] <= day else None,
        )
        for place in range(MILESTONES)
    ]
    return replace(
        plan,
        milestones=tuple(one for one in milestones if one.reached_on is None),
        reached=tuple(one for one in milestones if one.reached_on is not None),
    )


def of_liking(cases: Sequence[MilestoneCase]) -> list[tuple[str, list[MilestoneCase]]]:
    """Return all cases, and those of each regime, with their names."""
    regimes = [
        (f"liked: {low:.0%} to {high:.0%}", [one for one in cases if low <= one.liking < high]) for low, high in REGIMES
    ]
    return [("milestones, all builds", list(cases)), *regimes]


def line_of_milestones(name: str, cases: Sequence[MilestoneCase]) -> str:
    """Return one line of the table."""
    held, late = (100 * np.mean([getattr(case, what) for case in cases]) for what in ("held", "late"))
    even = np.median([case.even for case in cases])
    return f"{name:24s} {len(cases):5d} | dates held {held:5.1f}, later {late:5.1f}, even chance ÷ truth {even:5.2f}"
