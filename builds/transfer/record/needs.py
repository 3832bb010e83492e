"""What comes before what in a record file: tied once all parts and routes are known, and never in a circle."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from builds.models import Need, Operation, Part
from builds.models.need import named, place_of
from builds.services.plan.needs import circle_in_words
from builds.transfer.complaints import RecordError
from builds.transfer.record import schema
from builds.transfer.record.references import Register
from calcs.messages import _
from calcs.parts.needs import Place, find_circle

Taken = Sequence[tuple[str, schema.Part, Part]]
Routes = Mapping[Part | None, Register[Operation]]


def tied_needs(taken: Taken, parts: Register[Part], routes: Routes) -> list[Need]:
    """The needs of all parts, not saved yet. Raises RecordError with the path of what leads nowhere or in a circle.

    taken: each part with its path and its row of the file.
    """
    found: dict[str, Need] = {}
    said: set[tuple[Place, Place]] = set()
    for path, row, part, operation in _rows(taken, routes):
        needed_part = parts.at(f"{path}.part", row.needed_part)
        at, asked = f"{path}.operation", row.needed_operation
        needed_operation = None if asked is None else routes[needed_part].at(at, asked)
        need = Need(part=part, operation=operation, needed_part=needed_part, needed_operation=needed_operation)
        if needed_part is part:
            raise RecordError(f"{path}.part", _("The order within a part is that of its route. Name another part."))
        if (need.waiting, need.needed) in said:
            raise RecordError(path, _("That is said already."))
        said.add((need.waiting, need.needed))
        found[path] = need
    _refuse_circle(found, taken, routes)
    return list(found.values())


def _rows(taken: Taken, routes: Routes) -> Iterator[tuple[str, schema.Need, Part, Operation | None]]:
    """Each need with its path and what waits."""
    for path, row, part in taken:
        for place, need in enumerate(row.needs):
            yield f"{path}.needs[{place}]", need, part, None
        for step, (of_step, operation) in enumerate(zip(row.operations, routes[part].by_key.values(), strict=True)):
            for place, need in enumerate(of_step.needs):
                yield f"{path}.operations[{step}].needs[{place}]", need, part, operation


def _refuse_circle(found: Mapping[str, Need], taken: Taken, routes: Routes) -> None:
    parts = [part for _path, _row, part in taken]
    numbers = {part.number: sorted(map(int, routes[part].by_key)) for part in parts}
    circle = find_circle(numbers, [(need.waiting, need.needed) for need in found.values()])
    if circle:
        steps = [(part, step) for part in parts for step in (None, *routes[part].by_key.values())]
        names = {place_of(part, step): named(part, step) for part, step in steps}
        turns = set(pairwise(circle))
        path = next(path for path, need in reversed(found.items()) if (need.waiting, need.needed) in turns)
        raise RecordError(path, circle_in_words([names[place] for place in circle]))
