"""The work that leads to something as a network: stretches of routes, each in a layer behind all that it needs.

A route is cut where one of its operations needs something, and behind one that something else needs. So each stretch
needs things only before it is begun and is needed only once it is done, and parts that need one another by turns still
stand from left to right.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from calcs.parts.needs import Needs, Place, Routes, Step, first_step, last_step, step_graph, steps_to


@dataclass(frozen=True)
class Stretch:
    """Operations of one part that follow one another, by number; none of a part without a route.

    `layer` is 0 where it needs nothing, else one more than the highest of what it needs. `whole` is the part's route.
    """

    part: str
    operations: tuple[int, ...]
    layer: int
    whole: bool


@dataclass(frozen=True)
class Network:
    """The stretches, and pairs of their places in `stretches`: the first needs to be done before the second."""

    stretches: tuple[Stretch, ...]
    lines: tuple[tuple[int, int], ...]


def network(routes: Routes, needs: Needs, ends: Collection[Place]) -> Network:
    """Return everything that leads to these ends. ValueError where the needs go in a circle.

    >>> found = network({"1": [10], "2": [10, 20]}, [(Place("2", 20), Place("1"))], [Place("2")])
    >>> [(stretch.part, stretch.operations, stretch.layer) for stretch in found.stretches], found.lines
    ([('2', (10,), 0), ('1', (10,), 0), ('2', (20,), 1)], ((0, 2), (1, 2)))
    """
    whole = step_graph(routes, needs, (end.part for end in ends))
    found = steps_to(routes, ends, whole)
    graph = {step: before for step, before in whole.items() if step in found}
    try:
        order = list(TopologicalSorter(graph).static_order())
    except CycleError as error:
        raise ValueError("The needs go in a circle.") from error
    stretch_of = _cut(routes, needs, order)
    steps: list[list[Step]] = [[] for _stretch in set(stretch_of.values())]
    layers = [0] * len(steps)
    lines: dict[tuple[int, int], None] = {}
    for step in order:
        here = stretch_of[step]
        steps[here].append(step)
        for before in {stretch_of[one]: None for one in graph[step] if stretch_of[one] != here}:
            lines[before, here] = None
            layers[here] = max(layers[here], layers[before] + 1)
    made = tuple(_stretch(routes, some, layer) for some, layer in zip(steps, layers, strict=True))
    return Network(made, tuple(lines))


def _cut(routes: Routes, needs: Needs, order: Iterable[Step]) -> dict[Step, int]:
    """Which stretch each step is of, numbered as they begin.

    The beginning of a part is no work of its own, and neither is its end where it has a route: they are never cut off.
    """
    cut_before = {first_step(routes, waiting) for waiting, _needed in needs}
    cut_behind = {last_step(routes, needed) for _waiting, needed in needs}
    stretch_of: dict[Step, int] = {}
    number = 0
    for part, at in order:
        before = (part, at - 1)
        joined = at == 1 or at == len(routes.get(part, ())) + 1
        if before in stretch_of and (joined or not ((part, at) in cut_before or before in cut_behind)):
            stretch_of[part, at] = stretch_of[before]
        else:
            stretch_of[part, at], number = number, number + 1
    return stretch_of


def _stretch(routes: Routes, steps: list[Step], layer: int) -> Stretch:
    part = steps[0][0]
    route = routes.get(part, ())
    numbers = tuple(route[at - 1] for _part, at in steps if 0 < at <= len(route))
    return Stretch(part, numbers, layer, len(numbers) == len(route))
