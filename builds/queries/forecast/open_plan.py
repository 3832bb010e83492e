"""What the plan does not hold yet: figures that nobody has given, and what may still join it."""

from dataclasses import dataclass

from builds.queries.forecast.build_forecast import BuildForecast
from builds.queries.snapshot import OperationRow, PartRow
from calcs.forecast.result import LEAST_HOURS, ShareSummary


@dataclass(frozen=True)
class OpenPlan:
    """`parts` have no figure at all, `operations` none in a part that has others (each with its part).

    `joined` operations came into the plan after work began, planned at `joined_hours` in all (those with a figure).
    `growth` is planned hours that join for each hour worked; `growth_hours` is what the forecast counts on, on average.
    """

    parts: tuple[PartRow, ...]
    operations: tuple[tuple[PartRow, OperationRow], ...]
    joined: int
    joined_hours: float
    worked_hours: float
    growth: ShareSummary
    growth_hours: float

    @property
    def joins_in_minutes(self) -> tuple[float, float, float]:
        """Minutes of plan that join for each hour worked: mean, and from low to high 4 chances in 5."""
        return 60 * self.growth.mean, 60 * self.growth.low, 60 * self.growth.high


def open_plan(build_forecast: BuildForecast) -> OpenPlan:
    """No queries."""
    snapshot, forecast = build_forecast.snapshot, build_forecast.forecast
    missing = set(forecast.unestimated_operations)
    began = snapshot.build_plan().started_on
    joined = [
        (part, line)
        for part in snapshot.parts
        for line in part.operations
        if began is not None and line.operation.added_on is not None and line.operation.added_on > began
    ]
    return OpenPlan(
        parts=build_forecast.unestimated,
        operations=tuple(
            (part, line) for part in snapshot.parts for line in part.operations if line.operation.pk in missing
        ),
        joined=len(joined),
        joined_hours=sum(line.plan.bench_minutes_planned(part.part.quantity_with_spares) for part, line in joined) / 60,
        worked_hours=sum(stint.minutes for stint in snapshot.stints if stint.kind == "operation") / 60,
        growth=forecast.growth,
        growth_hours=forecast.chain.growth if forecast.chain.growth >= LEAST_HOURS else 0.0,
    )
