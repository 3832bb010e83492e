"""The progress board: what a visitor asks, answered without a name."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from builds.models import Build
from builds.queries.ledger import PartLine
from builds.queries.outlook import Prospect, prospect_of
from builds.queries.pieces import PieceRow, piece_row
from builds.queries.plan import Branch, plan_tree


@dataclass(frozen=True)
class BoardPart:
    line: PartLine
    row: PieceRow


@dataclass(frozen=True)
class Board:
    """What the board shows. Holds no builder: names cannot slip onto the screen from here."""

    build: Build
    prospect: Prospect
    now: BoardPart | None
    worked_on: date | None
    recent: tuple[PartLine, ...]
    branches: tuple[Branch, ...]
    repeated: tuple[BoardPart, ...]
    materials: tuple[str, ...]

    @property
    def hours_done(self) -> float:
        return self.prospect.ledger.headline_minutes / 60

    @property
    def parts_finished(self) -> int:
        return self.prospect.ledger.parts_finished

    @property
    def parts(self) -> int:
        return len(self.prospect.ledger.parts)


def board_of(build: Build, today: date) -> Board:
    """The board of a build. Nine queries."""
    prospect = prospect_of(build, today)
    ledger = prospect.ledger
    worked: dict[int, date] = {}
    for row in ledger.rows:
        if row.part_id is not None:
            worked.pop(row.part_id, None)
            worked[row.part_id] = row.worked_on
    latest = [ledger.by_part[pk] for pk in reversed(worked)]
    now = latest[0] if latest else None
    return Board(
        build=build,
        prospect=prospect,
        now=_with_row(now) if now else None,
        worked_on=worked[now.part.pk] if now else None,
        recent=tuple(line for line in latest if line.finished and line is not now)[:4],
        branches=plan_tree(prospect),
        repeated=tuple(_with_row(line) for line in latest if line.part.quantity > 2)[:3],
        materials=_materials(ledger.parts),
    )


def _with_row(line: PartLine) -> BoardPart:
    return BoardPart(line, piece_row(line.count, unit_name=line.part.name))


def _materials(parts: tuple[PartLine, ...], most: int = 6) -> tuple[str, ...]:
    """What it is made of: the materials of most pieces, the commonest first."""
    pieces: dict[str, int] = defaultdict(int)
    for line in parts:
        if line.part.material is not None:
            pieces[line.part.material.name] += line.part.quantity
    return tuple(sorted(pieces, key=lambda name: (-pieces[name], name))[:most])
