"""A small thing made in batches for the shop's counter: hours, yield, material and price of one."""

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from builds.models import Build
from builds.models.choices import Role
from builds.queries.forecast.build_forecast import BuildForecast, forecast_of
from builds.queries.repeats.blanks import beliefs_of, expected_yield
from builds.queries.repeats.next_piece import NextPiece, next_piece
from builds.queries.snapshot import BuildSnapshot, PartRow

if TYPE_CHECKING:
    from calcs.parts.pricing import Price, PricedPart

# Where no batch was ever started: so many at once (a judgement).
USUAL_BATCH = 10


@dataclass(frozen=True)
class CounterPart:
    """One part of the thing. `survive` is the share of its blanks that come out good; minutes are for one thing."""

    line: PartRow
    piece: NextPiece
    priced: "PricedPart"
    survive: float
    minutes: float | None


@dataclass(frozen=True)
class CounterPage:
    snapshot: BuildSnapshot
    parts: tuple[CounterPart, ...]
    batch: int
    price: "Price | None"

    @property
    def build(self) -> Build:
        return self.snapshot.build

    @property
    def minutes(self) -> float | None:
        """Bench minutes in one thing."""
        return None if self.price is None or self.price.hours is None else self.price.hours * 60


def counter_page(build: Build, today: date, batch: int | None = None) -> CounterPage:
    """What one thing costs, made so many at once; None takes the usual number. Ten queries."""
    return counter_of(forecast_of(build, today), batch)


def counter_of(build_forecast: BuildForecast, batch: int | None = None) -> CounterPage:
    """The same from what was read already. No query."""
    from calcs.parts.pricing import price_of

    snapshot = build_forecast.snapshot
    together = batch or usual_batch(snapshot)
    # A bought part without a route takes no time of ours; its blank is what it costs. A jig is no part of the thing.
    sold = (line for line in snapshot.parts if line.part.counts_as != Role.JIG)
    parts = tuple(_part(build_forecast, line, together) for line in sold)
    price = (
        price_of([part.priced for part in parts], together, snapshot.build.hourly_figure, snapshot.build.currency)
        if parts
        else None
    )
    return CounterPage(snapshot, parts, together, price)


def usual_batch(snapshot: BuildSnapshot) -> int:
    """How many things the last batch was for: its blanks, by the pieces that one thing takes."""
    started = [(batch.started_on, batch.pk, batch, line.part) for line in snapshot.parts for batch in line.batches]
    if not started:
        return USUAL_BATCH
    _, _, batch, part = max(started, key=lambda one: one[:2])
    return max(1, batch.blanks // max(1, part.quantity))


def _part(build_forecast: BuildForecast, line: PartRow, batch: int) -> CounterPart:
    from calcs.parts.pricing import PricedOperation, PricedPart

    piece, beliefs = next_piece(build_forecast, line), beliefs_of(build_forecast.snapshot, line)
    survive = expected_yield(beliefs)
    priced = PricedPart(
        name=line.part.name,
        pieces=line.part.quantity,
        operations=tuple(
            PricedOperation(str(one.line.operation), one.setup, one.expected, belief.mean)
            for one, belief in zip(piece.operations, beliefs, strict=True)
        ),
        blank_cost=line.part.blank_cost,
        bought=line.part.counts_as == Role.BOUGHT,
    )
    hours = priced.hours(batch)
    return CounterPart(line, piece, priced, survive, None if hours is None else hours * 60)
