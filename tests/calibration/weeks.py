"""The evenings of a simulated builder: uneven weeks, gaps, and a pace that drifts, slopes or jumps."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from tests.calibration.world import Shop

LAST_DAY = 7 * 52 * 45
WEEKS_OF_HALF_A_YEAR = 26


def evenings(shop: Shop, worked_minutes: Callable[[], float]) -> Iterator[tuple[int, float]]:
    """Yield (day, hours) of the evenings at the bench; `worked_minutes` says how much of the build is done."""
    rng, world = shop.rng, shop.world
    expected = sum(
        (one.setup_minutes + part.quantity * one.minutes_per_piece) * math.exp(one.log_ratio)
        for part in shop.parts
        for one in part.operations
    )
    home, level, idle, silent_until, silence_due = shop.log_level, shop.log_level, False, -1, world.silent_weeks > 0
    for week in range(LAST_DAY // 7):
        step = _step(shop, week)
        home, level = home + step, level + step
        level += world.drift_per_week * rng.standard_normal() - 0.01 * (level - home)
        idle = bool(rng.random() < (0.55 if idle else 0.6 * shop.empty_chance))
        if week > 4 and rng.random() < 0.012:
            silent_until = week + int(rng.integers(4, 14))
        if silence_due and worked_minutes() > expected / 2:
            silence_due, silent_until = False, week + world.silent_weeks
        if idle or week < silent_until:
            if week == 0:
                yield 0, shop.evening_hours
            continue
        number = 1 + int(rng.poisson(max(0.05, math.exp(level) / (1 - shop.empty_chance) / shop.evening_hours - 1)))
        days = sorted(rng.choice(7, size=min(number, 7), replace=False).tolist())
        for day in days:
            yield 7 * week + day, float(shop.evening_hours * rng.lognormal(-0.1, 0.45))


def _step(shop: Shop, week: int) -> float:
    """How far the level that the pace hovers about moves in a week (logarithm): a slope, and a jump now and then."""
    world = shop.world
    step = world.trend_per_year / 52
    if world.jumps and week and week % WEEKS_OF_HALF_A_YEAR == 0:
        step += world.jumps * float(shop.rng.standard_normal())
    return step
