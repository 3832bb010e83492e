"""The parts of a build as one list: filtered, sorted, and in working order."""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from builds.models import Assembly, Build, Machine, Material
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.plan.build_page import Branch, PlannedPart, plan_tree
from calcs.parts.remaining import nothing_left


@dataclass(frozen=True)
class PartsAsked:
    """What is to be listed, and how it is sorted: `state` is one of STATES, `sort` one of SORTS."""

    state: str = ""
    assembly: Assembly | None = None
    material: Material | None = None
    machine: Machine | None = None
    sort: str = ""


@dataclass(frozen=True, kw_only=True)
class ListedPart(PlannedPart):
    """A part in the list.

    `within`: the keys of the assembly that it stands in and of all around that one. `place`: in the working order,
    counted from 1 among the open parts that have one; None is not in it.
    """

    within: tuple[int, ...]
    open: bool
    place: int | None = None

    def needs(self, machine: Machine) -> bool:
        """Whether an operation on that machine is still to do; of a part with nothing left, whether there was one."""
        steps = zip(self.line.operations, self.line.to_pass, strict=True)
        return any(step.operation.machine_id == machine.pk and (to_pass or not self.open) for step, to_pass in steps)


@dataclass(frozen=True)
class PartsList:
    """The parts that were asked for, of `count` in the build; `order` are the open ones in working order.

    `names` are those of all open parts, by key.
    """

    rows: tuple[ListedPart, ...]
    count: int
    order: tuple[ListedPart, ...]
    names: dict[int, str]


STATES: dict[str, Callable[[ListedPart], bool]] = {
    "": lambda part: part.open,
    "in work": lambda part: part.open and part.line.begun,
    "not begun": lambda part: part.open and not part.line.begun,
    "waiting": lambda part: part.open and part.line.part.waiting_for != "",
    "finished": lambda part: not part.open,
    "all": lambda part: True,
}
# Each sorts what stands in the order of the plan.
SORTS: dict[str, Callable[[ListedPart], Any]] = {
    "": lambda part: (part.place is None, part.place or 0),
    "plan": lambda part: 0,
    "item": lambda part: _natural(part.line.part.number),
    "name": lambda part: _natural(part.line.part.name),
    "material": lambda part: (part.line.part.material is None, _natural(str(part.line.part.material or ""))),
    "left": lambda part: -part.hours_left.p50 if part.hours_left else 0.0,
}


def parts_list(build: Build, today: date, asked: PartsAsked) -> PartsList:
    """The parts that answer to what is asked. Nine queries; the forecast is worked out where it is not kept."""
    build_forecast = forecast_of(build, today)
    over = build_forecast.snapshot.state.finished
    found = [part for branch in plan_tree(build_forecast) for part in _listed(branch, (), over=over)]
    placed = (part for part in found if part.open and part.line.part.place is not None)
    in_order = sorted(placed, key=lambda part: part.line.part.working_rank)
    order = {part.line.part.pk: replace(part, place=place) for place, part in enumerate(in_order, start=1)}
    rows = _asked_for((order.get(part.line.part.pk, part) for part in found), asked)
    names = {part.line.part.pk: str(part.line.part) for part in found if part.open}
    return PartsList(tuple(sorted(rows, key=SORTS[asked.sort])), len(found), tuple(order.values()), names)


def _listed(branch: Branch, around: tuple[int, ...], *, over: bool) -> Iterator[ListedPart]:
    """The parts of a branch of the plan, and of all that nest in it. over: the build is finished, so none is open."""
    within = (*around, branch.assembly.pk) if branch.assembly else around
    for one in branch.parts:
        has_all = one.line.quantity_made and nothing_left(one.line.plan)
        yield ListedPart(one.line, one.forecast, within=within, open=not (over or has_all))
    for inner in branch.branches:
        yield from _listed(inner, within, over=over)


def _asked_for(parts: Iterable[ListedPart], asked: PartsAsked) -> Iterator[ListedPart]:
    for part in parts:
        if (
            STATES[asked.state](part)
            and (asked.assembly is None or asked.assembly.pk in part.within)
            and (asked.material is None or asked.material.pk == part.line.part.material_id)
            and (asked.machine is None or part.needs(asked.machine))
        ):
            yield part


def _natural(text: str) -> list[tuple[bool, int, str]]:
    """What names are sorted by so that 9 stands before 10, and "A2" before "A10"."""
    pieces = re.findall(r"[0-9]{1,300}|[^0-9]+", text.casefold())
    return [(not piece.isdecimal(), int(piece) if piece.isdecimal() else 0, piece) for piece in pieces]
