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

ASIDE: Mapping[str, World] = {
    "tails of a normal": World(degrees_of_freedom=200.0),
    "wild operations": World(operation_scale=0.6, piece_log_sd=0.5),
    "tame operations": World(operation_scale=0.12, kind_log_sd=0.1),
    "plans that do not grow": World(growth=1e-9, given_up=0.0),
    "plans that grow much": World(growth=0.07),
    "no learning": World(learning=(1.0, 1.0)),
    "much learning": World(learning=(0.78, 0.9)),
    "a shop of shop time": World(shop_share=0.3),
    "small builds": World(planned_hours=70.0),
}
"""Other worlds within the assumptions, to see what the figures hang on."""
