"""Hours left and the finish date of a build, as ranges.

One set of draws carries every doubt at once: the shop's ratio, its kinds and operations, yields, shop time,
the growth of the plan, and the pace. Parts and groups are shown without shop time and growth, which belong to
the build as a whole; the build and its milestones have them in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.borrowing import borrowed_operations, borrowed_part
from calcs.forecast import (
    NOTHING,
    FinishDates,
    GroupOutlook,
    MilestoneOutlook,
    Outlook,
    PaceSummary,
    PartOutlook,
    RateSummary,
    ShareSummary,
    Spread,
)
from calcs.learned import (
    Growth,
    ShopShare,
    growth_of_plan,
    hours_added,
    pieces_ahead,
    rate_observations,
    shop_share,
    yield_counts,
)
from calcs.outlook_working import Chain, remarks_on, working_of
from calcs.pace import summarise_pace, unattended_hours_per_week, weekly_hours, weeks_to_finish
from calcs.plan import BuildPlan
from calcs.rates import RatePosterior, fit_rates
from calcs.time_draws import OwnLogs
from calcs.unforeseen import unforeseen
from calcs.work_draws import Knowledge, PartDraws, draw_parts
from calcs.worklist import MISSING, OpenPart, open_parts
from calcs.yields import shop_belief

__all__ = [
    "FinishDates",
    "GroupOutlook",
    "MilestoneOutlook",
    "Outlook",
    "PaceSummary",
    "PartOutlook",
    "RateSummary",
    "ShareSummary",
    "Spread",
    "foresee",
]

Floats: TypeAlias = NDArray[np.float64]
CHANCES = (0.1, 0.5, 0.8, 0.9)


@dataclass(frozen=True)
class _Learned:
    """What the log taught, and the draws of it that the whole build shares."""

    rates: RatePosterior
    share: ShopShare
    growth: Growth
    known: Knowledge
    growing: Floats
    growth_chances: Floats
    in_the_shop: Floats

    def growth_of(self, work: Floats) -> Floats:
        """Return hours of work (draws) that come into the plan while `work` is worked off."""
        return self.growth.hours_to_come(self.growing, work, self.known.rates.mean_ratio(), self.growth_chances)


@dataclass(frozen=True)
class _Left:
    """Hours left in draws: the build's (draws) and its milestones' (milestones, draws), bench and unattended."""

    bench: Floats
    unattended: Floats
    milestone_bench: Floats
    milestone_unattended: Floats
    growth: Floats


@dataclass(frozen=True)
class _Found:
    """Everything the outlook is put together from; `days` as `_finish_days` returns them."""

    parts: tuple[OpenPart, ...]
    learned: _Learned
    drawn: PartDraws
    left: _Left
    days: Floats | None
    nothing_to_go_by: bool


def foresee(plan: BuildPlan, as_of: date, seed: int, draws: int = 4000) -> Outlook:
    """Return the outlook of a build on a day.

    `plan` must hold the log up to that day and no further. The same plan, day, seed and number of draws give
    the same figures. ValueError when a figure of the plan makes no sense, or for fewer than 100 draws.

    >>> from calcs.plan import OperationPlan, PartPlan
    >>> route = (OperationPlan(1, "turning", setup_minutes=60, minutes_per_piece=30),)
    >>> outlook = foresee(BuildPlan((PartPlan(1, "stud", "cylinder", 6, 0, route),)), date(2026, 3, 1), seed=1)
    >>> outlook.planned_hours_left, outlook.hours_left.p10 < outlook.hours_left.p90, outlook.finish_on
    (4.0, True, None)
    """
    if draws < 100:
        raise ValueError("An outlook needs at least 100 draws; 4,000 are usual.")
    shared_seed, part_seed, walk_seed = np.random.SeedSequence(seed).spawn(3)
    parts = open_parts(plan.parts)
    learned = _learn(plan, parts, as_of, shared_seed, draws)
    drawn = draw_parts(parts, learned.known, part_seed, draws)
    nothing_to_go_by = not plan.parts or (bool(parts) and not drawn.foreseeable.any())
    left = _add_up(plan, parts, drawn, learned)
    days = None if nothing_to_go_by else _finish_days(plan, as_of, left, np.random.default_rng(walk_seed))
    return _outlook(plan, as_of, _Found(parts, learned, drawn, left, days, nothing_to_go_by))


def _learn(
    plan: BuildPlan, parts: Sequence[OpenPart], as_of: date, seed: np.random.SeedSequence, draws: int
) -> _Learned:
    kinds = tuple(dict.fromkeys(operation.kind for part in plan.parts for operation in part.operations))
    rates = fit_rates(list(rate_observations(plan.parts)), kinds)
    hours = {kind: sum(one.minutes for one in plan.stints if one.kind == kind) / 60 for kind in ("operation", "shop")}
    share = shop_share(hours["operation"], hours["shop"])
    growth = growth_of_plan(hours_added(plan, as_of), hours["operation"])
    # Seeds of their own, so that more shop time in the log does not stir up the draws of the rates.
    for_share, for_growth, for_rates = (np.random.default_rng(one) for one in seed.spawn(3))
    shop_yield = shop_belief(yield_counts(plan.parts))
    known = Knowledge(
        kinds=kinds,
        rates=rates.draw(for_rates, draws).shifted(unforeseen(plan.parts, shop_yield).draw(for_rates, draws)),
        own=OwnLogs.of(rates, _ahead(plan, parts)),
        shop_yield=shop_yield,
        borrowed_part=borrowed_part(plan.parts),
        borrowed_operations=borrowed_operations(plan.parts),
    )
    growing, chances = growth.draw(for_growth, draws), for_growth.random(draws)
    return _Learned(rates, share, growth, known, growing, chances, share.draw(for_share, draws))


def _ahead(plan: BuildPlan, parts: Sequence[OpenPart]) -> dict[int, tuple[float, float]]:
    """Return what was learnt over the pieces of operations that have enough of them and some left."""
    left = {operation.key: operation.pieces for part in parts for operation in part.operations}
    found = {
        operation.key: pieces_ahead(operation, left.get(operation.key, 0))
        for part in plan.parts
        for operation in part.operations
        if operation.piece_minutes
    }
    return {key: ahead for key, ahead in found.items() if ahead is not None}


def _add_up(plan: BuildPlan, parts: Sequence[OpenPart], drawn: PartDraws, learned: _Learned) -> _Left:
    """Sum the parts; milestones over their own parts and everything that comes before, in working order."""
    bench, unattended = _sum(drawn.bench), _sum(drawn.unattended)
    growth = learned.growth_of(bench)
    whole = (1 + growth / np.maximum(bench, 1e-6)) / (1 - learned.in_the_shop)
    milestone_bench, milestone_unattended = [], []
    reached: frozenset[int] = frozenset()
    for milestone in plan.milestones:
        reached |= milestone.part_keys
        rows = [row for row, part in enumerate(parts) if part.key in reached]
        milestone_bench.append(_sum(drawn.bench[rows]) * whole)
        milestone_unattended.append(_sum(drawn.unattended[rows]))
    shape = (len(plan.milestones), drawn.bench.shape[1])
    return _Left(
        bench * whole,
        unattended,
        np.array(milestone_bench).reshape(shape),
        np.array(milestone_unattended).reshape(shape),
        growth,
    )


def _sum(rows: NDArray[np.float32]) -> Floats:
    return np.asarray(rows.sum(axis=0, dtype=np.float64))


def _finish_days(plan: BuildPlan, as_of: date, left: _Left, rng: np.random.Generator) -> Floats | None:
    """Return days to the finish, first row the build, then the milestones; None where no pace is known."""
    bench = np.vstack([left.bench, left.milestone_bench])
    unattended = np.vstack([left.unattended, left.milestone_unattended])
    if not bench.any() and not unattended.any():
        return np.zeros_like(bench)
    days = weeks_to_finish(bench, weekly_hours(plan.stints, as_of), plan.closures, as_of, rng)
    if days is None:
        return None
    return np.maximum(days, 7 * unattended / unattended_hours_per_week(plan.stints, as_of))


def _outlook(plan: BuildPlan, as_of: date, found: _Found) -> Outlook:
    """Put the figures together."""
    parts, drawn, left, days, rates = found.parts, found.drawn, found.left, found.days, found.learned.rates
    pace = summarise_pace(plan.stints, as_of)
    finish_on = None if days is None else finish_dates(days[0], as_of)
    planned = sum(part.planned_minutes for part in parts if part.figured) / 60
    chain = _chain(drawn, planned, left)
    seen = len(rates.observations)
    return Outlook(
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
        rates=(rates.overall(), *rates.by_kind()) if seen else (),
        shop_share=found.learned.share.summary(),
        growth=found.learned.growth.summary(),
        working=working_of(chain, pace, plan.closures, finish_on, as_of, found.nothing_to_go_by),
        remarks=remarks_on(plan, parts, pace, seen, found.nothing_to_go_by, finish_on, chain),
    )


def _chain(drawn: PartDraws, planned: float, left: _Left) -> Chain:
    """Return the means of the chain; shop time is what is left over, so that the lines add up."""
    work, growth = float(_sum(drawn.bench).mean()), float(left.growth.mean())
    return Chain(
        planned=planned,
        at_own_ratio=drawn.at_own_ratio,
        borrowed=drawn.borrowed,
        remakes=drawn.remakes,
        in_hand=drawn.in_hand,
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


def _parts(parts: Sequence[OpenPart], drawn: PartDraws) -> tuple[PartOutlook, ...]:
    """Each part's hours, and its covariance with the whole as a share of the variance of the whole."""
    if not parts:
        return ()
    total = _sum(drawn.bench)
    centred = (total - total.mean()).astype(np.float32)
    variance = float(centred @ centred)
    widening = (drawn.bench @ centred) / variance if variance > 0 else np.zeros(len(parts))
    spreads = spreads_of(drawn.bench)
    return tuple(
        PartOutlook(part.key, part.planned_minutes / 60, spread if foreseeable else None, float(share))
        for part, spread, foreseeable, share in zip(parts, spreads, drawn.foreseeable, widening, strict=True)
    )


def _groups(plan: BuildPlan, parts: Sequence[OpenPart], drawn: PartDraws) -> tuple[GroupOutlook, ...]:
    groups = []
    for name in dict.fromkeys(part.group for part in plan.parts):
        rows = [row for row, part in enumerate(parts) if part.group == name]
        done = sum(part.bench_minutes for part in plan.parts if part.group == name) / 60
        planned = sum(parts[row].planned_minutes for row in rows) / 60
        groups.append(GroupOutlook(name, done, planned, spread_of(_sum(drawn.bench[rows])) if rows else NOTHING))
    return tuple(groups)


def _milestones(plan: BuildPlan, left: _Left, days: Floats | None, as_of: date) -> tuple[MilestoneOutlook, ...]:
    return tuple(
        MilestoneOutlook(
            milestone.key,
            milestone.name,
            spread_of(left.milestone_bench[row]),
            None if days is None else finish_dates(days[1 + row], as_of),
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
