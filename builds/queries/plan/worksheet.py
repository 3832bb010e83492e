"""A sheet for beginners: sums made from a part's real numbers, each with its answer worked out.

A sum is left out where the build does not know a number that it needs: nothing on the sheet is invented.
"""

from dataclasses import dataclass
from datetime import date

from builds.models import Part
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.plan.worksheet_sums import MAKERS
from calcs.messages import _
from calcs.units.figures import format_significant
from calcs.working.result import Working


@dataclass(frozen=True)
class Sum:
    """One question for the first page, and its working for the second. `lines` are blank lines to work on."""

    title: str
    question: str
    working: Working
    lines: int

    @property
    def rules(self) -> range:
        return range(self.lines)

    @property
    def answer(self) -> str:
        last = self.working.steps[-1]
        return f"{last.result if isinstance(last.result, str) else format_significant(last.result)} {last.unit}".strip()


@dataclass(frozen=True)
class SumsSheet:
    part: Part
    sums: tuple[Sum, ...]
    left_out: tuple[str, ...]


def sums_sheet(part: Part, today: date) -> SumsSheet:
    """The sums that a part's own numbers allow, easiest first, and what was missing for the others. Ten queries."""
    build_forecast = forecast_of(part.build, today)
    row = build_forecast.snapshot.by_part[part.pk]
    sums, left_out = [], []
    for marked, maker, lines in MAKERS:
        title, made = _(marked), maker(build_forecast, row)
        if made is None:
            left_out.append(title)
        else:
            sums.append(Sum(title, made.question, Working(title, made.steps), lines))
    return SumsSheet(part, tuple(sums), tuple(left_out))
