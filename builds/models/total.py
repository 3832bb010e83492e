"""What the kept entries come to, by operation: kept beside them, so that nobody has to read a whole log for it."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from django.db import models
from django.db.models import Q

from builds.models.operation import Operation
from builds.models.part import Part


@dataclass(frozen=True)
class LogRow:
    """One kept entry, as far as sums need it."""

    pk: int
    worked_on: date
    since_on: date | None
    part_id: int | None
    operation_id: int | None
    batch_id: int | None
    activity: str
    bench_minutes: int | None
    bench_is: str
    unattended_minutes: int
    good: int
    reworked: int
    scrap: int
    scrap_reason: str

    @property
    def first_day(self) -> date:
        """The day that the work began: an earlier one than that of the entry where it went over several."""
        return self.since_on or self.worked_on


LOG_COLUMNS = tuple(LogRow.__dataclass_fields__)


@dataclass
class Tally:
    """What the log says of one operation, or of a part where no operation was named. Minutes and pieces."""

    good: int = 0
    reworked: int = 0
    scrap: int = 0
    counted_minutes: int = 0
    open_minutes: int = 0
    unattended_minutes: int = 0
    times_unknown: bool = False
    entries: int = 0
    last_on: date | None = None
    batches: set[int | None] = field(default_factory=set)
    # Bench minutes since the count before, and the pieces then counted, in the order logged: learning is read from it.
    piece_minutes: list[tuple[float, int]] = field(default_factory=list)

    @property
    def bench_minutes(self) -> int:
        return self.counted_minutes + self.open_minutes

    def take(self, row: LogRow) -> None:
        """Add one entry. They come oldest first, since minutes before a count belong to the pieces counted."""
        self.entries += 1
        self.last_on = row.worked_on
        self.open_minutes += row.bench_minutes or 0
        self.unattended_minutes += row.unattended_minutes
        self.times_unknown |= row.bench_minutes is None
        self.batches.add(row.batch_id)
        if row.good or row.scrap:
            self.good += row.good
            self.reworked += row.reworked
            self.scrap += row.scrap
            self.piece_minutes.append((float(self.open_minutes), row.good + row.scrap))
            self.counted_minutes += self.open_minutes
            self.open_minutes = 0


# By part and operation; with no operation, what was logged on a part without naming one.
Tallies = dict[tuple[int, int | None], Tally]


def tallies_of(rows: Iterable[LogRow]) -> Tallies:
    """What entries come to, by part and operation; shop time is left out. They come oldest first."""
    tallies: Tallies = defaultdict(Tally)
    for row in rows:
        if row.part_id is not None:
            tallies[(row.part_id, row.operation_id)].take(row)
    return tallies


TALLY_COLUMNS = tuple(Tally.__dataclass_fields__)


class Total(models.Model):
    """The tally of one operation's kept entries, or of a part's where no operation was named.

    It is made anew from the entries whenever one of them changes, by `services.log.totals`, and never added to.
    """

    part = models.ForeignKey(Part, on_delete=models.CASCADE, related_name="totals")
    operation = models.ForeignKey(Operation, on_delete=models.CASCADE, null=True, blank=True, related_name="totals")
    good = models.PositiveIntegerField()
    reworked = models.PositiveIntegerField()
    scrap = models.PositiveIntegerField()
    counted_minutes = models.PositiveIntegerField()
    open_minutes = models.PositiveIntegerField()
    unattended_minutes = models.PositiveIntegerField()
    times_unknown = models.BooleanField()
    entries = models.PositiveIntegerField()
    last_on = models.DateField()
    batches = models.JSONField(blank=True)
    piece_minutes = models.JSONField(blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["operation"], name="total_once_an_operation"),
            models.UniqueConstraint(fields=["part"], condition=Q(operation=None), name="total_once_a_part"),
        ]

    def __str__(self) -> str:
        return f"{self.operation or self.part}: {self.entries}"

    @classmethod
    def of(cls, part_id: int, operation_id: int | None, tally: Tally) -> "Total":
        """The record of a tally, not saved."""
        kept = {name: getattr(tally, name) for name in TALLY_COLUMNS}
        batches = sorted(tally.batches, key=lambda key: key or 0)
        return cls(part_id=part_id, operation_id=operation_id, **kept | {"batches": batches})

    @property
    def tally(self) -> Tally:
        kept = {name: getattr(self, name) for name in TALLY_COLUMNS}
        pieces = [(float(minutes), pieces) for minutes, pieces in self.piece_minutes]
        return Tally(**kept | {"batches": set(self.batches), "piece_minutes": pieces})
