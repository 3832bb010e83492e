"""The progress board: what a visitor asks, answered without a name."""

import math
from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from builds.models import Build
from builds.queries.forecast.build_forecast import BuildForecast, forecast_of
from builds.queries.plan.build_page import Branch, plan_tree
from builds.queries.plan.piece_row import PieceRow, piece_row
from builds.queries.snapshot import PartRow
from calcs.messages import _, listed, ngettext


@dataclass(frozen=True)
class BoardPart:
    line: PartRow
    row: PieceRow

    @property
    def words(self) -> str:
        """The row's sentence without the part's name, which stands above it."""
        return self.row.words


@dataclass(frozen=True)
class BoardAssembly:
    name: str
    made: int
    parts: int

    @property
    def percent(self) -> int:
        return percent_of(self.made, self.parts)


def percent_of(made: int, of: int) -> int:
    """A share in a hundred; 0 and 100 are kept for none and all."""
    if made in (0, of):
        return 100 if of and made == of else 0
    return min(99, max(1, round(100 * made / of)))


@dataclass(frozen=True)
class Board:
    """What the board shows. Holds no builder: names cannot slip onto the screen from here."""

    build: Build
    build_forecast: BuildForecast
    now: BoardPart | None
    worked_on: date | None
    branches: tuple[Branch, ...]
    repeated: tuple[BoardPart, ...]
    materials: tuple[str, ...]

    @property
    def hours_done(self) -> float:
        return self.build_forecast.snapshot.headline_minutes / 60

    @property
    def parts_made(self) -> int:
        return self.build_forecast.snapshot.parts_made

    @property
    def parts(self) -> int:
        return len(self.build_forecast.snapshot.parts)

    @property
    def percent(self) -> int:
        """Parts made, in a hundred; never 100 before the last one."""
        return percent_of(self.parts_made, self.parts)

    @property
    def hours_words(self) -> str:
        """The hours so far as a visitor would say them: "2½ hours", "640 hours", "1,220 hours"."""
        if 0 < self.hours_done < 0.75:
            return _("less than an hour")
        whole, half = divmod(round(self.hours_done * 2), 2) if self.hours_done < 10 else (self.hours_done, 0)
        figure = f"{round(whole, -1 if whole >= 1000 else 0):,.0f}{'½' * half}"
        return ngettext("{hours} hour", "{hours} hours", math.ceil(whole) + half, hours=figure)

    @property
    def bar_words(self) -> str:
        """The bar read aloud."""
        made, parts = self.parts_made, self.parts
        return _("{made} of {parts} parts made, {left} still to make", made=made, parts=parts, left=parts - made)

    @property
    def materials_words(self) -> str:
        """The materials as a list in a sentence."""
        return listed([name[:1].lower() + name[1:] if name[1:2].islower() else name for name in self.materials])

    @property
    def assemblies(self) -> tuple["BoardAssembly", ...]:
        """What is made of each top-level assembly, what nests in it included."""
        return tuple(
            BoardAssembly(
                name=branch.assembly.name if branch.assembly else _("Other parts"),
                made=sum(part.line.quantity_made for part in branch.all_parts),
                parts=len(branch.all_parts),
            )
            for branch in self.branches
            if branch.all_parts
        )


def board_of(build: Build, today: date) -> Board:
    """The board of a build. Nine queries."""
    build_forecast = forecast_of(build, today)
    snapshot = build_forecast.snapshot
    worked: dict[int, date] = {}
    for row in snapshot.rows:
        if row.part_id is not None:
            worked.pop(row.part_id, None)
            worked[row.part_id] = row.worked_on
    latest = [snapshot.by_part[pk] for pk in reversed(worked)]
    now = latest[0] if latest else None
    return Board(
        build=build,
        build_forecast=build_forecast,
        now=_with_row(now) if now else None,
        worked_on=worked[now.part.pk] if now else None,
        branches=plan_tree(build_forecast),
        repeated=_repeated([line for line in latest if line.part.quantity > 2 and line is not now]),
        materials=_materials(snapshot.parts),
    )


def _with_row(line: PartRow) -> BoardPart:
    return BoardPart(line, piece_row(line.count, unit_name=line.part.name))


def _repeated(lines: list[PartRow], most: int = 3) -> tuple[BoardPart, ...]:
    """Of the parts worked on lately, first those that tell most: a word for visitors, and pieces at many stages."""
    parts = [_with_row(line) for line in lines[:12]]
    parts.sort(key=lambda part: (not part.line.part.for_visitors, -len(part.row.groups)))
    return tuple(parts[:most])


def _materials(parts: tuple[PartRow, ...], most: int = 6) -> tuple[str, ...]:
    """What it is made of: the materials of most pieces, the commonest first."""
    pieces: dict[str, int] = defaultdict(int)
    for line in parts:
        if line.part.material is not None:
            pieces[_plain(line.part.material.name)] += line.part.quantity
    return tuple(sorted(pieces, key=lambda name: (-pieces[name], name))[:most])


def _plain(material: str) -> str:
    """A material without its form or grade: "Mild steel, bright drawn" is mild steel to a visitor."""
    return material.partition(",")[0].strip()
