"""The next piece of a part: how long it was planned to take, and how long this shop will need."""

from dataclasses import dataclass

from builds.models.choices import Kind
from builds.queries.forecast.build_forecast import BuildForecast
from builds.queries.snapshot import OperationRow, PartRow
from calcs.forecast.result import RateSummary
from calcs.messages import _


@dataclass(frozen=True)
class Rate:
    """The shop's actual ÷ planned for one kind, or for all its work; `of` names which. Ratios are above 0."""

    of: str
    ratio: float
    low: float
    high: float
    operations: int


NO_RATE = Rate("", 1.0, 1.0, 1.0, 0)
"""Nothing was logged yet that could be compared: the planned times stand as they are."""


@dataclass(frozen=True)
class NextOperation:
    """One operation of the next piece. Minutes at the bench; None where there is no figure."""

    line: OperationRow
    rate: Rate
    planned: float | None

    @property
    def expected(self) -> float | None:
        return None if self.planned is None else self.planned * self.rate.ratio

    @property
    def setup(self) -> float:
        """Set-up minutes at the bench, at the shop's rate."""
        plan = self.line.plan
        return plan.setup_minutes * (1 - plan.unattended_share) * self.rate.ratio


@dataclass(frozen=True)
class NextPiece:
    """One more piece through the whole route. Sums leave out the operations without a figure (`unknown`)."""

    operations: tuple[NextOperation, ...]

    @property
    def known(self) -> tuple[NextOperation, ...]:
        return tuple(one for one in self.operations if one.planned is not None)

    @property
    def unknown(self) -> tuple[NextOperation, ...]:
        return tuple(one for one in self.operations if one.planned is None)

    @property
    def planned(self) -> float | None:
        return sum(one.planned or 0.0 for one in self.known) if self.known else None

    @property
    def expected(self) -> float | None:
        return sum(one.expected or 0.0 for one in self.known) if self.known else None

    @property
    def setup(self) -> float:
        """Minutes to set the whole route up once, at the shop's rate."""
        return sum(one.setup for one in self.operations)

    @property
    def compared(self) -> bool:
        """Whether the shop's log had anything to compare with the plan."""
        return any(one.rate.operations for one in self.operations)


def next_piece(build_forecast: BuildForecast, line: PartRow) -> NextPiece:
    """The next piece of a part, from its plan and the rates of the build's forecast. No query."""
    rates = {rate.kind: rate for rate in build_forecast.forecast.rates}
    return NextPiece(tuple(_operation(one, rates) for one in line.operations))


def rate_for(kind: str, rates: dict[str, RateSummary]) -> Rate:
    """The rate of a kind of operation; the shop's own where the kind has no log."""
    found = rates.get(kind) or rates.get("")
    if found is None:
        return NO_RATE
    of = str(Kind(found.kind).label) if found.kind else _("all work")
    return Rate(of, found.ratio, found.low, found.high, found.operations)


def _operation(line: OperationRow, rates: dict[str, RateSummary]) -> NextOperation:
    plan = line.plan
    planned = None if plan.minutes_per_piece is None else plan.minutes_per_piece * (1 - plan.unattended_share)
    return NextOperation(line, rate_for(plan.kind, rates), planned)
