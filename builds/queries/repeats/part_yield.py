"""The yield of one part: by operation, by reason, and over its batches."""

from collections import Counter
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from builds.models import Part
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.repeats.batches import BatchRow, batches_of
from builds.queries.repeats.learning_curve import LearnedOperation, learned_by
from builds.queries.repeats.next_piece import NextPiece, next_piece
from builds.queries.repeats.overview import INTERVAL, RepeatedPart, repeated_part
from builds.queries.snapshot import BuildSnapshot, OperationRow, PartRow

if TYPE_CHECKING:
    from calcs.parts.trend import Trend

TRENDS = {
    "better": "It is getting better: the later batches lost fewer.",
    "worse": "It is getting worse: the later batches lost more.",
    "too few": "Too few to tell: even the clearest fall of so few losses would say little.",
    "no sign": "Too few to tell one way or the other: the batches differ by no more than chance may bring.",
}


@dataclass(frozen=True)
class OperationShare:
    """Yield at one operation with its doubt by two ways of reckoning; all None where nothing was counted."""

    line: OperationRow
    first_time: float | None
    after_rework: float | None
    exact: tuple[float, float] | None
    wilson: tuple[float, float] | None

    @property
    def tried(self) -> int:
        return self.line.tally.good + self.line.tally.scrap


@dataclass(frozen=True)
class BatchShare:
    """The share of a batch's settled pieces that came out good, with its exact interval; None while none is settled."""

    line: BatchRow
    share: float | None
    exact: tuple[float, float] | None


@dataclass(frozen=True)
class Reason:
    """Why pieces were lost. `share` of all pieces scrapped; `within` runs up to and including this reason."""

    name: str
    pieces: int
    share: float
    within: float


@dataclass(frozen=True)
class YieldPage:
    snapshot: BuildSnapshot
    repeated: RepeatedPart
    operations: tuple[OperationShare, ...]
    batches: tuple[BatchShare, ...]
    reasons: tuple[Reason, ...]
    trend: "Trend | None"
    next_piece: NextPiece
    learned: tuple[LearnedOperation, ...]

    @property
    def line(self) -> PartRow:
        return self.repeated.line

    @property
    def counted(self) -> tuple[OperationShare, ...]:
        return tuple(one for one in self.operations if one.tried)

    @cached_property
    def settled(self) -> tuple[BatchShare, ...]:
        """The batches of which some piece has come to its end."""
        return tuple(batch for batch in self.batches if batch.share is not None)

    @property
    def verdict(self) -> str:
        """Whether it is getting better, in a sentence."""
        if self.trend is not None:
            return TRENDS[self.trend.verdict]
        if len(self.settled) < 2:
            return "Too few to tell: it takes two batches of which pieces have come out."
        scrap = sum(batch.line.scrap for batch in self.settled)
        return (
            "Nothing to tell: no batch lost a piece."
            if not scrap
            else "Nothing to tell: no batch has a good piece yet."
        )


def yield_page(part: Part, today: date) -> YieldPage:
    """Everything about one part's yield. Nine queries."""
    from calcs.parts.trend import yield_trend

    build_forecast = forecast_of(part.build, today)
    snapshot = build_forecast.snapshot
    line = snapshot.by_part[part.pk]
    repeated = repeated_part(snapshot, line)
    batches = tuple(_batch_share(batch) for batch in batches_of(snapshot, line))
    return YieldPage(
        snapshot=snapshot,
        repeated=repeated,
        operations=tuple(_operation_share(one) for one in line.operations),
        batches=batches,
        reasons=ranked_reasons(dict(repeated.reasons)),
        trend=yield_trend([(batch.line.good, batch.line.scrap) for batch in batches]),
        next_piece=next_piece(build_forecast, line),
        learned=learned_by(snapshot, line),
    )


def ranked_reasons(reasons: dict[str, int]) -> tuple[Reason, ...]:
    """The reasons with their shares, the commonest first, those without a reason last."""
    total = sum(reasons.values())
    ranked, so_far = [], 0
    for name, pieces in sorted(
        Counter(reasons).items(), key=lambda pair: (pair[0] == "no reason given", -pair[1], pair[0])
    ):
        so_far += pieces
        ranked.append(Reason(name, pieces, pieces / total, so_far / total))
    return tuple(ranked)


def _operation_share(line: OperationRow) -> OperationShare:
    from calcs.parts.yields import exact_interval, final_yield, first_time_yield, wilson_interval

    tally = line.tally
    tried = tally.good + tally.scrap
    if not tried:
        return OperationShare(line, None, None, None, None)
    return OperationShare(
        line,
        first_time=first_time_yield(tally.good, tally.reworked, tally.scrap),
        after_rework=final_yield(tally.good, tally.scrap),
        exact=exact_interval(tally.good, tried, INTERVAL),
        wilson=wilson_interval(tally.good, tried, INTERVAL),
    )


def _batch_share(batch: BatchRow) -> BatchShare:
    from calcs.parts.yields import exact_interval, final_yield

    if not batch.settled:
        return BatchShare(batch, None, None)
    return BatchShare(batch, final_yield(batch.good, batch.scrap), exact_interval(batch.good, batch.settled, INTERVAL))
