"""The plan pages: one build as a tree, one part with its route."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from django.db.models import Q

from builds.models import Assembly, Batch, Build, Entry, Part, Photo
from builds.queries.forecast.build_forecast import BuildForecast, forecast_by_part, forecast_of, left_of
from builds.queries.forecast.finished import finished_build
from builds.queries.forecast.ready import chance_of_wish
from builds.queries.plan.needs import PartNeeds, PlaceRow, part_needs
from builds.queries.plan.piece_row import PieceRow, piece_row
from builds.queries.plan.role_counts import PartCounts, counts_of
from builds.queries.plan.role_offers import RoleOffer, role_offers
from builds.queries.plan.sizes import SizeRow, sizes_of
from builds.queries.snapshot import BuildSnapshot, OperationRow, PartRow, PartsSnapshot, read_parts
from calcs.forecast.result import NOTHING, GroupForecast, PartForecast, Spread
from calcs.messages import _


@dataclass(frozen=True)
class PlannedPart:
    """A part's row in the tree."""

    line: PartRow
    forecast: PartForecast | None

    @property
    def hours_left(self) -> Spread | None:
        """Bench hours left; None where there is no figure."""
        return left_of(self.forecast)

    @property
    def words(self) -> str:
        """How many are made; of work on an assembly, how many of its operations are done."""
        if self.line.plan.marked_finished:
            return _("finished")
        if self.line.part.is_work:
            return _("{done} of {all} done", done=sum(map(bool, self.line.count.passed)), all=len(self.line.operations))
        return _("{made} of {all}", made=self.line.count.had, all=self.line.part.quantity)

    @property
    def percent_done(self) -> str:
        """How far the part is, by hours where they are known, else by pieces: "0" to "100" for the bar."""
        if self.line.quantity_made:
            return "100"
        if self.hours_left is None:
            return str(100 * self.line.count.had // self.line.part.quantity)
        return _percent(self.line.bench_minutes, self.hours_left)


@dataclass(frozen=True)
class Branch:
    """An assembly with its parts and what nests in it. `assembly` None holds the parts that stand in none.

    `forecast` None holds no part.
    """

    assembly: Assembly | None
    parts: tuple[PlannedPart, ...]
    branches: tuple["Branch", ...]
    depth: int
    forecast: GroupForecast | None

    @property
    def name(self) -> str:
        return self.assembly.name if self.assembly else _("Parts in no assembly")

    @property
    def all_parts(self) -> tuple[PlannedPart, ...]:
        return self.parts + tuple(part for branch in self.branches for part in branch.all_parts)

    @cached_property
    def counts(self) -> PartCounts:
        return counts_of(part.line for part in self.all_parts)

    @property
    def minutes_done(self) -> int:
        return sum(part.line.bench_minutes for part in self.all_parts)

    @property
    def hours_left(self) -> Spread | None:
        """Bench hours left of all its parts together; None where none of them has a figure."""
        if self.forecast is None:
            return NOTHING
        return self.forecast.hours_left if any(part.hours_left is not None for part in self.all_parts) else None

    @property
    def finished(self) -> bool:
        """Whether it has parts, and all of them are made."""
        return bool(self.all_parts) and all(part.line.quantity_made for part in self.all_parts)

    @property
    def percent_done(self) -> str:
        """How far the assembly is by hours: "0" to "100" for the bar."""
        if self.finished:
            return "100"
        return _percent(self.minutes_done, self.hours_left or NOTHING)


def _percent(minutes_done: float, left: Spread) -> str:
    """A share in whole per cent; what is not finished is never drawn as full."""
    return str(min(99, int(100 * minutes_done / (minutes_done + 60 * left.p50)))) if minutes_done > 0 else "0"


@dataclass(frozen=True)
class BuildPage:
    build_forecast: BuildForecast
    branches: tuple[Branch, ...]

    @cached_property
    def offers(self) -> tuple[RoleOffer, ...]:
        """The parts of which nobody has said what they are, and whose names tell of something else than a detail."""
        return role_offers(line.part for line in self.snapshot.parts)

    @property
    def told(self) -> tuple[str, ...]:
        """That the build is finished or rests, in sentences; empty while it is under way. Two queries more at most."""
        finished = finished_build(self.snapshot)
        if finished is not None:
            return finished.sentences
        return tuple(filter(None, (self.snapshot.state.sentence,)))

    @property
    def chance_of_wish(self) -> str:
        return chance_of_wish(self.build_forecast)

    @property
    def snapshot(self) -> BuildSnapshot:
        return self.build_forecast.snapshot


def build_page(build: Build, today: date) -> BuildPage:
    """One build as a tree of assemblies and parts. Ten queries."""
    build_forecast = forecast_of(build, today)
    return BuildPage(build_forecast, plan_tree(build_forecast))


def plan_tree(build_forecast: BuildForecast) -> tuple[Branch, ...]:
    """The parts under their assemblies, in the builder's order; parts without an assembly come last."""
    children: dict[int | None, list[Assembly]] = defaultdict(list)
    for assembly in build_forecast.snapshot.assemblies:
        children[assembly.parent_id].append(assembly)
    within: dict[int | None, list[PlannedPart]] = defaultdict(list)
    for line in build_forecast.snapshot.parts:
        within[line.part.assembly_id].append(PlannedPart(line, build_forecast.by_part.get(line.part.pk)))

    def branch(assembly: Assembly, depth: int) -> Branch:
        inner = tuple(branch(child, depth + 1) for child in children[assembly.pk])
        return Branch(assembly, tuple(within[assembly.pk]), inner, depth, build_forecast.by_group.get(str(assembly.pk)))

    tree = tuple(branch(assembly, 0) for assembly in children[None])
    loose = Branch(None, tuple(within[None]), (), 0, build_forecast.by_group.get(""))
    return (*tree, loose) if loose.parts else tree


@dataclass(frozen=True)
class PartPage:
    """`within`: the assembly that the part stands in and those around that one, the outermost first."""

    snapshot: PartsSnapshot
    line: PartRow
    within: tuple[Assembly, ...]
    forecast: PartForecast | None
    row: PieceRow
    entries: tuple[Entry, ...]
    photos: tuple[Photo, ...]
    sizes: tuple[SizeRow, ...]
    needs: PartNeeds
    before: Part | None
    after: Part | None

    @property
    def hours_left(self) -> Spread | None:
        """Bench hours left; None where there is no figure."""
        return left_of(self.forecast)

    @property
    def route(self) -> tuple[OperationRow, ...]:
        return self.line.operations

    @property
    def route_with_passed(self) -> tuple[tuple[OperationRow, int, int, tuple[PlaceRow, ...]], ...]:
        """The operations, each with the pieces that have passed it, those that have still to, and what it waits for."""
        to_pass = (0,) * len(self.route) if self.snapshot.state.finished else self.line.to_pass
        missing = (self.needs.missing_at(step.operation.number) for step in self.route)
        return tuple(zip(self.route, self.line.count.passed, to_pass, missing, strict=True))

    @property
    def planned_minutes_left(self) -> float:
        """Bench minutes that the route plans for the rest; of a build that was finished none."""
        return 0.0 if self.snapshot.state.finished else self.line.planned_minutes_left

    @property
    def batches(self) -> tuple[Batch, ...]:
        return self.line.batches


def part_page(part: Part, today: date) -> PartPage:
    """One part with its route, pieces, last entries and photos; of the rest of the build only what is left of the part.

    Ten queries where the forecast is kept, four more where something comes before the part or after it, and one where
    its assembly stands in another.
    """
    snapshot = read_parts(part.build, today, [part.pk])
    line = snapshot.by_part[part.pk]
    entries = Entry.objects.kept().filter(part=part).select_related("builder", "operation", "batch")
    others = Part.objects.filter(build=part.build)
    here = Q(position=part.position)
    return PartPage(
        snapshot=snapshot,
        line=line,
        within=_within(line.part.assembly),
        forecast=forecast_by_part(part.build, today).get(part.pk),
        row=piece_row(line.count, unit_name=part.name),
        entries=tuple(entries[:5]),
        photos=tuple(part.photos.all()),
        sizes=sizes_of(part),
        needs=part_needs(snapshot, line),
        before=others.filter(Q(position__lt=part.position) | here & Q(pk__lt=part.pk)).last(),
        after=others.filter(Q(position__gt=part.position) | here & Q(pk__gt=part.pk)).first(),
    )


def _within(assembly: Assembly | None) -> tuple[Assembly, ...]:
    if assembly is None or assembly.parent_id is None:
        return (assembly,) if assembly else ()
    of_build = {one.pk: one for one in Assembly.objects.filter(build=assembly.build_id)}
    found = [assembly]
    while (around := of_build.get(found[0].parent_id or 0)) is not None:
        found.insert(0, around)
    return tuple(found)
