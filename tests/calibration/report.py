"""The calibration report: how often ranges hold on simulated builds, and how much better they are than one ratio.

The yardstick is what many builders do: the planned hours left, times hours so far ÷ planned hours so far (1.3 where
nothing is done), taken for every quantile alike. It is a strong one: pieces scrapped count as planned work done, and
its hours so far have the shop time in, as the hours left have. The plain one beside it compares like with like, hours
on operations with the planned hours of the same, and so forgets the shop time. The oracle
knows the shop (tests.calibration.oracle) and is the floor. Losses are means over all cases, in hours.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from calcs.forecast import forecast
from calcs.forecast.result import FinishDates, Spread
from calcs.parts.plan import BuildPlan, OperationPlan, PartPlan
from tests.calibration.as_of import day_of, plan_as_of
from tests.calibration.evenings import History, simulate
from tests.calibration.oracle import hours_left
from tests.calibration.scoring import mean_pinball_loss
from tests.calibration.world import World

RATIO_OF_NOTHING = 1.3


@dataclass(frozen=True)
class Case:
    """One build at one cut: the range, the truth, the yardsticks and the oracle, in hours, and the date."""

    seed: int
    cut: float
    hours: Spread
    finish_on: FinishDates
    true_hours: float
    true_finish: date
    whole_hours: float
    by_one_ratio: float
    by_plain_ratio: float
    as_of: date
    oracle: Spread

    @property
    def hours_held(self) -> bool:
        return self.hours.p10 <= self.true_hours <= self.hours.p90

    @property
    def date_held(self) -> bool:
        low, high = self.finish_on.p10, self.finish_on.p90
        return low is not None and low <= self.true_finish and (high is None or self.true_finish <= high)

    @property
    def true_days(self) -> int:
        return max(1, (self.true_finish - self.as_of).days)

    @property
    def days_even(self) -> float:
        return math.inf if self.finish_on.p50 is None else (self.finish_on.p50 - self.as_of).days

    @property
    def loss(self) -> float:
        return self._loss_of_range(self.hours)

    @property
    def loss_of_oracle(self) -> float:
        return self._loss_of_range(self.oracle)

    @property
    def loss_by_one_ratio(self) -> float:
        return self._loss_of(self.by_one_ratio)

    @property
    def loss_by_plain_ratio(self) -> float:
        return self._loss_of(self.by_plain_ratio)

    def _loss_of_range(self, hours: Spread) -> float:
        return mean_pinball_loss({0.1: hours.p10, 0.5: hours.p50, 0.8: hours.p80, 0.9: hours.p90}, self.true_hours)

    def _loss_of(self, point: float) -> float:
        return mean_pinball_loss(dict.fromkeys((0.1, 0.5, 0.8, 0.9), point), self.true_hours)


def cases_of(world: World, seeds: Iterable[int], draws: int = 1000) -> list[Case]:
    """Return every build of these seeds at every cut."""
    return [case for seed in seeds for case in _cases_of_build(simulate(world, seed), seed, draws)]


def _cases_of_build(history: History, seed: int, draws: int) -> list[Case]:
    cases = []
    for place, (cut, day) in enumerate(cut_days(history)):
        done = sum(entry.minutes for entry in history.entries if entry.day <= day) / 60
        if history.hours - done < 0.5:
            continue
        plan = plan_as_of(history, day)
        found = forecast(plan, day_of(day), seed=4 * seed + place, draws=draws)
        if found.hours_left is None or found.finish_on is None:
            raise AssertionError("A simulated build with a plan and a log must have hours and a date.")
        cases.append(
            Case(
                seed=seed,
                cut=cut,
                hours=found.hours_left,
                finish_on=found.finish_on,
                true_hours=history.hours - done,
                true_finish=day_of(history.last_day),
                whole_hours=history.hours,
                by_one_ratio=one_ratio(plan),
                by_plain_ratio=one_ratio(plan, shop_time=False),
                as_of=day_of(day),
                oracle=hours_left(history, day, seed),
            )
        )
    return cases


def cut_days(history: History) -> list[tuple[float, int]]:
    """Return each cut of the world with the day on which that share of the hours is worked off."""
    entries = sorted(history.entries, key=lambda entry: entry.day)
    reached = np.cumsum([entry.minutes for entry in entries]) / 60
    return [(cut, entries[int(np.searchsorted(reached, cut * history.hours))].day) for cut in history.shop.world.cuts]


def one_ratio(plan: BuildPlan, shop_time: bool = True) -> float:
    """Return the hours left by the yardstick, or by the plain one without shop time."""
    planned_so_far = planned_left = 0.0
    for part in plan.parts:
        done, left = _planned(part)
        planned_so_far, planned_left = planned_so_far + done, planned_left + left
    actual = sum(stint.minutes for stint in plan.stints if shop_time or stint.kind == "operation")
    ratio = actual / planned_so_far if planned_so_far > 0 and actual > 0 else RATIO_OF_NOTHING
    return planned_left * ratio / 60


def _planned(part: PartPlan) -> tuple[float, float]:
    """Planned minutes of what was counted, and of what is left; an operation passed later on was passed here too."""
    done = left = 0.0
    beyond = 0
    for operation in reversed(part.operations):
        passed = max(operation.good, beyond)
        beyond = passed + operation.scrap
        to_do = max(0, part.quantity + part.spares - passed)
        done += _minutes(operation, passed + operation.scrap, passed + operation.scrap > 0)
        left += _minutes(operation, to_do, to_do > 0 and not operation.bench_minutes)
    return done, left


def _minutes(operation: OperationPlan, pieces: int, set_up: bool) -> float:
    return operation.setup_minutes * set_up + (operation.minutes_per_piece or 0.0) * pieces


@dataclass(frozen=True)
class Figures:
    """What a table shows of many cases. Shares are in per cent.

    `even` is the even chance ÷ truth (median over the cases); `loss` is ours ÷ the yardstick's, `loss_by_plain` ours ÷
    the plain yardstick's, `loss_by_oracle` ours ÷ the oracle's, and `oracle` the oracle's ÷ the yardstick's.
    `width` is the 10-90 range ÷ the even chance (median).
    """

    cases: int
    held: float
    held_by_cut: tuple[float, ...]
    under_p50: float
    under_p80: float
    even: float
    width: float
    loss: float
    loss_by_cut: tuple[float, ...]
    loss_by_plain: float
    loss_by_oracle: float
    oracle: float
    oracle_even: float
    dates_held: float
    dates_even: float
    dates_under_p80: float


def figures_of(cases: Sequence[Case]) -> Figures:
    """Return the shares over all cases and by cut."""
    by_cut = [[case for case in cases if case.cut == cut] for cut in sorted({case.cut for case in cases})]
    far = date.max
    return Figures(
        cases=len(cases),
        held=_share(case.hours_held for case in cases),
        held_by_cut=tuple(_share(case.hours_held for case in group) for group in by_cut),
        under_p50=_share(case.true_hours <= case.hours.p50 for case in cases),
        under_p80=_share(case.true_hours <= case.hours.p80 for case in cases),
        even=_median(case.hours.p50 / case.true_hours for case in cases),
        width=_median((case.hours.p90 - case.hours.p10) / case.hours.p50 for case in cases),
        loss=_ratio_of_losses(cases, "loss", "loss_by_one_ratio"),
        loss_by_cut=tuple(_ratio_of_losses(group, "loss", "loss_by_one_ratio") for group in by_cut),
        loss_by_plain=_ratio_of_losses(cases, "loss", "loss_by_plain_ratio"),
        loss_by_oracle=_ratio_of_losses(cases, "loss", "loss_of_oracle"),
        oracle=_ratio_of_losses(cases, "loss_of_oracle", "loss_by_one_ratio"),
        oracle_even=_median(case.oracle.p50 / case.true_hours for case in cases),
        dates_held=_share(case.date_held for case in cases),
        dates_even=_median(case.days_even / case.true_days for case in cases),
        dates_under_p80=_share(case.true_finish <= (case.finish_on.p80 or far) for case in cases),
    )


def _share(marks: Iterable[bool]) -> float:
    return 100 * float(np.mean(list(marks)))


def _median(figures: Iterable[float]) -> float:
    return float(np.median(list(figures)))


def _ratio_of_losses(cases: Sequence[Case], ours: str, theirs: str) -> float:
    return float(sum(getattr(case, ours) for case in cases) / sum(getattr(case, theirs) for case in cases))


def line_of(name: str, figures: Figures) -> str:
    """Return one line of the table."""
    cuts = " ".join(f"{share:3.0f}" for share in figures.held_by_cut)
    hours = f"{figures.held:5.1f} ({cuts:15s}) {figures.under_p80:5.1f} {figures.even:5.2f} {figures.width:5.2f}"
    losses = f"{figures.loss:5.2f} {figures.loss_by_plain:5.2f} {figures.loss_by_oracle:6.2f}"
    dates = f"{figures.dates_held:5.1f} {figures.dates_under_p80:5.1f} {figures.dates_even:5.2f}"
    oracle = f"{figures.oracle:5.2f} {figures.oracle_even:5.2f}"
    return f"{name:24s} {figures.cases:5d} | {hours} | {losses} | {oracle} | {dates}"


HEADING = (
    f"{'':24s} {'cases':>5s} | hours held (by cut)    80 %  even width | loss: one ratio, plain, oracle "
    "| oracle: loss, even | dates held 80 % even"
)
