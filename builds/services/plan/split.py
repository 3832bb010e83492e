"""Splitting a part: the first detailed operation beside the rough "making" that the part began with."""

from builds.models import Clock, Operation, Part
from builds.services.changes import write
from builds.services.plan.needs import hand_needs_to_part
from builds.services.plan.removal import take_out


def rough_making(part: Part) -> Operation | None:
    """The rough "making" that stands for all of the part's work; None where the route has anything more detailed."""
    route = list(part.operations.all())
    alone = len(route) == 1 and route[0].rough_making and not route[0].kept_for_its_log
    return route[0] if alone else None


def replace_making(making: Operation) -> None:
    """Take the "making" out of the route, or let it plan nothing more where the log leans on it. Inside `change`.

    Zero, not "no figure yet": for an unknown time one would be borrowed. A milestone that named it needs the part.
    """
    hand_needs_to_part(making)
    for milestone in making.milestones.all():
        milestone.operations.remove(making)
        milestone.parts.add(making.part)
    if making.entries.exists() or Clock.objects.filter(operation=making).exists():
        making.minutes_per_unit, making.setup_minutes = 0.0, 0.0
        write(making)
    else:
        take_out(making)


def make_room(operation: Operation) -> None:
    """Put a new operation at the end of its route, but before a "making" whose pieces are counted. Inside `change`.

    Those pieces are through the whole route, so whatever joins it comes before them.
    """
    last = operation.part.operations.order_by("-number").first()
    if last is None or not (last.kept_for_its_log and last.entries.kept().filter(good__gt=0).exists()):
        operation.number = (last.number if last else 0) + 10
        return
    operation.number, last.number = last.number, last.number + 10
    write(last)
