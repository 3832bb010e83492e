"""Repeated parts: rows of pieces, and yield by operation with its doubt."""

from collections import Counter
from dataclasses import dataclass
from datetime import date

from builds.models import Build
from builds.queries.plan.piece_row import SINGLY_UP_TO, PieceGroup, PieceRow, piece_row
from builds.queries.snapshot import BuildSnapshot, OperationRow, PartRow, PartsSnapshot, read_snapshot
from calcs.messages import _, gettext_noop
from calcs.parts.yields import YieldEstimate, rolled_yield

NO_REASON = gettext_noop("no reason given")


@dataclass(frozen=True)
class OperationYield(YieldEstimate):
    """Yield at one operation; all None where nothing was counted."""

    line: OperationRow

    @property
    def low(self) -> float | None:
        return self.wilson and self.wilson[0]

    @property
    def high(self) -> float | None:
        return self.wilson and self.wilson[1]


@dataclass(frozen=True)
class RepeatedPart:
    line: PartRow
    row: PieceRow
    yields: tuple[OperationYield, ...]
    rolled: float | None
    reasons: tuple[tuple[str, int], ...]

    @property
    def counted(self) -> tuple[OperationYield, ...]:
        """The operations at which something was counted."""
        return tuple(y for y in self.yields if y.tried)


@dataclass(frozen=True)
class Lost:
    """The pieces lost for one reason, and the marks they are drawn as."""

    reason: str
    pieces: int
    row: PieceRow


@dataclass(frozen=True)
class Stage:
    """Repeated parts that stand alike: in work, to begin, or finished."""

    title: str
    parts: tuple[RepeatedPart, ...]
    open: bool


@dataclass(frozen=True)
class RepeatsPage:
    snapshot: BuildSnapshot
    parts: tuple[RepeatedPart, ...]

    @property
    def stages(self) -> tuple[Stage, ...]:
        """The parts in work first and laid open; what is finished folded away while anything is in work."""
        working = tuple(p for p in self.parts if p.line.begun and not p.line.quantity_made)
        waiting = tuple(p for p in self.parts if not p.line.begun and not p.line.quantity_made)
        finished = tuple(p for p in self.parts if p.line.quantity_made)
        return (
            Stage(_("In work"), working, open=True),
            Stage(_("To begin"), waiting, open=not working),
            Stage(_("Finished"), finished, open=not working and not waiting),
        )

    @property
    def reasons(self) -> tuple[Lost, ...]:
        """Scrap by reason, over all repeated parts, the commonest first; all drawn by tens where one is of many."""
        total: Counter[str] = Counter()
        for part in self.parts:
            total.update(dict(part.reasons))
        by_tens = max(total.values(), default=0) > SINGLY_UP_TO
        return tuple(
            Lost(
                _(reason) if reason == NO_REASON else reason,
                pieces,
                PieceRow((PieceGroup("scrap", pieces, by_tens),), ""),
            )
            for reason, pieces in total.most_common()
        )


def is_repeated(line: PartRow) -> bool:
    """A part of which the build wants more than one piece, or of which pieces have been lost."""
    return line.part.quantity_with_spares > 1 or line.count.scrap > 0


def repeats_page(build: Build, today: date) -> RepeatsPage:
    """All repeated parts; those with work on them first, then by the plan. Ten queries."""
    snapshot = read_snapshot(build, today)
    parts = [repeated_part(snapshot, line) for line in snapshot.parts if is_repeated(line)]
    parts.sort(key=lambda part: (part.line.quantity_made, not part.line.begun))
    return RepeatsPage(snapshot, tuple(parts))


def repeated_part(snapshot: PartsSnapshot, line: PartRow) -> RepeatedPart:
    """A part's pieces and yields."""
    yields = tuple(OperationYield(one.tally.good, one.tally.reworked, one.tally.scrap, one) for one in line.operations)
    known = [y.after_rework for y in yields if y.after_rework is not None]
    reasons: Counter[str] = Counter()
    for row in snapshot.rows:
        if row.part_id == line.part.pk and row.scrap:
            reasons[row.scrap_reason or NO_REASON] += row.scrap
    return RepeatedPart(
        line=line,
        row=piece_row(line.count, unit_name=line.part.name),
        yields=yields,
        rolled=rolled_yield(known) if known else None,
        reasons=tuple(reasons.most_common()),
    )
