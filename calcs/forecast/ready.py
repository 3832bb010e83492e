"""Will it be ready by a day: the chance, and the pace that would give an even chance or four chances in five.

Another pace is every week of the log taken longer or shorter in proportion, on the same draws: empty weeks stay empty,
and a difference is no noise of the draws.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from calcs.forecast.pace import summarise_pace
from calcs.forecast.result import Ready
from calcs.forecast.simulate import Simulation, finish_days, simulate
from calcs.parts.plan import BuildPlan

ROUNDS = 16
MOST_TIMES = 20.0
"""Nobody goes at more than this many times the pace of the log; what would need it is said not to be reached."""
NEAR_ENOUGH = 0.005
"""A pace is found once its chance lies this near to the one asked for."""


def ready_by(
    plan: BuildPlan, as_of: date, by: date, seed: int, milestone: int | None = None, draws: int = 4000
) -> Ready | None:
    """Return what can be said of a day; None where no date can be told. `milestone` is a key, None the whole build.

    The seed and the draws are those of the forecast, so that the chance of its even-chance date is a half. ValueError
    for a day before `as_of`, or a milestone that the plan does not have.
    """
    if by < as_of:
        raise ValueError("A day that is past cannot be asked of the time to come.")
    keys = [None, *(one.key for one in plan.milestones)]
    if milestone not in keys:
        raise ValueError("The plan has no such milestone.")
    simulation, pace = simulate(plan, as_of, seed, draws), summarise_pace(plan.stints, as_of)
    if simulation.days is None or pace is None:
        return None
    asked = _Asked(plan, as_of, simulation, keys.index(milestone), (by - as_of).days, seed)
    even, sure = (asked.times_for(chance) for chance in (0.5, 0.8))
    left = simulation.left
    hours = float(np.median(np.vstack([left.bench, left.milestone_bench])[asked.row]))
    return Ready(
        chance=asked.chance(1.0),
        pace=pace.mean_hours,
        pace_for_even_chance=even and even * pace.mean_hours,
        pace_for_four_in_five=sure and sure * pace.mean_hours,
        hours_to_leave_out=None if even is None else hours * max(0.0, 1 - 1 / even),
    )


@dataclass(frozen=True)
class _Asked:
    plan: BuildPlan
    as_of: date
    simulation: Simulation
    row: int
    days: int
    seed: int

    def chance(self, times: float) -> float:
        """Return the share of the draws that are ready in time at so many times the pace of the log."""
        if times == 1.0 and self.simulation.days is not None:
            days = self.simulation.days
        else:
            stints = tuple(
                replace(one, minutes=one.minutes * times, unattended_minutes=one.unattended_minutes * times)
                for one in self.plan.stints
            )
            found = finish_days(replace(self.plan, stints=stints), self.as_of, self.simulation.left, self.seed)
            if found is None:
                return 0.0
            days = found
        return float(np.mean(np.ceil(days[self.row]) <= self.days))

    def times_for(self, chance: float) -> float | None:
        """Return how many times the pace of the log gives this chance, by halving; None where none does."""
        low, high = 1 / MOST_TIMES, MOST_TIMES
        if self.chance(high) < chance:
            return None
        for _round in range(ROUNDS):
            middle = (low * high) ** 0.5
            found = self.chance(middle)
            if abs(found - chance) <= NEAR_ENOUGH:
                return float(middle)
            low, high = (low, middle) if found > chance else (middle, high)
        return float(high)
