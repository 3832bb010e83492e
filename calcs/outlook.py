"""Hours left and the finish date."""

from __future__ import annotations

from datetime import date

from calcs.forecast import Outlook
from calcs.plan import BuildPlan


def foresee(plan: BuildPlan, as_of: date, seed: int, draws: int = 4000) -> Outlook:
    """Return what is left of a build as ranges of hours and dates."""
    raise NotImplementedError
