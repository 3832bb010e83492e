"""What comes before what: parts and operations that can only be begun once others are done.

A `Place` is a part, or one operation of its route. "A needs B" says that A cannot be begun before B is done. Within a
route the order is known: each operation comes after the one before it, the part is begun with the first and done with
the last.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from graphlib import CycleError, TopologicalSorter
from operator import itemgetter
from typing import NamedTuple, TypeAlias


class Place(NamedTuple):
    """A part by its number, or one operation of it by the operation's number; None is the part as a whole."""

    part: str
    operation: int | None = None


Routes: TypeAlias = Mapping[str, Sequence[int]]
"""The numbers of each part's operations in working order."""
Needs: TypeAlias = Collection[tuple[Place, Place]]
"""Pairs: the first needs the second."""

Step: TypeAlias = tuple[str, int]
"""A step of a part: 0 is the part not begun, then its operations, and one step more is the part done."""


def find_circle(routes: Routes, needs: Needs) -> tuple[Place, ...]:
    """Return the places of a circle, each needing the next and the last the same as the first; empty where none is.

    Places that only lead through a route are left out.

    >>> boring, piston = Place("2", 20), Place("3")
    >>> find_circle({"2": [10, 20], "3": [10]}, [(piston, boring), (Place("2", 10), piston)])
    (Place(part='3', operation=None), Place(part='2', operation=20), Place(part='2', operation=10), \
Place(part='3', operation=None))
    """
    try:
        TopologicalSorter(step_graph(routes, needs)).prepare()
    except CycleError as error:
        return _places_round(routes, list(reversed(error.args[1]))[:-1])
    return ()


def missing(routes: Routes, needs: Needs, is_done: Callable[[Place], bool]) -> dict[Place, tuple[Place, ...]]:
    """Return what is not done of what each place needs, for those that are not done themselves and miss anything.

    Every operation misses what its part misses as well.

    >>> missing({"2": [10], "3": [10, 20]}, [(Place("3"), Place("2"))], lambda place: place.operation == 20)
    {Place(part='3', operation=None): (Place(part='2', operation=None),), \
Place(part='3', operation=10): (Place(part='2', operation=None),)}
    """
    wanted: defaultdict[Place, list[Place]] = defaultdict(list)
    for waiting, needed in needs:
        wanted[waiting].append(needed)
    found: dict[Place, tuple[Place, ...]] = {}
    for number in dict.fromkeys(waiting.part for waiting, _needed in needs):
        of_part = wanted.get(Place(number), [])
        for place in (Place(number), *(Place(number, operation) for operation in routes.get(number, ()))):
            all_wanted = dict.fromkeys([*of_part, *wanted.get(place, [])])
            not_done = tuple(one for one in all_wanted if not is_done(one))
            if not_done and not is_done(place):
                found[place] = not_done
    return found


def on_the_way(routes: Routes, needs: Needs, ends: Collection[Place]) -> set[Place]:
    """Return the operations that have to be done before the ends are done, those of the ends themselves included.

    >>> sorted(on_the_way({"1": [10], "2": [10, 20]}, [(Place("1"), Place("2", 10))], [Place("1")]))
    [Place(part='1', operation=10), Place(part='2', operation=10)]
    """
    seen = steps_to(routes, ends, step_graph(routes, needs, also=[end.part for end in ends]))
    return {place_of(routes, step) for step in seen if 0 < step[1] < _last(routes, step[0])}


def steps_to(routes: Routes, ends: Iterable[Place], graph: Mapping[Step, Iterable[Step]]) -> set[Step]:
    """Return the steps from which these ends can be reached, those of the ends among them."""
    seen: set[Step] = set()
    waiting = [last_step(routes, end) for end in ends]
    while waiting:
        step = waiting.pop()
        if step not in seen:
            seen.add(step)
            waiting += graph[step]
    return seen


def blocked_by(routes: Routes, needs: Needs, place: Place) -> tuple[Place, ...]:
    """Return where other parts are held until a place is done, directly or by a detour, the nearest first.

    A part that is held from its first operation on stands as a whole; else it is the first operation that is held.

    >>> blocked_by({"1": [10], "2": [10, 20], "3": [10]}, [(Place("2", 20), Place("1")), (Place("3"), Place("2"))],
    ...            Place("1"))
    (Place(part='2', operation=20), Place(part='3', operation=None))
    """
    after: defaultdict[Step, list[Step]] = defaultdict(list)
    for step, before in step_graph(routes, needs).items():
        for one in before:
            after[one].append(step)
    first = first_step(routes, place)
    seen, waiting = {first}, deque([first])
    earliest: dict[str, int] = {}
    while waiting:
        part, at = step = waiting.popleft()
        if part != place.part:
            earliest[part] = min(at, earliest.get(part, at))
        for one in after[step]:
            if one not in seen:
                seen.add(one)
                waiting.append(one)
    return tuple(place_of(routes, (part, at)) for part, at in earliest.items())


def comes_within(routes: Routes, place: Place, end: Place) -> bool:
    """Return whether an end is only reached through a place of the same part.

    >>> [comes_within({"2": [10, 20]}, Place("2", 20), end) for end in (Place("2", 10), Place("2", 20), Place("2"))]
    [False, True, True]
    """
    return place.part == end.part and first_step(routes, place)[1] <= last_step(routes, end)[1]


def heaviest_chain(
    routes: Routes, needs: Needs, weights: Mapping[Place, float], ends: Collection[Place], begin: str = ""
) -> tuple[Place, ...]:
    """Return the places, in working order, of the way through the needs to one of these ends that weighs the most.

    weights: of each operation, or of a part without a route, 0 or more; what weighs nothing is left out of the way.
    begin: a part that the way begins with. Empty where there is no such way. ValueError where the needs go in a circle.

    >>> weights = {Place("1", 10): 5.0, Place("2", 10): 3.0, Place("2", 20): 1.0, Place("3", 10): 2.0}
    >>> heaviest_chain({"1": [10], "2": [10, 20], "3": [10]}, [(Place("2", 20), Place("1"))], weights,
    ...                [Place("2"), Place("3")])
    (Place(part='1', operation=10), Place(part='2', operation=20))
    """
    graph = step_graph(routes, needs, also=[*(end.part for end in ends), *filter(None, [begin])])
    best: dict[Step, tuple[float, Step | None]] = {}
    try:
        for step in TopologicalSorter(graph).static_order():
            ways = [(best[before][0], before) for before in graph[step] if before in best]
            if ways or not begin or step == (begin, 0):
                so_far, before = max(ways, key=itemgetter(0), default=(0.0, None))
                best[step] = (so_far + _weight(routes, weights, step), before)
    except CycleError as error:
        raise ValueError("The needs go in a circle.") from error
    reached = [step for end in ends if (step := last_step(routes, end)) in best]
    last = max(reached, key=lambda end: best[end][0], default=None)
    way: list[Place] = []
    while last is not None:
        if _weight(routes, weights, last) > 0:
            way.append(place_of(routes, last))
        last = best[last][1]
    return tuple(reversed(way))


def step_graph(routes: Routes, needs: Needs, also: Iterable[str] = ()) -> dict[Step, list[Step]]:
    """Each step with those that come right before it, of the parts that the needs speak of and those in `also`."""
    parts = dict.fromkeys([*(place.part for pair in needs for place in pair), *also])
    graph: dict[Step, list[Step]] = {}
    for part in parts:
        for at in range(_last(routes, part) + 1):
            graph[part, at] = [(part, at - 1)] if at else []
    for waiting, needed in needs:
        graph[first_step(routes, waiting)].append(last_step(routes, needed))
    return graph


def _last(routes: Routes, part: str) -> int:
    return len(routes.get(part, ())) + 1


def first_step(routes: Routes, place: Place) -> Step:
    """Return the step with which a place is begun."""
    return (place.part, 0 if place.operation is None else 1 + routes[place.part].index(place.operation))


def last_step(routes: Routes, place: Place) -> Step:
    """Return the step with which a place is done."""
    return (place.part, _last(routes, place.part)) if place.operation is None else first_step(routes, place)


def place_of(routes: Routes, step: Step) -> Place:
    """Return the operation that a step is, or the part where it is none."""
    part, at = step
    return Place(part, routes[part][at - 1] if 0 < at < _last(routes, part) else None)


def _weight(routes: Routes, weights: Mapping[Place, float], step: Step) -> float:
    """What a step weighs: an operation its own, and of a part without a route its end stands for all of it."""
    part, at = step
    is_work = 0 < at < _last(routes, part) or (at and _last(routes, part) == 1)
    return weights.get(place_of(routes, step), 0.0) if is_work else 0.0


def _places_round(routes: Routes, circle: Sequence[Step]) -> tuple[Place, ...]:
    """The places of a circle where it goes from one part to another, closed; all of them where it leaves no part."""
    turns = [
        step
        for before, step, after in zip([circle[-1], *circle], circle, [*circle[1:], circle[0]], strict=False)
        if before[0] != step[0] or after[0] != step[0]
    ]
    places = [place_of(routes, step) for step in turns or circle]
    # It begins where one part needs another, so that the first pair of the sentence is a need that somebody wrote.
    start = next((at for at in range(-1, len(places) - 1) if places[at].part != places[at + 1].part), 0) % len(places)
    places = [*places[start:], *places[:start]]
    once = [place for at, place in enumerate(places) if at == 0 or place != places[at - 1]]
    return (*once, once[0]) if once[-1] != once[0] else tuple(once)
