"""How much is made: parts by what they are and where they go, and pieces."""

from collections.abc import Iterable
from dataclasses import dataclass

from builds.queries.forecast.build_forecast import BuildForecast
from builds.queries.plan.build_page import plan_tree
from builds.queries.plan.piece_row import PieceRow, groups_of
from builds.queries.plan.role_counts import PartCounts, counts_of
from builds.queries.snapshot import PartRow
from builds.queries.visitors.figures import number, share_in_a_hundred
from calcs.messages import _, ngettext


@dataclass(frozen=True)
class AssemblyTold:
    """Parts of one assembly, or of one role besides details: made, in work and all, a mark a part in `row`."""

    name: str
    made: int
    of: int
    row: PieceRow

    @property
    def percent(self) -> int:
        return share_in_a_hundred(self.made, self.of)

    @property
    def figures(self) -> str:
        return _("{made} of {of}", made=self.made, of=self.of)


@dataclass(frozen=True)
class CountsTold:
    """`parts` are details apart from jigs, bought parts and work on assemblies; `pieces` are those of details."""

    parts: PartCounts
    pieces_made: int
    pieces: int
    assemblies: tuple[AssemblyTold, ...]

    @property
    def words(self) -> str:
        """Such as "38 of 64 parts made"."""
        details = self.parts.details
        return ngettext("{made} of {n} part made", "{made} of {n} parts made", details.of, made=number(details.made))

    @property
    def pieces_words(self) -> str:
        """Such as "Counted piece by piece: 412 of 640."; empty where every part is needed once."""
        if self.pieces <= self.parts.details.of:
            return ""
        return _("Counted piece by piece: {made} of {of}.", made=number(self.pieces_made), of=number(self.pieces))

    @property
    def percent(self) -> int:
        return share_in_a_hundred(self.parts.details.made, self.parts.details.of)


def counts_told(build_forecast: BuildForecast) -> CountsTold | None:
    """None where the plan holds no part. No query."""
    parts = build_forecast.snapshot.parts
    if not parts:
        return None
    details = [line for line in parts if line.part.is_detail]
    tree = plan_tree(build_forecast)
    loose = _("Other parts") if len(tree) > 1 else _("Parts")
    branches = [
        _told(branch.assembly.name if branch.assembly else loose, (part.line for part in branch.all_parts))
        for branch in tree
    ]
    counts = counts_of(parts)
    others = [
        _told(count.label, (line for line in parts if line.part.counts_as == count.role), only_details=False)
        for count in counts.others
    ]
    return CountsTold(
        counts,
        sum(line.count.had + line.count.uncounted for line in details),
        sum(line.part.quantity for line in details),
        tuple(told for told in (*branches, *others) if told.of),
    )


def _told(name: str, lines: Iterable[PartRow], *, only_details: bool = True) -> AssemblyTold:
    counted = [line for line in lines if line.part.is_detail or not only_details]
    made = sum(line.quantity_made for line in counted)
    in_work = sum(line.begun and not line.quantity_made for line in counted)
    groups = groups_of({"good": made, "work": in_work, "make": len(counted) - made - in_work})
    figures = {"name": name, "made": made, "of": len(counted)}
    words = (
        _("{name}: {made} of {of} parts made, {n} in work.", n=in_work, **figures)
        if in_work
        else _("{name}: {made} of {of} parts made.", **figures)
    )
    return AssemblyTold(name, made, len(counted), PieceRow(groups, words, words))
