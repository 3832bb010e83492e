"""The world that simulated builds are drawn from: what a builder plans, and how the shop really is.

Nothing here knows how the forecast works. What is set out follows common practice and published overruns: plans are
too short by a factor near 1.3 with a wide spread between builders, kinds of work differ, single operations have
heavy tails, pieces are lost and made again, plans grow, and weeks are uneven, with gaps.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

KINDS = ("sawing", "turning", "boring", "milling", "drilling", "tapping", "filing", "soldering", "lapping", "fitting")
QUANTITIES = (1, 1, 1, 1, 1, 2, 2, 2, 4, 4, 6, 8, 12, 24, 36)


@dataclass(frozen=True)
class World:
    """What holds for all builds of one simulation. Log-sds are of natural logarithms, hours are hours.

    `trend_per_year` and `jumps` (their log-sd, each half-year) move the pace. `logs` says what hours are logged on:
    operations with counts, or parts or whole assemblies without. `cuts` are the shares worked off at which it is asked.
    """

    median_ratio: float = 1.3
    ratio_log_sd: float = 0.5
    kind_log_sd: float = 0.5
    operation_scale: float = 0.3
    degrees_of_freedom: float = 3.0
    piece_log_sd: float = 0.25
    learning: tuple[float, float] = (0.8, 1.0)
    mix_of_kinds: float = 0.5
    growth: float = 0.03
    shop_share: float = 0.12
    given_up: float = 0.004
    planned_hours: float = 200.0
    drift_per_week: float = 0.05
    one_kind_times: float = 1.0
    silent_weeks: int = 0
    plan_doubles: bool = False
    counted_at_part_end_only: bool = False
    lumps_a_month: bool = False
    fastest_learning: float = 0.72
    quantities: tuple[int, ...] = QUANTITIES
    number_of_parts: int | None = None
    parts_in_assembly: int = 12
    trend_per_year: float = 0.0
    jumps: float = 0.0
    said_to_be_rough: bool = False
    logs: Literal["operations", "parts", "assemblies"] = "operations"
    cuts: tuple[float, ...] = (0.1, 0.25, 0.5, 0.75)


@dataclass
class SimulatedOperation:
    """One operation: the plan of it, and the truth. `log_ratio` is of the first piece."""

    key: int
    kind: str
    setup_minutes: float
    minutes_per_piece: float
    log_ratio: float
    learning_slope: float
    chance_good: float
    added_on_day: int | None = None
    tried: int = 0


@dataclass
class SimulatedPart:
    """One part and its route."""

    key: int
    group: str
    quantity: int
    spares: int
    operations: list[SimulatedOperation]
    good: int = 0


@dataclass
class Shop:
    """One builder: habits and truth. `kind_effects` are logarithms, `growth` is planned hours for each hour worked."""

    rng: np.random.Generator
    world: World
    log_ratio: float
    kind_effects: dict[str, float]
    kind_yields: dict[str, float]
    learning_rate: float
    growth: float
    shop_share: float
    opens_batches: bool
    counts_each_evening: bool
    log_level: float
    empty_chance: float
    evening_hours: float
    keys: int = 0
    parts: list[SimulatedPart] = field(default_factory=list)

    mixes: dict[str, NDArray[np.float64]] = field(default_factory=dict)

    def mix_of(self, group: str) -> NDArray[np.float64]:
        """Return the chances of the kinds in a group: one assembly is mostly turned, another mostly filed."""
        if group not in self.mixes:
            self.mixes[group] = self.rng.dirichlet(np.full(len(KINDS), self.world.mix_of_kinds))
        return self.mixes[group]

    def next_key(self) -> int:
        self.keys += 1
        return self.keys


def draw_shop(world: World, seed: int) -> Shop:
    """Return a builder with a plan, drawn from the world."""
    rng = np.random.default_rng([seed, 20261])
    kind_sd = world.kind_log_sd * rng.uniform(0.6, 1.4)
    effects = {kind: kind_sd * rng.standard_normal() for kind in KINDS}
    if world.one_kind_times != 1.0:
        effects[KINDS[rng.integers(len(KINDS))]] += math.log(world.one_kind_times)
    shop = Shop(
        rng=rng,
        world=world,
        log_ratio=math.log(world.median_ratio) + world.ratio_log_sd * rng.standard_normal(),
        kind_effects=effects,
        kind_yields={kind: float(rng.beta(40, 0.8) if rng.random() < 0.93 else rng.beta(8, 2)) for kind in KINDS},
        learning_rate=float(rng.uniform(*world.learning)),
        growth=min(0.15, float(rng.gamma(1.5) / 1.5 * world.growth)),
        shop_share=float(rng.beta(2.5, 2.5 * (1 / world.shop_share - 1))),
        opens_batches=bool(rng.random() < 0.5),
        counts_each_evening=bool(rng.random() < 0.3),
        log_level=math.log(5.5) + 0.5 * rng.standard_normal(),
        empty_chance=float(rng.uniform(0.15, 0.45)),
        evening_hours=float(rng.lognormal(math.log(2.4), 0.25)),
    )
    wanted_hours = world.planned_hours * math.exp(0.55 * rng.standard_normal())
    wanted_hours = min(max(wanted_hours, 60.0), 700.0)
    while (
        len(shop.parts) < world.number_of_parts
        if world.number_of_parts is not None
        else planned_hours(shop.parts) < wanted_hours
    ):
        shop.parts.append(draw_part(shop, group=f"assembly {1 + len(shop.parts) // world.parts_in_assembly}"))
    return shop


def planned_hours(parts: list[SimulatedPart]) -> float:
    """Return the planned hours of whole parts, one set-up at each operation."""
    minutes = (
        operation.setup_minutes + operation.minutes_per_piece * (part.quantity + part.spares)
        for part in parts
        for operation in part.operations
    )
    return sum(minutes) / 60


def draw_part(shop: Shop, group: str, added_on_day: int | None = None) -> SimulatedPart:
    """Return one more part with its route."""
    rng = shop.rng
    quantity = int(rng.choice(shop.world.quantities))
    spares = int(quantity >= 4 and rng.random() < 0.25)
    number = 1 + int(rng.binomial(5, 0.45))
    # Parts of many pieces are small ones.
    size = rng.lognormal(0, 0.5) / math.sqrt(quantity)
    mix = shop.mix_of(group)
    operations = [draw_operation(shop, size, mix, added_on_day) for _ in range(number)]
    return SimulatedPart(shop.next_key(), group, quantity, spares, operations)


def draw_operation(shop: Shop, size: float, mix: NDArray[np.float64], added_on_day: int | None) -> SimulatedOperation:
    """Return one operation, planned in round figures; the truth has a heavy tail."""
    rng, world = shop.rng, shop.world
    kind = str(rng.choice(KINDS, p=mix))
    minutes = 18 * size * rng.lognormal(0, 0.7)
    own = world.operation_scale * rng.standard_t(world.degrees_of_freedom)
    rate = min(1.0, max(world.fastest_learning, shop.learning_rate + 0.02 * rng.standard_normal()))
    return SimulatedOperation(
        key=shop.next_key(),
        kind=kind,
        setup_minutes=float(rng.choice([5, 10, 10, 15, 20, 30, 45])),
        minutes_per_piece=max(2.0, float(round(minutes)) if minutes < 20 else 5.0 * round(minutes / 5)),
        log_ratio=shop.log_ratio + shop.kind_effects[kind] + float(np.clip(own, -2.0, 2.3)),
        learning_slope=math.log2(rate),
        chance_good=float(rng.beta(20 * shop.kind_yields[kind] + 0.05, 20 * (1 - shop.kind_yields[kind]) + 0.05)),
        added_on_day=added_on_day,
    )
