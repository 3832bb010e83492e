"""A build's hours left and days to its finish, drawn.

One set of draws carries every doubt at once: the shop's ratio, its kinds and operations, yields, shop time,
the growth of the plan, and the pace. Parts and groups are shown without shop time and growth, which belong to
the build as a whole; the build and its milestones have them in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.forecast.even_draws import even_chances
from calcs.forecast.imputation import imputed_operations, imputed_part
from calcs.forecast.milestones import Needed, Towards, cut_short, hours_until, needs_in_order
from calcs.forecast.observations import (
    Growth,
    ShopShare,
    assemblies_apart,
    growth_seen,
    rate_observations,
    shop_share,
    slopes_seen,
)
from calcs.forecast.overrun import overrun
from calcs.forecast.pace import unattended_hours_per_week, weekly_hours, weeks_to_finish
from calcs.forecast.rates import RatePosterior, fit_rates
from calcs.forecast.simulate_times import OwnLogs
from calcs.forecast.simulate_work import Knowledge, PartDraws, draw_parts
from calcs.parts.plan import BuildPlan, PartPlan
from calcs.parts.remaining import OpenPart, open_part, open_parts
from calcs.parts.yields import shop_belief, yield_counts

Floats: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True)
class Learned:
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
class HoursLeft:
    """Hours left in draws: the build's (draws) and its milestones' (milestones, draws), bench and unattended.

    `milestone_until` are those that will have been worked, on whatever, when it is reached, `towards` the share of them
    that goes into it.
    """

    bench: Floats
    unattended: Floats
    milestone_bench: Floats
    milestone_unattended: Floats
    milestone_until: Floats
    towards: tuple[Towards, ...]
    growth: Floats


@dataclass(frozen=True)
class Simulation:
    """Everything the forecast is put together from; `days` as `finish_days` returns them."""

    parts: tuple[OpenPart, ...]
    learned: Learned
    drawn: PartDraws
    left: HoursLeft
    days: Floats | None
    nothing_to_go_by: bool


def simulate(plan: BuildPlan, as_of: date, seed: int, draws: int) -> Simulation:
    """Return the draws that a forecast is made of; arguments and errors as for `calcs.forecast.forecast`."""
    if draws < 100:
        raise ValueError("A forecast needs at least 100 draws; 4,000 are usual.")
    parts = () if plan.finished_on else open_parts(plan.parts)
    learned = _learn(plan, as_of, _seeds(seed).shared, draws)
    drawn = draw_parts(parts, learned.known, _seeds(seed).parts, draws)
    nothing_to_go_by = not plan.parts or (bool(parts) and not drawn.foreseeable.any())
    left = _add_up(plan, parts, drawn, learned, seed)
    dateless = nothing_to_go_by or plan.resting or plan.finished_on is not None
    days = None if dateless else finish_days(plan, as_of, left, seed)
    return Simulation(parts, learned, drawn, left, days, nothing_to_go_by)


class _Seeds(NamedTuple):
    """Seeds for what all parts share, for the parts, for the weeks to come, and for what comes between milestones."""

    shared: np.random.SeedSequence
    parts: np.random.SeedSequence
    walk: np.random.SeedSequence
    between: np.random.SeedSequence


def _seeds(seed: int) -> _Seeds:
    return _Seeds(*np.random.SeedSequence(seed).spawn(4))


def _learn(plan: BuildPlan, as_of: date, seed: np.random.SeedSequence, draws: int) -> Learned:
    hours = {kind: sum(one.minutes for one in plan.stints if one.kind == kind) / 60 for kind in ("operation", "shop")}
    share = shop_share(hours["operation"], hours["shop"])
    growth = growth_seen(plan, as_of)
    for_share, for_growth, *for_work = (np.random.default_rng(one) for one in seed.spawn(5))
    rates, known = _learn_of_work(plan.parts, for_work, draws)
    growing, chances = growth.draw(for_growth, draws), even_chances(for_growth, draws)
    return Learned(rates, share, growth, known, growing, chances, share.draw(for_share, draws))


def learn_of_work(parts: Sequence[PartPlan], seed: int, draws: int) -> Knowledge:
    """Return what a build's parts teach about the time of its work: the very draws that its forecast rests on."""
    for_work = [np.random.default_rng(one) for one in _seeds(seed).shared.spawn(5)[2:]]
    return _learn_of_work(parts, for_work, draws)[1]


def _learn_of_work(
    parts: Sequence[PartPlan], rngs: Sequence[np.random.Generator], draws: int
) -> tuple[RatePosterior, Knowledge]:
    """Each its own dice, so that more shop time in the log does not stir up the draws of the rates."""
    for_rates, for_overrun, for_wholes = rngs
    kinds = tuple(dict.fromkeys(operation.kind for part in parts for operation in part.operations))
    slopes = slopes_seen(parts)
    rates = fit_rates(list(rate_observations(parts)), kinds, tuple(slopes.values()))
    shop_yield = shop_belief(yield_counts(parts))
    excess = overrun(parts, rates, shop_yield)
    drawn = rates.draw(for_rates, draws).with_wholes_apart(kinds, assemblies_apart(parts), for_wholes)
    return rates, Knowledge(
        kinds=kinds,
        rates=drawn.shifted(excess.draw(for_overrun, draws)),
        own=OwnLogs.of(rates, slopes),
        shop_yield=shop_yield,
        imputed_part=imputed_part(parts),
        imputed_operations=imputed_operations(parts),
        excess=excess.log_mean,
    )


def _add_up(plan: BuildPlan, parts: Sequence[OpenPart], drawn: PartDraws, learned: Learned, seed: int) -> HoursLeft:
    """Sum the parts; milestones over their own parts and everything that comes before, in working order."""
    bench, unattended = sum_of_parts(drawn.bench), sum_of_parts(drawn.unattended)
    growth = learned.growth_of(bench)
    whole = (1 + growth / np.maximum(bench, 1e-6)) / (1 - learned.in_the_shop)
    needs = needs_in_order(plan)
    so_far = _draw_so_far(plan, needs, learned, seed, len(bench))
    of_milestones = []
    for needed in needs:
        rows = [row for row, part in enumerate(parts) if part.key in needed.whole]
        cut = [so_far[step] for step in needed.so_far.items() if step in so_far]
        work, machine = sum_of_parts(drawn.bench[rows]), sum_of_parts(drawn.unattended[rows])
        of_milestones.append((sum((one[0] for one in cut), work) * whole, sum((one[1] for one in cut), machine)))
    own = np.array(of_milestones).reshape(len(needs), 2, len(bench))
    between = np.random.default_rng(_seeds(seed).between)
    until, towards = hours_until(plan, own[:, 0], bench * whole, between)
    return HoursLeft(bench * whole, unattended, own[:, 0], own[:, 1], until, towards, growth)


def _draw_so_far(
    plan: BuildPlan, needs: Sequence[Needed], learned: Learned, seed: int, draws: int
) -> dict[tuple[int, int], tuple[Floats, Floats]]:
    """Draw the hours left, bench and unattended, of parts that are needed as far as an operation (key, operations).

    With the seed of the parts their operations read the same draws as the whole route does.
    """
    steps = sorted({step for needed in needs for step in needed.so_far.items()})
    if not steps or plan.finished_on:
        return {}
    by_key = {part.key: part for part in plan.parts}
    cut = [(step, open_part(cut_short(by_key[step[0]], step[1]))) for step in steps]
    still = [(step, part) for step, part in cut if part is not None]
    drawn = draw_parts([part for _step, part in still], learned.known, _seeds(seed).parts, draws)
    rows = zip(still, drawn.bench, drawn.unattended, strict=True)
    return {step: (bench.astype(float), machine.astype(float)) for (step, _part), bench, machine in rows}


def sum_of_parts(rows: NDArray[np.float32]) -> Floats:
    """Return the sum of rows (parts, draws) for each draw."""
    return np.asarray(rows.sum(axis=0, dtype=np.float64))


def finish_days(plan: BuildPlan, as_of: date, left: HoursLeft, seed: int) -> Floats | None:
    """Return days to the finish (1 + milestones, draws), first row the build; None where no pace is known.

    Closures and the pace are read from the plan, hours from `left`. The same seed gives the same weeks to come.
    """
    rng = np.random.default_rng(_seeds(seed).walk)
    bench = np.vstack([left.bench, left.milestone_until])
    unattended = np.vstack([left.unattended, left.milestone_unattended])
    if not bench.any() and not unattended.any():
        return np.zeros_like(bench)
    days = weeks_to_finish(bench, weekly_hours(plan.stints, as_of), plan.closures, as_of, rng)
    if days is None:
        return None
    return np.maximum(days, 7 * unattended / unattended_hours_per_week(plan.stints, as_of))
