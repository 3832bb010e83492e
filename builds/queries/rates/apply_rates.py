"""What would change if the rest of the plan were brought to the shop's own rates."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from builds.models import Event, Operation
from builds.models.choices import EventType, Kind, Origin
from builds.models.own_rate import first_planned
from builds.queries.snapshot import BuildSnapshot, OperationRow, PartRow
from calcs.forecast.result import RateSummary
from calcs.messages import _, gettext_noop, ngettext
from calcs.parts.remaining import nothing_left

# A kind speaks for itself from so many logged operations on, and the shop from so many in all (a judgement).
LEAST_OF_A_KIND = 3
LEAST_IN_ALL = 5
# Less than this is no change worth an event.
LEAST_CHANGE = 0.01

# Why an operation that is not begun keeps its figure.
LEFT_ALONE = {
    "no figure": gettext_noop("without a figure"),
    "planned at own rate": gettext_noop("said to be at your own rate when they were planned"),
    "no time": gettext_noop("planned with a time of zero"),
    "unattended": gettext_noop("unattended for a share of the time, of which the ratio says nothing"),
    "too few of its kind": gettext_noop("of a kind with fewer than {least} logged operations"),
    "worked out": gettext_noop("worked out from the drawing, and left alone as you chose"),
    "near enough": gettext_noop("at your own rate already, or so near that nothing would change"),
}


@dataclass(frozen=True)
class RateChange:
    """One operation and what it would be planned at: minutes for one, and bench hours of all pieces and spares."""

    line: OperationRow
    part: PartRow
    ratio: float
    minutes: float

    @property
    def operation(self) -> Operation:
        return self.line.operation

    @property
    def hours_before(self) -> float:
        return self._hours(self.operation.minutes_per_unit or 0.0)

    @property
    def hours_after(self) -> float:
        return self._hours(self.minutes)

    def _hours(self, minutes: float) -> float:
        operation = self.operation
        return (operation.setup_minutes + operation.amount * minutes * self.part.part.quantity_with_spares) / 60


@dataclass(frozen=True)
class KindRateChange:
    """All operations of one kind that would change. `origins`: where their figures come from now, with how many."""

    rate: RateSummary
    changes: tuple[RateChange, ...]

    @property
    def kind(self) -> str:
        return str(Kind(self.rate.kind).label)

    @property
    def origins(self) -> tuple[tuple[str, int], ...]:
        counted = Counter(change.operation.origin for change in self.changes)
        return tuple((str(Origin(origin).label), number) for origin, number in counted.most_common())

    @property
    def hours_before(self) -> float:
        return sum(change.hours_before for change in self.changes)

    @property
    def hours_after(self) -> float:
        return sum(change.hours_after for change in self.changes)


@dataclass(frozen=True)
class Preview:
    """What taking the own rates over would do. `refusal` says why not, where there is too little to go by.

    `left_alone`: why other operations not begun keep their figures, with how many.
    """

    kinds: tuple[KindRateChange, ...]
    left_alone: tuple[tuple[str, int], ...]
    worked_out: int
    refusal: str

    @property
    def changes(self) -> tuple[RateChange, ...]:
        return tuple(change for kind in self.kinds for change in kind.changes)

    @property
    def hours_before(self) -> float:
        return sum(kind.hours_before for kind in self.kinds)

    @property
    def hours_after(self) -> float:
        return sum(kind.hours_after for kind in self.kinds)


def preview_of(snapshot: BuildSnapshot, rates: tuple[RateSummary, ...], *, leave_worked_out: bool) -> Preview:
    """The operations not begun, each at the ratio of its kind. No queries.

    `rates`: the forecast's, the shop as a whole among them with an empty kind.
    """
    seen = next((rate.operations for rate in rates if not rate.kind), 0)
    by_kind = {rate.kind: rate for rate in rates if rate.kind}
    found: dict[str, list[RateChange]] = defaultdict(list)
    left: Counter[str] = Counter()
    worked_out = 0
    for part, line in _not_begun(snapshot):
        first = first_planned(line.operation)
        worked_out += first.origin == Origin.WORKED_OUT
        rate = by_kind.get(line.operation.kind)
        why = _left_alone(line, rate)
        if not why and leave_worked_out and first.origin == Origin.WORKED_OUT:
            why = "worked out"
        if why or rate is None or first.minutes_per_unit is None:
            left[why or "no figure"] += 1
            continue
        minutes = first.minutes_per_unit * rate.ratio
        if abs(minutes / (line.operation.minutes_per_unit or minutes) - 1) < LEAST_CHANGE:
            left["near enough"] += 1
            continue
        found[rate.kind].append(RateChange(line, part, rate.ratio, minutes))
    kinds = tuple(KindRateChange(by_kind[kind], tuple(changes)) for kind, changes in found.items())
    ordered = tuple(sorted(kinds, key=lambda kind: (-kind.hours_before, kind.rate.kind)))
    refusal = _refusal(seen, ordered, left)
    left_alone = tuple((_(LEFT_ALONE[why], least=LEAST_OF_A_KIND), number) for why, number in left.most_common())
    return Preview(() if refusal else ordered, left_alone, worked_out, refusal)


def last_applied(snapshot: BuildSnapshot) -> Event | None:
    """The newest event that took own rates over and has not been undone. One query."""
    events = Event.objects.filter(build=snapshot.build, type=EventType.APPLY_RATES, undone_by__isnull=True)
    return events.order_by("-pk").first()


def _not_begun(snapshot: BuildSnapshot) -> Iterator[tuple[PartRow, OperationRow]]:
    for part in snapshot.parts:
        if part.quantity_made or nothing_left(part.plan):
            continue
        for line, passed in zip(part.operations, part.count.passed, strict=True):
            if not line.tally.entries and not passed:
                yield part, line


def _left_alone(line: OperationRow, rate: RateSummary | None) -> str:
    """Why an operation not begun keeps its figure, a key of `LEFT_ALONE`; empty where it need not."""
    operation = line.operation
    if operation.minutes_per_unit is None:
        return "no figure"
    if first_planned(operation).origin == Origin.OWN_RATE:
        return "planned at own rate"
    if operation.minutes_per_unit == 0:
        return "no time"
    if operation.unattended_share > 0:
        return "unattended"
    if rate is None or rate.operations < LEAST_OF_A_KIND:
        return "too few of its kind"
    return ""


def _refusal(seen: int, kinds: tuple[KindRateChange, ...], left: Counter[str]) -> str:
    if seen < LEAST_IN_ALL:
        so_far = (
            ngettext(
                "So far one operation has been logged against a plan.",
                "So far {n} operations have been logged against a plan.",
                seen,
            )
            if seen
            else _("So far no operation has been logged against a plan.")
        )
        needed = {"least": LEAST_IN_ALL, "of_a_kind": LEAST_OF_A_KIND}
        return f"{so_far} {_('From {least} on, {of_a_kind} of a kind, your rates can be taken over.', **needed)}"
    if not kinds and not left:
        return _("Every operation has been begun, so there is no plan left to bring to your rates.")
    if not kinds:
        return _("No operation that is not begun would change; below it says why.")
    return ""
