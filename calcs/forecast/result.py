"""What a forecast is made of. Nothing here needs NumPy, so a kept forecast is read back by an ordinary page.

Hours are hours. `p10` to `p90` are the figures that the drawn ones stay under with that chance in a hundred.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal


@dataclass(frozen=True)
class Spread:
    """Hours as a range: the mean and four quantiles."""

    mean: float
    p10: float
    p50: float
    p80: float
    p90: float


NOTHING = Spread(0.0, 0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class FinishDates:
    """Early (10 %), even chance (50 %), fairly safe (80 %), safe (90 %); None lies beyond the horizon."""

    p10: date | None
    p50: date | None
    p80: date | None
    p90: date | None


@dataclass(frozen=True)
class PaceSummary:
    """Bench hours a week, in whole weeks counted back from the day of the forecast, empty weeks included."""

    mean_hours: float
    median_hours: float
    empty_share: float
    longest_gap_days: int
    weeks: int


@dataclass(frozen=True)
class RateSummary:
    """Planned against actual for one kind of operation, or for all of them where `kind` is empty.

    `ratio` is the even chance of actual ÷ planned for the kind's next operations taken together, `low` and
    `high` its 10 and 90 per cent points.
    """

    kind: str
    planned_hours: float
    actual_hours: float
    ratio: float
    low: float
    high: float
    operations: int


@dataclass(frozen=True)
class ShareSummary:
    """A share or a rate with its doubt: mean, 10 and 90 per cent points."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True)
class LearningSummary:
    """Each doubling of the pieces takes the time of one down to `rate`, `low` to `high` with 4 chances in 5.

    `operations` of several pieces spoke of it; none: the rate is what is usual.
    """

    rate: float
    low: float
    high: float
    operations: int


@dataclass(frozen=True)
class GroupForecast:
    """The parts of one group and of all that nests in it together, without shop time and without growth of the plan.

    The range is that of the sum: the even chances of parts do not add up to the even chance of their group.
    """

    group: str
    hours_done: float
    planned_hours_left: float
    hours_left: Spread


@dataclass(frozen=True)
class PartForecast:
    """One part, without shop time and growth. `widening` is its share of the variance of the build's hours left.

    `hours_left` is None where the part has no figure and none could be imputed.
    """

    key: int
    planned_hours_left: float
    hours_left: Spread | None
    widening: float


@dataclass(frozen=True)
class TowardsSummary:
    """The share of hours that goes into what a milestone and those before it need: mean, 10 and 90 per cent points.

    `reached` is the number of milestones, reached by then, towards which it was seen; 0: none was.
    """

    mean: float
    low: float
    high: float
    reached: int


@dataclass(frozen=True)
class MilestoneForecast:
    """One milestone, everything that comes before it included; shop time and growth are in.

    The date takes in the other work that goes on meanwhile: `towards` is what is left beside it.
    """

    key: int
    name: str
    hours_left: Spread
    finish_on: FinishDates | None
    towards: TowardsSummary


LEAST_HOURS = 0.005
"""A link of the chain below this is as good as nothing."""


@dataclass(frozen=True)
class Chain:
    """Mean hours: at_own_ratio + learning + excess + imputed + remakes − work_in_progress + growth + shop_time =
    hours_left. `learning` is what later pieces take less than the first (below 0), `excess` what finished parts took
    beyond what was foreseen for them."""

    planned: float
    at_own_ratio: float
    learning: float
    excess: float
    imputed: float
    remakes: float
    work_in_progress: float
    growth: float
    shop_time: float
    hours_left: float

    @property
    def ratio(self) -> float:
        """Mean actual ÷ planned of the work ahead, of first pieces; 1 where nothing is planned."""
        return self.at_own_ratio / self.planned if self.planned > 0 else 1.0


RemarkAbout = Literal[
    "no parts",
    "no figures",
    "parts without a figure",
    "operations with nothing to borrow",
    "no hours logged",
    "few evenings logged",
    "few weeks logged",
    "few operations compared",
    "parts with a count gap",
    "much growth",
    "finish beyond the horizon",
]


@dataclass(frozen=True)
class Remark:
    """What a reader must know beside the figures, and how many there are of what is counted."""

    about: RemarkAbout
    number: int = 0


@dataclass(frozen=True)
class Forecast:
    """What is left of a build: hours and date, as ranges, with the means that they are made of.

    `hours_left` is None where no part has a figure; `finish_on` is None where hours or pace are not known.
    `closures` is the number of those planned. In words it is told by `calcs.forecast.words` and `.working`.
    """

    as_of: date
    hours_done: float
    unattended_hours_done: float
    planned_hours_left: float
    hours_left: Spread | None
    unattended_hours_left: Spread
    pace_hours_per_week: float | None
    pace: PaceSummary | None
    finish_on: FinishDates | None
    unestimated_parts: tuple[int, ...]
    unestimated_operations: tuple[int, ...]
    groups: tuple[GroupForecast, ...]
    parts: tuple[PartForecast, ...]
    milestones: tuple[MilestoneForecast, ...]
    rates: tuple[RateSummary, ...]
    shop_share: ShareSummary
    growth: ShareSummary
    chain: Chain
    closures: int
    learning: LearningSummary
    remarks: tuple[Remark, ...] = ()


@dataclass(frozen=True)
class Ready:
    """The chance (0 to 1) that it is ready by a day, and what would make it likely.

    Paces are bench hours a week, the one of the log in `pace`; None where no pace would do, as when closed days or
    unattended hours fill the time. `hours_to_leave_out` are the bench hours that must go for an even chance at the pace
    of the log: 0 where it has one already, None as for the pace.
    """

    chance: float
    pace: float
    pace_for_even_chance: float | None
    pace_for_four_in_five: float | None
    hours_to_leave_out: float | None
