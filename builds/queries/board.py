"""The progress board: what a visitor asks, answered without a name."""

import math
from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from builds.models import Build
from builds.queries.forecast.build_forecast import BuildForecast, forecast_of
from builds.queries.forecast.finished import FinishedBuild, finished_build
from builds.queries.plan.build_page import Branch, plan_tree
from builds.queries.plan.piece_row import NO_PIECES, PieceRow, piece_row
from builds.queries.plan.role_counts import PartCounts, counts_of
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
    finished: FinishedBuild | None

    @property
    def hours_done(self) -> float:
        return self.build_forecast.snapshot.headline_minutes / 60

    @cached_property
    def counts(self) -> PartCounts:
        return counts_of(self.build_forecast.snapshot.parts)

    @property
    def parts_made(self) -> int:
        """Details that are made; what is bought, jigs, and work on assemblies stand in lines of their own."""
        return self.counts.details.made

    @property
    def parts(self) -> int:
        return self.counts.details.of

    @property
    def resting(self) -> bool:
        return self.build_forecast.snapshot.state.resting

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
        """The details of each top-level assembly, what nests in it included; then what is no detail, by its role."""
        details = [(branch, branch.counts.details) for branch in self.branches]
        return (
            *(
                BoardAssembly(branch.assembly.name if branch.assembly else _("Other parts"), count.made, count.of)
                for branch, count in details
                if count.of
            ),
            *(BoardAssembly(count.label, count.made, count.of) for count in self.counts.others),
        )


def board_of(build: Build, today: date) -> Board:
    """The board of a build. Ten queries; of a finished one some more, once a revision and day."""
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
        finished=finished_build(snapshot),
    )


def _with_row(line: PartRow) -> BoardPart:
    return BoardPart(line, NO_PIECES if line.part.is_work else piece_row(line.count, unit_name=line.part.name))


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
