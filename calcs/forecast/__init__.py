"""From a plan and a log to hours left and a date, as ranges. This is the one door: `forecast`.

What it gives back needs no NumPy, so that a page may read a kept forecast without loading it.
"""

from datetime import date

from calcs.forecast.result import Forecast
from calcs.parts.plan import BuildPlan

ARITHMETIC = 12
"""Raised when the arithmetic changes, so that no figure kept from before it is shown."""


def forecast(plan: BuildPlan, as_of: date, seed: int, draws: int = 4000) -> Forecast:
    """Return the forecast of a build on a day.

    `plan` must hold the log up to that day and no further. The same plan, day, seed and number of draws give
    the same figures. ValueError when a figure of the plan makes no sense, or for fewer than 100 draws.

    >>> from calcs.parts.plan import OperationPlan, PartPlan
    >>> route = (OperationPlan(1, "turning", setup_minutes=60, minutes_per_piece=30),)
    >>> found = forecast(BuildPlan((PartPlan(1, "stud", "cylinder", 6, 0, route),)), date(2026, 3, 1), seed=1)
    >>> found.planned_hours_left, found.hours_left.p10 < found.hours_left.p90, found.finish_on
    (4.0, True, None)
    """
    from calcs.forecast.simulate import simulate
    from calcs.forecast.summary import summarise

    return summarise(plan, as_of, simulate(plan, as_of, seed, draws))
