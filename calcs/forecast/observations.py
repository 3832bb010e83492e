"""What a build's own log teaches: rates, yields, the share of shop time, and how its plan grows."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calcs.forecast.curve import USUAL_SLOPE, OnCurve, on_curve
from calcs.forecast.even_draws import beta_at, even_chances, even_normals
from calcs.forecast.rate_seen import RateObservation, SlopeSeen
from calcs.forecast.result import ShareSummary
from calcs.parts.count import passed_each
from calcs.parts.learning_curve import PRIOR_SLOPE_SD, fit_learning, lots_of
from calcs.parts.plan import WHOLE_PART, BuildPlan, OperationPlan, PartPlan
from calcs.parts.remaining import nothing_left, with_unnamed_hours

Floats: TypeAlias = NDArray[np.float64]

SHOP_SHARE_PRIOR = (0.5, 4.5)
"""Shop time against work on parts, in looks at it: a tenth, worth five looks. A judgement."""
HOURS_PER_LOOK = 6.0
"""Hours of log that count as one independent look at the share; hours next to each other are alike."""
GROWTH_PRIOR_MEAN = 0.04
GROWTH_PRIOR_SHAPE = 0.35
"""Most plans grow a little and some grow nearly as fast as they are worked off: a judgement."""
LUMP_PRIOR_HOURS = 5.0
LUMP_PRIOR_WORTH = 20.0
"""Planned hours that come into the plan together are taken as five, as if twenty such hours had been seen."""
FEW_EVENINGS = 12
"""With fewer the forecast leans on the plan: a judgement."""
ASSEMBLY_SD = 0.25
"""How far assemblies lie apart where kinds lie apart by a factor of 1.5 and a quarter of an assembly is of one kind."""
MOST_OF_PRIOR = 0.95
"""Lots that leave more than this of the prior's doubt about a slope have nothing to say of it."""
MOST_GROWTH = 0.6
"""A plan that grew by more than this for each hour worked would never end; beyond it the past is not carried on."""


def rate_observations(parts: Iterable[PartPlan]) -> Iterator[RateObservation]:
    """Yield one observation for every operation whose log and plan can be compared.

    A finished part whose hours were logged without naming operations speaks as a whole. Where some entry has
    no known time, nothing is learned.

    >>> turned = OperationPlan(7, "turning", 30, 10, good=3, bench_minutes_counted=90)
    >>> [seen] = rate_observations([PartPlan(1, "stud", "", 6, 0, (turned,))])
    >>> seen.key, seen.planned_minutes, seen.actual_minutes, seen.pieces
    (7, 60.0, 90, 3)
    """
    for part in map(with_unnamed_hours, parts):
        if nothing_left(part) and part.bench_minutes_elsewhere > 0:
            whole = _whole_part(part)
            if whole is not None:
                yield whole
            continue
        for operation, passed in zip(part.operations, passed_each(part.operations), strict=True):
            seen = _operation(operation, part, passed)
            if seen is not None:
                yield seen


def slopes_seen(parts: Iterable[PartPlan]) -> dict[int, SlopeSeen]:
    """Return what the lots of each operation that has enough of them say of its slope, its prior taken out again.

    >>> counts = tuple((100 * unit**-0.3, 1) for unit in range(1, 9))
    >>> operation = OperationPlan(1, "filing", 0, 50, good=8, piece_minutes=counts)
    >>> seen = slopes_seen([PartPlan(1, "stud", "", 16, 0, (operation,))])[1]
    >>> -0.4 < seen.beside_usual + USUAL_SLOPE < -0.2, seen.sd < 0.3
    (True, True)
    """
    found = {}
    for part in parts:
        for operation in part.operations:
            counts = operation.piece_minutes
            if len(counts) < 2 or operation.times_unknown:
                continue
            learning = fit_learning([(lot.minutes, lot.pieces) for lot in lots_of(operation, counts)])
            if learning is not None and learning.slope_sd < MOST_OF_PRIOR * PRIOR_SLOPE_SD:
                precision = learning.slope_sd**-2 - PRIOR_SLOPE_SD**-2
                beside = (learning.slope - USUAL_SLOPE) * learning.slope_sd**-2 / precision
                found[operation.key] = SlopeSeen(beside, precision**-0.5)
    return found


def _operation(operation: OperationPlan, part: PartPlan, passed: int) -> RateObservation | None:
    """Compare one operation; once nothing more has to go through it, all its minutes count, and all pieces that
    later operations show to have passed."""
    through = part.marked_finished or passed >= part.quantity_with_spares
    pieces = (passed + operation.scrap or part.quantity_with_spares) if through else operation.counted
    minutes = operation.bench_minutes if through else operation.bench_minutes_counted
    if operation.times_unknown or operation.minutes_per_piece is None or not pieces or minutes <= 0:
        return None
    setups = max(1, operation.setups_done)
    planned = operation.bench_minutes_planned(pieces, setups)
    if not planned > 0:
        return None
    curve = on_curve(setups * operation.setup_minutes, operation.minutes_per_piece, 0, pieces)
    return RateObservation(operation.key, operation.kind, planned, minutes, pieces, curve)


def _whole_part(part: PartPlan) -> RateObservation | None:
    if any(operation.times_unknown or operation.minutes_per_piece is None for operation in part.operations):
        return None
    planned = on_the_curve = load = 0.0
    for operation in part.operations:
        pieces, setups = operation.counted or part.quantity_with_spares, max(1, operation.setups_done)
        plain = operation.bench_minutes_planned(pieces, setups)
        curve = on_curve(setups * operation.setup_minutes, operation.minutes_per_piece or 0.0, 0, pieces)
        planned, minutes = planned + plain, plain * math.exp(curve.shift)
        on_the_curve, load = on_the_curve + minutes, load + minutes * curve.load
    if not planned > 0:
        return None
    curve = OnCurve(math.log(on_the_curve / planned), load / on_the_curve)
    return RateObservation(-part.key, "", planned, part.bench_minutes, max(1, part.quantity_with_spares), curve)


def assemblies_apart(parts: Sequence[PartPlan]) -> float:
    """Return the doubt, on logarithms, that the assemblies ahead are not like those in which parts were finished whole.

    Hours on whole parts name no kinds, and one assembly is mostly turned where another is mostly filed. 0 where no
    whole part is finished or none lies in an assembly of its own.

    >>> from dataclasses import replace
    >>> whole = (OperationPlan(1, "making", 0, 60),)
    >>> done = PartPlan(1, "frame", "chassis", 1, 0, whole, marked_finished=True)
    >>> ahead = PartPlan(2, "barrel", "boiler", 1, 0, whole)
    >>> round(assemblies_apart([done, ahead]), 2), assemblies_apart([done, replace(ahead, group="chassis")])
    (0.35, 0.0)
    """
    wholes = [part for part in parts if [one.kind for one in part.operations] == [WHOLE_PART]]
    known = {part.group for part in wholes if nothing_left(part)}
    planned: dict[str, float] = {}
    for part in wholes:
        if not nothing_left(part):
            minutes = part.operations[0].bench_minutes_planned(part.quantity_with_spares)
            planned[part.group] = planned.get(part.group, 0.0) + minutes
    others = [minutes for group, minutes in planned.items() if group not in known]
    if not known or not sum(others) > 0:
        return 0.0
    share = sum(others) / sum(planned.values())
    return ASSEMBLY_SD * share * math.sqrt(1 / len(known) + 1 / len(others))


@dataclass(frozen=True)
class ShopShare:
    """The share of bench hours that goes into shop time: a Beta distribution."""

    a: float
    b: float

    def draw(self, rng: np.random.Generator, draws: int) -> Floats:
        """Return draws of the share, 0 to 0.9."""
        return np.minimum(beta_at(self.a, self.b, even_normals(rng, draws)), 0.9)

    def summary(self) -> ShareSummary:
        """Return mean, 10 and 90 per cent points."""
        from scipy.special import betaincinv

        low, high = (float(betaincinv(self.a, self.b, chance)) for chance in (0.1, 0.9))
        return ShareSummary(self.a / (self.a + self.b), low, high)


def shop_share(operation_hours: float, shop_hours: float) -> ShopShare:
    """Return what the log says of shop time; hours are 0 or more.

    >>> round(shop_share(300, 100).summary().mean, 2)
    0.24
    """
    a, b = SHOP_SHARE_PRIOR
    return ShopShare(a + shop_hours / HOURS_PER_LOOK, b + operation_hours / HOURS_PER_LOOK)


@dataclass(frozen=True)
class Growth:
    """Planned hours that come into the plan for each hour worked: a Gamma distribution (shape, rate).

    They come in lumps of about `lump` planned hours, so that little work ahead may see none at all.
    """

    shape: float
    rate: float
    lump: float

    def draw(self, rng: np.random.Generator, draws: int) -> Floats:
        """Return draws of the planned hours added for each hour worked, 0 or more."""
        from scipy.special import gammaincinv

        return np.asarray(gammaincinv(self.shape, even_chances(rng, draws)) / self.rate)

    def hours_to_come(self, growing: Floats, work: Floats, cost: Floats, chances: Floats) -> Floats:
        """Return hours of work (draws) that will have come in by the end, what they bring in themselves included.

        `growing` are draws of planned hours for each hour worked, `work` the hours known to be left, `cost` the hours
        that a planned hour takes, and `chances` uniform draws: the same ones give more hours for more work.
        """
        from scipy.special import gammaincinv

        pace = np.minimum(growing * cost, MOST_GROWTH)
        # What comes in together is taken to be no more than all that is known to be left.
        lump = np.maximum(np.minimum(self.lump * cost, work), 1e-9)
        shapes = np.maximum(work * pace / (1 - pace) / lump, 1e-9)
        return np.asarray(gammaincinv(shapes, chances) * lump)

    def summary(self) -> ShareSummary:
        """Return mean, 10 and 90 per cent points."""
        from scipy.special import gammaincinv

        low, high = (float(gammaincinv(self.shape, chance)) / self.rate for chance in (0.1, 0.9))
        return ShareSummary(self.shape / self.rate, low, high)


def growth_of_plan(additions: Sequence[float], worked_hours: float) -> Growth:
    """Return how the plan grows, from the planned hours that came in on each day on which any did.

    Hours are 0 or more. One large lump says less of the future than as many hours in small ones.

    >>> steady, once = growth_of_plan([3.0] * 10, 100), growth_of_plan([30.0], 100)
    >>> round(growth_of_plan([], 0).summary().mean, 2), round(steady.summary().mean, 2), round(once.summary().mean, 2)
    (0.04, 0.24, 0.13)
    """
    added, squares = sum(additions), sum(hours**2 for hours in additions)
    lump = (squares + LUMP_PRIOR_HOURS * LUMP_PRIOR_WORTH) / (added + LUMP_PRIOR_WORTH)
    return Growth(GROWTH_PRIOR_SHAPE + added / lump, GROWTH_PRIOR_SHAPE / GROWTH_PRIOR_MEAN + worked_hours / lump, lump)


def evenings_logged(plan: BuildPlan) -> tuple[date, ...]:
    """Return the days on which an entry with bench hours ends, oldest first."""
    return tuple(sorted({stint.last for stint in plan.stints if stint.minutes > 0}))


def plan_settled_on(plan: BuildPlan) -> date | None:
    """Return the day of the twelfth logged evening, None before it: until then a plan is still being written.

    What comes into the plan up to that day says nothing of how it goes on growing.
    """
    evenings = evenings_logged(plan)
    return evenings[FEW_EVENINGS - 1] if len(evenings) >= FEW_EVENINGS else None


def growth_seen(plan: BuildPlan, as_of: date) -> Growth:
    """Return how the plan grows, from what came in and what was worked since it settled."""
    settled = plan_settled_on(plan)
    if settled is None:
        return growth_of_plan((), 0.0)
    worked = sum(one.minutes for one in plan.stints if one.kind == "operation" and one.last > settled)
    return growth_of_plan(hours_added(plan, settled, as_of), worked / 60)


def hours_added(plan: BuildPlan, after: date, as_of: date) -> tuple[float, ...]:
    """Return planned bench hours of operations that came into the plan after a day, day by day."""
    by_day: dict[date, float] = {}
    for part in plan.parts:
        for operation in part.operations:
            if operation.added_on is not None and after < operation.added_on <= as_of:
                minutes = operation.bench_minutes_planned(part.quantity_with_spares)
                by_day[operation.added_on] = by_day.get(operation.added_on, 0.0) + minutes / 60
    return tuple(by_day.values())
