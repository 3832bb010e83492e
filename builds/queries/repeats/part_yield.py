"""The yield of one part: by operation, by reason, and over its batches."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from builds.models import Part, Size
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.repeats.batches import BatchRow, batches_of
from builds.queries.repeats.blanks import beliefs_of, expected_yield
from builds.queries.repeats.learning_curve import LearnedOperation, learned_by
from builds.queries.repeats.next_piece import NextPiece, next_piece
from builds.queries.repeats.overview import NO_REASON, OperationYield, RepeatedPart, repeated_part
from builds.queries.repeats.spread import sizes_with_figures
from builds.queries.snapshot import BuildSnapshot, PartRow
from calcs.messages import _, gettext_noop
from calcs.parts.yields import YieldEstimate

if TYPE_CHECKING:
    from calcs.parts.trend import Trend

TRENDS = {
    "better": gettext_noop("It is getting better: the later batches lost fewer."),
    "worse": gettext_noop("It is getting worse: the later batches lost more."),
    "too few": gettext_noop("Too few losses to show a trend."),
    "no sign": gettext_noop("Too few to tell one way or the other: the batches differ by no more than luck may bring."),
}


@dataclass(frozen=True)
class BatchShare(YieldEstimate):
    """The yield of a batch's settled pieces; all None while none is settled."""

    line: BatchRow

    @property
    def share(self) -> float | None:
        return self.after_rework


@dataclass(frozen=True)
class Reason:
    """Why pieces were lost. `share` of all pieces scrapped; `within` runs up to and including this reason."""

    name: str
    pieces: int
    share: float
    within: float


@dataclass(frozen=True)
class YieldPage:
    """`expected` is the yield of the next blank, `repeated.rolled` the one counted so far.

    measured: the sizes that any piece has a figure of.
    """

    snapshot: BuildSnapshot
    repeated: RepeatedPart
    batches: tuple[BatchShare, ...]
    reasons: tuple[Reason, ...]
    trend: "Trend | None"
    expected: float
    next_piece: NextPiece
    learned: tuple[LearnedOperation, ...]
    measured: tuple[Size, ...]

    @property
    def line(self) -> PartRow:
        return self.repeated.line

    @property
    def operations(self) -> tuple[OperationYield, ...]:
        return self.repeated.yields

    @property
    def counted(self) -> tuple[OperationYield, ...]:
        return self.repeated.counted

    @cached_property
    def settled(self) -> tuple[BatchShare, ...]:
        """The batches of which some piece has come to its end."""
        return tuple(batch for batch in self.batches if batch.tried)

    @property
    def verdict(self) -> str:
        """Whether it is getting better, in a sentence."""
        if self.trend is not None:
            return _(TRENDS[self.trend.verdict])
        if len(self.settled) < 2:
            return _("Too few to tell: it takes two batches of which pieces have come out.")
        if any(batch.scrap for batch in self.settled):
            return _("Nothing to tell: no batch has a good piece yet.")
        return _("Nothing to tell: no batch lost a piece.")


def yield_page(part: Part, today: date) -> YieldPage:
    """Everything about one part's yield. Eleven queries."""
    from calcs.parts.trend import yield_trend

    build_forecast = forecast_of(part.build, today)
    snapshot = build_forecast.snapshot
    line = snapshot.by_part[part.pk]
    repeated = repeated_part(snapshot, line)
    batches = tuple(BatchShare(one.good, one.count.reworked, one.scrap, one) for one in batches_of(snapshot, line))
    return YieldPage(
        snapshot=snapshot,
        repeated=repeated,
        batches=batches,
        reasons=ranked_reasons(dict(repeated.reasons)),
        trend=yield_trend([(batch.good, batch.scrap) for batch in batches]),
        expected=expected_yield(beliefs_of(snapshot, line)),
        next_piece=next_piece(build_forecast, line),
        learned=learned_by(snapshot, line),
        measured=tuple(sizes_with_figures(part=part)),
    )


def ranked_reasons(reasons: dict[str, int]) -> tuple[Reason, ...]:
    """The reasons with their shares, the commonest first, those without a reason last."""
    total = sum(reasons.values())
    ranked, so_far = [], 0
    for name, pieces in sorted(reasons.items(), key=lambda pair: (pair[0] == NO_REASON, -pair[1], pair[0])):
        so_far += pieces
        ranked.append(Reason(_(name) if name == NO_REASON else name, pieces, pieces / total, so_far / total))
    return tuple(ranked)
