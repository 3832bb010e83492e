"""The forecast of a build: asked for here by the page, the board, the command line and the charts alike."""

import hashlib
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from builds.models import Build
from builds.queries import cache_store
from builds.queries.snapshot import BuildSnapshot, PartRow, read_snapshot
from calcs.forecast import ARITHMETIC
from calcs.forecast.result import (
    NOTHING,
    FinishDates,
    Forecast,
    GroupForecast,
    MilestoneForecast,
    PartForecast,
    Spread,
)


@dataclass(frozen=True)
class BuildForecast:
    """A build's snapshot together with its forecast on the same day."""

    snapshot: BuildSnapshot
    forecast: Forecast

    @cached_property
    def by_part(self) -> dict[int, PartForecast]:
        return {part.key: part for part in self.forecast.parts}

    @cached_property
    def by_group(self) -> dict[str, GroupForecast]:
        return {group.group: group for group in self.forecast.groups}

    @property
    def unestimated(self) -> tuple[PartRow, ...]:
        return tuple(self.snapshot.by_part[key] for key in self.forecast.unestimated_parts)

    @property
    def widest(self) -> tuple[tuple[PartRow, PartForecast], ...]:
        """The parts that widen the range the most, the worst first; at most six."""
        worst = sorted(self.forecast.parts, key=lambda part: (-part.widening, part.key))[:6]
        return tuple((self.snapshot.by_part[part.key], part) for part in worst if part.widening >= 0.01)

    @property
    def milestones(self) -> tuple[MilestoneForecast, ...]:
        return self.forecast.milestones

    @property
    def finish_on(self) -> FinishDates | None:
        return self.forecast.finish_on


def forecast_of(build: Build, as_of: date) -> BuildForecast:
    """Read a build and its forecast as of a day. Ten queries; the sums are done once a revision and day, and kept."""
    snapshot = read_snapshot(build, as_of)
    return BuildForecast(snapshot, forecast_from(snapshot))


def forecast_from(snapshot: BuildSnapshot) -> Forecast:
    """The forecast that follows from a snapshot, kept by build, revision and day."""
    build = snapshot.build
    found = kept_forecast(build, snapshot.as_of)
    if found is not None:
        return found
    # Not at the top: NumPy is loaded by the first page that has to work a forecast out, and by no other.
    from calcs.forecast import forecast

    fresh = forecast(snapshot.build_plan(), snapshot.as_of, seed=seed_of(build))
    cache_store.keep(_key(build, snapshot.as_of), fresh)
    return fresh


def kept_forecast(build: Build, as_of: date) -> Forecast | None:
    """The forecast where it has been worked out already, without reading the build; None where it has not."""
    return cache_store.fetch(_key(build, as_of), Forecast)


def forecast_by_part(build: Build, as_of: date) -> dict[int, PartForecast]:
    """What is left of each part that is not finished. No query where it is kept, else ten."""
    found = kept_forecast(build, as_of) or forecast_of(build, as_of).forecast
    return {part.key: part for part in found.parts}


def left_of(part: PartForecast | None) -> Spread | None:
    """Bench hours left of a part; None where it has no figure. A part that the forecast does not hold is done."""
    return NOTHING if part is None else part.hours_left


def _key(build: Build, as_of: date) -> str:
    return f"forecast:{ARITHMETIC}:{build.uid}:{build.revision}:{as_of.isoformat()}"


def seed_of(build: Build) -> int:
    """A build keeps its draws, on every machine and database: only its plan and log move a date, not the dice.

    Neither the revision nor the day has a say, since they change without anything being learned.
    """
    return int.from_bytes(hashlib.sha256(build.slug.encode()).digest()[:8], "big")
