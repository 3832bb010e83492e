"""The worlds of the report, and the seeds of its runs."""

from __future__ import annotations

from collections.abc import Mapping

from tests.calibration.world import World

SEEDS = range(1000, 1200)
SECOND_SEEDS = range(5000, 5200)
"""Kept for the last run of a change: nothing is tuned on these."""

MISFITS: Mapping[str, World] = {
    "no bias": World(median_ratio=1.0, ratio_log_sd=1e-6),
    "bias of four": World(median_ratio=4.0),
    "one kind ten times wrong": World(one_kind_times=10.0),
    "a year of silence": World(silent_weeks=52),
    "plan doubles half-way": World(plan_doubles=True),
    "counted at the end of a part": World(counted_at_part_end_only=True),
    "rough lumps, monthly": World(lumps_a_month=True),
}

REGIMES: Mapping[str, World] = {
    "base": World(),
    "strong learning": World(learning=(0.7, 0.85), fastest_learning=0.6, quantities=(1, 1, 2, 4, 6, 8, 12, 24, 36)),
    "no learning": World(learning=(1.0, 1.0), fastest_learning=1.0),
    "no counts": World(logs="parts"),
    "by assembly": World(logs="assemblies", growth=1e-9, parts_in_assembly=8),
    "early": World(cuts=(0.03, 0.05)),
    "kinds astray": World(kind_log_sd=1.0),
    "rough plans": World(operation_scale=0.55, kind_log_sd=0.7, said_to_be_rough=True),
    "heavy shop time": World(shop_share=0.3),
    "growth": World(growth=0.08),
    "wild tails": World(degrees_of_freedom=1.6, operation_scale=0.35),
    "normal tails": World(degrees_of_freedom=200.0),
    "pace drifts down": World(trend_per_year=-0.3),
    "pace drifts up": World(trend_per_year=0.3),
    "pace jumps": World(jumps=0.45),
    "few parts": World(number_of_parts=15),
    "many parts": World(number_of_parts=200),
}
"""What builds are like that the forecast ought to do well on, one trait at a time."""

PACES = ("pace drifts down", "pace drifts up", "pace jumps")
