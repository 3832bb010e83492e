"""The working of a forecast in one readable chain, and what there is to be said about it.

Planned hours left × your ratio + remakes + growth + shop time = hours left; ÷ pace = weeks; + closures = date.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from calcs.forecast.result import FinishDates, PaceSummary
from calcs.forecast.words import period_of
from calcs.parts.count import find_count_gaps
from calcs.parts.plan import BuildPlan, Closure
from calcs.parts.remaining import OpenPart
from calcs.working.result import Step, Working

FEW_WEEKS = 8
FEW_OPERATIONS = 5
MUCH_GROWTH = 0.25


@dataclass(frozen=True)
class Chain:
    """Mean hours of every link; at_own_ratio + imputed + remakes − work_in_progress + growth + shop_time = hours_left."""

    planned: float
    at_own_ratio: float
    imputed: float
    remakes: float
    work_in_progress: float
    growth: float
    shop_time: float
    hours_left: float

    @property
    def ratio(self) -> float:
        """Mean actual ÷ planned of the work ahead; 1 where nothing is planned."""
        return self.at_own_ratio / self.planned if self.planned > 0 else 1.0


def working_of(
    chain: Chain,
    pace: PaceSummary | None,
    closures: Sequence[Closure],
    finish_on: FinishDates | None,
    as_of: date,
    nothing_to_go_by: bool,
) -> Working:
    """Return the chain, hours first and then the date, as far as there is something to go by."""
    title = "Hours left and finish date"
    if nothing_to_go_by:
        return Working(title, (Step("hours left", "", "no part has a figure", "not known", ""),))
    steps = [
        *_hour_steps(chain),
        Step("hours left", "sum of the lines above", "", chain.hours_left, "h"),
        *_week_steps(chain, pace, closures, finish_on, as_of),
    ]
    return Working(title, tuple(steps))


def _hour_steps(chain: Chain) -> list[Step]:
    """Lines that come to nothing are left out, the first one excepted."""
    ratio = f"{chain.planned:.1f} × {chain.ratio:.3f}"
    steps = [
        Step("planned hours left", "set-ups still to come + pieces × minutes each", "", chain.planned, "h"),
        Step("at your ratio", "planned hours left × your mean ratio", ratio, chain.at_own_ratio, "h"),
    ]
    links = [
        ("without a figure", "borrowed from the build's own figures", chain.imputed),
        ("remakes", "pieces lost on the way, at your yields", chain.remakes),
        ("spent already", "bench hours already spent on work in hand", -chain.work_in_progress),
        ("growth", "operations that come into the plan as work goes on", chain.growth),
        ("shop time", "fixtures, drawings, tidying and the like, at your share", chain.shop_time),
    ]
    return steps + [Step(symbol, formula, "", hours, "h") for symbol, formula, hours in links if abs(hours) >= 0.005]


def _week_steps(
    chain: Chain, pace: PaceSummary | None, closures: Sequence[Closure], finish_on: FinishDates | None, as_of: date
) -> list[Step]:
    if pace is None:
        return [Step("weeks", "hours left ÷ pace", "no hours have been logged", "not known", "")]
    weeks = chain.hours_left / pace.mean_hours
    numbers = f"{chain.hours_left:.1f} ÷ {pace.mean_hours:.2f}"
    steps = [
        Step("pace", "mean bench hours a week, recent weeks weighing more", "", pace.mean_hours, "h a week"),
        Step("weeks", "hours left ÷ pace", numbers, weeks, "weeks"),
    ]
    if finish_on is not None:
        even = "more than sixty years away" if finish_on.p50 is None else period_of(finish_on.p50, as_of).words
        ahead = f"{len(closures)} closures" if len(closures) != 1 else "1 closure"
        formula = "when half of the drawn paths have worked off their hours, closed days left out"
        steps.append(Step("even chance", formula, ahead, even, ""))
    return steps


def remarks_on(
    plan: BuildPlan,
    parts: Sequence[OpenPart],
    pace: PaceSummary | None,
    observed: int,
    nothing_to_go_by: bool,
    finish_on: FinishDates | None,
    chain: Chain,
) -> tuple[str, ...]:
    """Return what a reader must know beside the figures, in whole sentences."""
    remarks = [
        *_about_figures(plan, parts, nothing_to_go_by),
        *_about_little_log(pace, observed),
        *_about_counts(plan),
    ]
    work = chain.hours_left - chain.growth - chain.shop_time
    if chain.growth > MUCH_GROWTH * max(work, 0.001):
        remarks.append("Many operations came into the plan after work began; the hours left count on more of them.")
    if finish_on is not None and finish_on.p90 is None:
        remarks.append("At this pace there is a fair chance that the finish lies more than sixty years ahead.")
    return tuple(remarks)


def _about_figures(plan: BuildPlan, parts: Sequence[OpenPart], nothing_to_go_by: bool) -> list[str]:
    if not plan.parts:
        return ["No part has been listed yet, so nothing can be said about the hours left."]
    if nothing_to_go_by:
        return ["No part has a planned figure yet, so nothing can be said about the hours left."]
    missing = sum(not part.figured for part in parts)
    if not missing:
        return []
    who = "1 part has" if missing == 1 else f"{missing} parts have"
    return [f"{who} no planned figure; a range is borrowed from the build's other parts."]


def _about_little_log(pace: PaceSummary | None, observed: int) -> list[str]:
    remarks = []
    if pace is None:
        remarks.append("No hours have been logged yet, so there is no pace and no date.")
    elif pace.weeks < FEW_WEEKS:
        weeks = "1 week" if pace.weeks == 1 else f"{pace.weeks} weeks"
        remarks.append(f"The log covers {weeks} only, so the date is very wide.")
    if observed < FEW_OPERATIONS:
        seen = {0: "No operation has", 1: "1 operation has"}.get(observed, f"{observed} operations have")
        remarks.append(f"{seen} been logged against a plan so far, so your ratio rests mostly on what others found.")
    return remarks


def _about_counts(plan: BuildPlan) -> list[str]:
    holes = sum(bool(find_count_gaps(part.operations)) for part in plan.parts)
    if not holes:
        return []
    return [f"{'1 part has' if holes == 1 else f'{holes} parts have'} more pieces counted than could have got there."]
