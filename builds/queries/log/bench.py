"""The bench page: what was worked on last, what comes next, the running clock."""

from dataclasses import dataclass
from datetime import date

from builds.models import Build, Builder, Clock, Entry, Operation
from builds.queries.forecast.build_forecast import BuildForecast, forecast_from
from builds.queries.plan.piece_row import PieceRow, piece_row
from builds.queries.snapshot import BuildSnapshot, PartRow, read_snapshot
from calcs.forecast.result import PartForecast


@dataclass(frozen=True)
class Pick:
    """Something that may be on the bench tonight: an operation of a part, or the part where it has none."""

    line: PartRow
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
    snapshot: BuildSnapshot
    evening: date
    picks: tuple[Pick, ...]
    clock: Clock | None
    clock_elsewhere: Clock | None
    today_entries: tuple[Entry, ...]
    builders: tuple[Builder, ...]


def bench_of(
    build: Build, builder: Builder | None, today: date, first: int | None = None, evening: date | None = None
) -> Bench:
    """The bench of a builder: up to four picks, the last used first. Twelve queries.

    evening: the day that is offered for logging, which after midnight is still the day before; else today.
    first: the key of a part that comes first, whatever was used last.
    """
    snapshot = read_snapshot(build, today)
    clock = (
        Clock.objects.select_related("build", "part", "operation", "operation__part").filter(builder=builder).first()
        if builder is not None
        else None
    )
    here = clock if clock is not None and clock.build_id == build.pk else None
    entries = Entry.objects.filter(build=build, removed_at__isnull=True, worked_on=evening or today)
    return Bench(
        snapshot=snapshot,
        evening=evening or today,
        picks=tonight(snapshot, first),
        clock=here,
        clock_elsewhere=None if here else clock,
        today_entries=tuple(entries.select_related("part", "operation", "builder")),
        builders=tuple(Builder.objects.all()),
    )


def tonight(snapshot: BuildSnapshot, first: int | None = None, most: int = 4) -> tuple[Pick, ...]:
    """What is likely on the bench: the operations logged last while they have pieces left, then what comes next."""
    picks: dict[str, Pick] = {}

    def offer(line: PartRow, operation: Operation | None) -> None:
        pick = Pick(line, operation)
        if len(picks) < most and not line.quantity_made and pick.left != 0:
            picks.setdefault(pick.value, pick)

    if first in snapshot.by_part:
        line = snapshot.by_part[first]
        offer(line, line.next_operation)
    for row in reversed(snapshot.rows):
        if row.part_id is None or len(picks) >= most:
            continue
        line = snapshot.by_part[row.part_id]
        named = next((o.operation for o in line.operations if o.operation.pk == row.operation_id), None)
        offer(line, named)
        offer(line, line.next_operation)
    for line in snapshot.parts:
        if not line.plan.waiting and not line.plan.marked_finished:
            offer(line, line.next_operation)
    return tuple(picks.values())


@dataclass(frozen=True)
class AfterLogging:
    """What is left of a part once an entry is in."""

    line: PartRow
    forecast: PartForecast | None

    @property
    def row(self) -> PieceRow:
        return piece_row(self.line.count, unit_name=self.line.part.name)


def after_logging(snapshot: BuildSnapshot, part_ids: list[int]) -> tuple[AfterLogging, ...]:
    """What is left of the parts just worked on. No query where the forecast is kept already."""
    known = [pk for pk in dict.fromkeys(part_ids) if pk in snapshot.by_part]
    if not known:
        return ()
    build_forecast = BuildForecast(snapshot, forecast_from(snapshot))
    return tuple(AfterLogging(snapshot.by_part[pk], build_forecast.by_part.get(pk)) for pk in known)
