"""Real logs, the hours left taken as known: how often the range of weeks left held the truth.

Where the logs come from stands beside them in tests/data.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import numpy as np

from calcs.forecast.pace import weekly_hours, weeks_to_finish
from calcs.parts.plan import Stint

LOGS = Path(__file__).parents[1] / "data"
NAMES = ("kit_aircraft_a.csv", "kit_aircraft_c.csv")
FIRST_WEEK, EVERY = 12, 4

Log = list[tuple[date, float]]


def read_log(name: str) -> Log:
    """Return (day, hours) of every entry, oldest first."""
    with (LOGS / name).open(encoding="utf-8") as lines:
        return sorted((date.fromisoformat(row["date"]), float(row["hours"])) for row in csv.DictReader(lines))


@dataclass(frozen=True)
class Look:
    """One week at which it was asked: whether the 10-90 range held the last day, and even chance ÷ true days."""

    held: bool
    even: float


def looks_at(log: Log, draws: int = 1000, seed: int = 11) -> list[Look]:
    """Return what was found for every fourth week from week 12."""
    first, last = log[0][0], log[-1][0]
    looks = []
    as_of = first + timedelta(weeks=FIRST_WEEK)
    while as_of < last:
        stints = [Stint(day, day, hours * 60) for day, hours in log if day <= as_of]
        left = sum(hours for day, hours in log if day > as_of)
        rng = np.random.default_rng([seed, (as_of - first).days])
        days = weeks_to_finish(np.full(draws, left), weekly_hours(stints, as_of), [], as_of, rng)
        if days is None:
            raise AssertionError("A log with hours has a pace.")
        low, even, high = np.quantile(days, [0.1, 0.5, 0.9])
        true = (last - as_of).days
        looks.append(Look(bool(np.floor(low) <= true <= np.ceil(high)), float(even) / true))
        as_of += timedelta(weeks=EVERY)
    return looks


def line_of_log(name: str) -> str:
    """Return one line of the table."""
    looks = looks_at(read_log(name))
    held, even = 100 * np.mean([look.held for look in looks]), np.median([look.even for look in looks])
    return f"{name}: weeks left held {held:.0f} % of {len(looks)}, even chance ÷ truth {even:.2f}"
