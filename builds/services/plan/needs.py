"""What comes before what: never in a circle, and kept where a part's work is split."""

from collections.abc import Mapping
from itertools import pairwise

from django.core.exceptions import ValidationError

from builds.models import Build, Need, Operation, Part
from builds.models.need import named
from builds.services.changes import write
from calcs.messages import _
from calcs.parts.needs import Place, find_circle


def refuse_circle(build: Build) -> None:
    """Raise ValidationError with the circle named where, after a change, something comes before itself.

    Call inside `change`. One query where nothing is said about what comes first, else three.
    """
    needs = list(Need.objects.filter(part__build=build).select_related(*_ENDS))
    if not needs:
        return
    parts = Part.objects.filter(build=build).in_bulk()
    steps: dict[Place, str] = {Place(part.number): str(part) for part in parts.values()}
    routes: dict[str, list[int]] = {}
    for operation in Operation.objects.filter(part__build=build).order_by("number"):
        part = parts[operation.part_id]
        routes.setdefault(part.number, []).append(operation.number)
        steps[Place(part.number, operation.number)] = named(part, operation)
    circle = find_circle(routes, [(need.waiting, need.needed) for need in needs])
    if circle:
        raise ValidationError(circle_in_words([steps[place] for place in circle]))


_ENDS = ("part", "operation", "needed_part", "needed_operation")


def circle_in_words(places: list[str]) -> str:
    """places: each needs the next, and the last is the first again."""
    said = [_("{waiting} needs {needed}", waiting=waiting, needed=needed) for waiting, needed in pairwise(places)]
    return _("That goes in a circle, so none of it could ever be begun: {circle}.", circle="; ".join(said))


def copy_needs(*, part: Part, to: Part, steps: Mapping[int, Operation], whole: bool) -> None:
    """Let a copy need first what the part needs; nothing needs the copy. Inside `change`.

    steps: the copy's operations by the keys of those they were copied from. whole: what the part as a whole needs too,
    and not only its steps. Raises ValidationError where that would be a circle.
    """
    for need in part.needs.select_related(*_ENDS).order_by("pk"):
        operation = None if need.operation is None else steps.get(need.operation.pk)
        copied = whole if need.operation is None else operation is not None
        if copied and need.needed_part != to:
            end = {"needed_part": need.needed_part, "needed_operation": need.needed_operation}
            write(Need(part=to, operation=operation, **end))
    refuse_circle(to.build)


def hand_needs_to_part(making: Operation) -> None:
    """Let what was said of a rough "making" be said of its part, whose whole work it stood for. Inside `change`."""
    for need in making.needs.all():
        _say_of_part(need, "operation")
    let_part_be_needed(making)


def let_part_be_needed(operation: Operation) -> None:
    """Let what needs an operation that is about to go need its part as a whole. Inside `change`."""
    for need in operation.needed_by.all():
        _say_of_part(need, "needed_operation")


def _say_of_part(need: Need, end: str) -> None:
    said = {"part": need.part, "operation": need.operation, "needed_part": need.needed_part}
    said |= {"needed_operation": need.needed_operation, end: None}
    if Need.objects.filter(**said).exclude(pk=need.pk).exists():
        need.delete()
    else:
        setattr(need, end, None)
        write(need)
