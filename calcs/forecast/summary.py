"""What was found, put together as a forecast: spreads, dates, parts, groups, milestones."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.forecast.observations import FEW_EVENINGS, evenings_logged
from calcs.forecast.pace import summarise_pace
from calcs.forecast.result import (
    NOTHING,
    Chain,
    FinishDates,
    Forecast,
    GroupForecast,
    MilestoneForecast,
    PaceSummary,
    PartForecast,
    Remark,
    Spread,
)
from calcs.forecast.simulate import HoursLeft, Simulation, sum_of_parts
from calcs.forecast.simulate_work import PartDraws
from calcs.parts.count import find_count_gaps
from calcs.parts.plan import BuildPlan
from calcs.parts.remaining import MISSING, OpenPart

Floats: TypeAlias = NDArray[np.float64]
CHANCES = (0.1, 0.5, 0.8, 0.9)
FEW_WEEKS = 8
FEW_OPERATIONS = 5
MUCH_GROWTH = 0.25


def summarise(plan: BuildPlan, as_of: date, found: Simulation) -> Forecast:
    """Return the forecast that the draws of a build amount to."""
    parts, drawn, left, days, rates = found.parts, found.drawn, found.left, found.days, found.learned.rates
    pace = summarise_pace(plan.stints, as_of)
    finish_on = None if days is None else finish_dates(days[0], as_of)
    planned = sum(part.planned_minutes for part in parts if part.figured) / 60
    chain = _chain(drawn, planned, left)
    return Forecast(
        as_of=as_of,
        hours_done=sum(one.minutes for one in plan.stints) / 60,
        unattended_hours_done=sum(one.unattended_minutes for one in plan.stints) / 60,
        planned_hours_left=planned,
        hours_left=None if found.nothing_to_go_by else spread_of(left.bench),
        unattended_hours_left=spread_of(left.unattended),
        pace_hours_per_week=None if pace is None else pace.mean_hours,
        pace=pace,
        finish_on=finish_on,
        unestimated_parts=tuple(part.key for part in parts if not part.figured),
        unestimated_operations=_operations_without_figure(parts),
        groups=_groups(plan, parts, drawn),
        parts=_parts(parts, drawn),
        milestones=() if found.nothing_to_go_by else _milestones(plan, left, days, as_of),
        rates=(rates.overall(), *rates.by_kind()) if rates.observations else (),
        shop_share=found.learned.share.summary(),
        growth=found.learned.growth.summary(),
        chain=chain,
        closures=len(plan.closures),
        learning=rates.learning(),
        remarks=(
            *_on_the_plan(plan, found),
            *_on_the_log(plan, pace, len(rates.observations)),
            *_on_the_outcome(chain, finish_on),
        ),
    )


def _on_the_plan(plan: BuildPlan, found: Simulation) -> Iterator[Remark]:
    missing = sum(not part.figured for part in found.parts)
    bare = len(_operations_without_figure(found.parts))
    if not plan.parts:
        yield Remark("no parts")
    elif found.nothing_to_go_by:
        yield Remark("no figures")
    elif missing:
        yield Remark("parts without a figure", missing)
    if bare and not found.learned.known.imputed_operations:
        yield Remark("operations with nothing to borrow", bare)


def _on_the_log(plan: BuildPlan, pace: PaceSummary | None, compared: int) -> Iterator[Remark]:
    if pace is None:
        yield Remark("no hours logged")
    elif pace.weeks < FEW_WEEKS:
        yield Remark("few weeks logged", pace.weeks)
    evenings = len(evenings_logged(plan))
    if 0 < evenings < FEW_EVENINGS:
        yield Remark("few evenings logged", evenings)
    if compared < FEW_OPERATIONS:
        yield Remark("few operations compared", compared)
    gaps = sum(bool(find_count_gaps(part.operations)) for part in plan.parts)
    if gaps:
        yield Remark("parts with a count gap", gaps)


def _on_the_outcome(chain: Chain, finish_on: FinishDates | None) -> Iterator[Remark]:
    work = chain.hours_left - chain.growth - chain.shop_time
    if chain.growth > MUCH_GROWTH * max(work, 0.001):
        yield Remark("much growth")
    if finish_on is not None and finish_on.p90 is None:
        yield Remark("finish beyond the horizon")


def _chain(drawn: PartDraws, planned: float, left: HoursLeft) -> Chain:
    """Return the means of the chain; shop time is what is left over, so that the lines add up."""
    work, growth = float(sum_of_parts(drawn.bench).mean()), float(left.growth.mean())
    return Chain(
        planned=planned,
        at_own_ratio=drawn.at_own_ratio,
        learning=drawn.learning,
        excess=drawn.excess,
        imputed=drawn.imputed,
        remakes=drawn.remakes,
        work_in_progress=drawn.work_in_progress,
        growth=growth,
        shop_time=float(left.bench.mean()) - work - growth,
        hours_left=float(left.bench.mean()),
    )


def _operations_without_figure(parts: Sequence[OpenPart]) -> tuple[int, ...]:
    return tuple(
        operation.key
        for part in parts
        if part.figured
        for operation in part.operations
        if operation.figure == MISSING and operation.pieces
    )


def _parts(parts: Sequence[OpenPart], drawn: PartDraws) -> tuple[PartForecast, ...]:
    """Each part's hours, and its covariance with the whole as a share of the variance of the whole."""
    if not parts:
        return ()
    total = sum_of_parts(drawn.bench)
    centred = (total - total.mean()).astype(np.float32)
    variance = float(centred @ centred)
    widening = (drawn.bench @ centred) / variance if variance > 0 else np.zeros(len(parts))
    spreads = spreads_of(drawn.bench)
    return tuple(
        PartForecast(part.key, part.planned_minutes / 60, spread if foreseeable else None, float(share))
        for part, spread, foreseeable, share in zip(parts, spreads, drawn.foreseeable, widening, strict=True)
    )


def _groups(plan: BuildPlan, parts: Sequence[OpenPart], drawn: PartDraws) -> tuple[GroupForecast, ...]:
    groups, nesting = [], dict(plan.nesting)
    holders = {part.group: _holders(part.group, nesting) for part in plan.parts}
    for name in dict.fromkeys(holder for part in plan.parts for holder in holders[part.group]):
        rows = [row for row, part in enumerate(parts) if name in holders[part.group]]
        done = sum(part.bench_minutes for part in plan.parts if name in holders[part.group]) / 60
        planned = sum(parts[row].planned_minutes for row in rows) / 60
        groups.append(
            GroupForecast(name, done, planned, spread_of(sum_of_parts(drawn.bench[rows])) if rows else NOTHING)
        )
    return tuple(groups)


def _holders(group: str, nesting: Mapping[str, str]) -> list[str]:
    """Return the group itself and every group that it stands in, from the inside out."""
    found = [group]
    while (outer := nesting.get(found[-1])) is not None and outer not in found:
        found.append(outer)
    return found


def _milestones(plan: BuildPlan, left: HoursLeft, days: Floats | None, as_of: date) -> tuple[MilestoneForecast, ...]:
    return tuple(
        MilestoneForecast(
            milestone.key,
            milestone.name,
            spread_of(left.milestone_bench[row]),
            None if days is None else finish_dates(days[1 + row], as_of),
            left.towards[row].summary(),
        )
        for row, milestone in enumerate(plan.milestones)
    )


def spread_of(hours: Floats) -> Spread:
    """Return mean and quantiles of draws (draws)."""
    return spreads_of(hours[None, :])[0]


def spreads_of(hours: NDArray[np.floating[Any]]) -> list[Spread]:
    """Return mean and quantiles of each row of draws (rows, draws), each quantile one of the draws.

    >>> spreads_of(np.arange(101.0)[None, :])[0]
    Spread(mean=50.0, p10=10.0, p50=50.0, p80=80.0, p90=90.0)
    """
    places = [round(chance * (hours.shape[1] - 1)) for chance in CHANCES]
    ordered = np.partition(hours, places, axis=1)[:, places].tolist()
    means = hours.mean(axis=1, dtype=np.float64).tolist()
    return [Spread(mean, *quantiles) for mean, quantiles in zip(means, ordered, strict=True)]


def finish_dates(days: Floats, as_of: date) -> FinishDates:
    """Return the dates on which so many days from `as_of` are full; None where the horizon is not enough.

    >>> finish_dates(np.array([0.5, 1.0, 10.2, np.inf, np.inf]), date(2026, 1, 1)).p50
    datetime.date(2026, 1, 12)
    """
    ordered = np.sort(days)
    dates = []
    for chance in CHANCES:
        # Rounded up: the chance that it is done by then is at least the one named.
        day = float(ordered[int(np.ceil(chance * (len(ordered) - 1)))])
        dates.append(as_of + timedelta(days=int(np.ceil(day))) if np.isfinite(day) else None)
    return FinishDates(*dates)
