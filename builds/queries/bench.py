"""The bench page: what was worked on last, what comes next, the running clock."""

from dataclasses import dataclass
from datetime import date

from builds.models import Build, Builder, Clock, Entry, Operation
from builds.queries.ledger import Ledger, PartLine, read_ledger
from builds.queries.outlook import Prospect, outlook_of
from builds.queries.pieces import PieceRow, piece_row
from calcs.forecast import PartOutlook


@dataclass(frozen=True)
class Pick:
    """Something that may be on the bench tonight: an operation of a part, or the part where it has none."""

    line: PartLine
    operation: Operation | None

    @property
    def value(self) -> str:
        """How the form names it."""
        return f"o{self.operation.pk}" if self.operation is not None else f"p{self.line.part.pk}"

    @property
    def left(self) -> int | None:
        """Good pieces still to pass this operation; None where there is no operation."""
        for place, line in enumerate(self.line.operations):
            if self.operation is not None and line.operation.pk == self.operation.pk:
                return max(0, self.line.part.quantity - self.line.count.passed[place])
        return None


@dataclass(frozen=True)
class Bench:
    ledger: Ledger
    evening: date
    picks: tuple[Pick, ...]
    clock: Clock | None
    clock_elsewhere: Clock | None
    today_entries: tuple[Entry, ...]
    builders: tuple[Builder, ...]


def bench_of(
    build: Build, builder: Builder | None, today: date, wanted: int | None = None, evening: date | None = None
) -> Bench:
    """The bench of a builder: up to four picks, the last used first. Twelve queries.

    evening: the day that is offered for logging, which after midnight is still the day before; else today.
    wanted: the key of a part that comes first, whatever was used last.
    """
    ledger = read_ledger(build, today)
    clock = (
        Clock.objects.select_related("build", "part", "operation", "operation__part").filter(builder=builder).first()
        if builder is not None
        else None
    )
    here = clock if clock is not None and clock.build_id == build.pk else None
    entries = Entry.objects.filter(build=build, removed_at__isnull=True, worked_on=evening or today)
    return Bench(
        ledger=ledger,
        evening=evening or today,
        picks=tonight(ledger, wanted),
        clock=here,
        clock_elsewhere=None if here else clock,
        today_entries=tuple(entries.select_related("part", "operation", "builder")),
        builders=tuple(Builder.objects.all()),
    )


def tonight(ledger: Ledger, wanted: int | None = None, most: int = 4) -> tuple[Pick, ...]:
    """What is likely on the bench: the operations logged last while they have pieces left, then what comes next."""
    picks: dict[str, Pick] = {}

    def offer(line: PartLine, operation: Operation | None) -> None:
        pick = Pick(line, operation)
        if len(picks) < most and not line.finished and pick.left != 0:
            picks.setdefault(pick.value, pick)

    if wanted in ledger.by_part:
        line = ledger.by_part[wanted]
        offer(line, line.next_operation)
    for row in reversed(ledger.rows):
        if row.part_id is None or len(picks) >= most:
            continue
        line = ledger.by_part[row.part_id]
        named = next((o.operation for o in line.operations if o.operation.pk == row.operation_id), None)
        offer(line, named)
        offer(line, line.next_operation)
    for line in ledger.parts:
        if not line.plan.waiting and not line.plan.finished:
            offer(line, line.next_operation)
    return tuple(picks.values())


@dataclass(frozen=True)
class AfterLogging:
    """What is left of a part once an entry is in."""

    line: PartLine
    outlook: PartOutlook | None

    @property
    def row(self) -> PieceRow:
        return piece_row(self.line.count, unit_name=self.line.part.name)


def after_logging(ledger: Ledger, part_ids: list[int]) -> tuple[AfterLogging, ...]:
    """What is left of the parts just worked on. No query where the outlook is kept already."""
    known = [pk for pk in dict.fromkeys(part_ids) if pk in ledger.by_part]
    if not known:
        return ()
    prospect = Prospect(ledger, outlook_of(ledger))
    return tuple(AfterLogging(ledger.by_part[pk], prospect.by_part.get(pk)) for pk in known)
