"""A part made again: a second flywheel, a mirrored hand. Its route alone, too, for a part that is there already."""

import re
from collections.abc import Iterable
from datetime import date
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models

from builds.models import Builder, Event, Operation, Part, Size
from builds.models.choices import EventType
from builds.services.changes import change, write
from builds.services.plan.needs import copy_needs, let_part_be_needed
from builds.services.plan.records import joined_on
from builds.services.plan.removal import take_out
from builds.services.plan.split import make_room, replace_making, rough_making
from calcs.messages import _

# What was planned of a part and of a step, and nothing of what happened to them since.
OF_PART = (
    "assembly", "sheet", "quantity", "spares", "material", "role", "blank", "finished_mass_grams", "blank_cost",
    "supplier", "for_visitors", "note",
)  # fmt: skip
OF_SIZE = ("name", "full_size", "made", "reason")
OF_OPERATION = (
    "number", "kind", "title", "machine", "setup_minutes", "basis", "amount", "minutes_per_unit", "origin",
    "unattended_share", "slip_costs_time", "note", "worked",
)  # fmt: skip
LETTERS = "BCDEFGHIJKLMNOPQRSTUVWXYZ"


def free_number_beside(part: Part) -> str:
    """A number for a copy that no part of the build has: 14B beside 14, 14C beside that one."""
    taken = set(Part.objects.filter(build=part.build).values_list("number", flat=True))
    stem = re.sub(r"(?<=\d)[A-Z]$", "", part.number)
    lettered = (f"{stem}{letter}" for letter in LETTERS)
    numbered = (f"{part.number}-{count}" for count in range(2, len(taken) + 3))
    length = Part._meta.get_field("number").max_length or 0
    return next((one for one in (*lettered, *numbered) if one not in taken and len(one) <= length), "")


def copy_part(*, part: Part, number: str, name: str, by: Builder | None, today: date) -> tuple[Part, Event]:
    """Plan a part once more, with its sizes, its route and what that needs first, right behind it.

    What was logged and counted stays with the part, and so does what needs it.

    Raises ValidationError with a sentence a field, as where the number is taken.
    """
    # The same place: of two parts there, the one that came later stands behind.
    copy = Part(build=part.build, number=number, name=name, position=part.position, **_values(part, OF_PART))
    joined = joined_on(part.build, today)
    details = {"part": str(part), "copy": str(copy)}
    with change(build=part.build, by=by, type=EventType.COPY_PART, details=details) as event:
        write(copy)
        for size in part.sizes.all():
            write(Size(part=copy, **_values(size, OF_SIZE)))
        steps = {one.pk: Operation(part=copy, added_on=joined, **_values(one, OF_OPERATION)) for one in _route(part)}
        for operation in steps.values():
            write(operation)
        copy_needs(part=part, to=copy, steps=steps, whole=True)
    return copy, event


def copy_route(*, part: Part, to: Part, by: Builder | None, today: date) -> Event:
    """Give a part the route of another in the place of its own, or of the rough "making" that it began with.

    Raises ValidationError with a sentence where work stands in the log that the old route would be wanted for.
    """
    route, before = _route(part), list(to.operations.order_by("number"))
    if not route:
        raise ValidationError(_("{part} has no route yet, so there is nothing to copy.", part=part))
    joined = before[0].added_on if before else joined_on(to.build, today)
    details = {"part": str(part), "to": str(to)}
    with change(build=to.build, by=by, type=EventType.COPY_ROUTE, details=details) as event:
        _clear(to, before)
        stays = to.operations.exists()
        steps = {one.pk: Operation(part=to, added_on=joined, **_values(one, OF_OPERATION)) for one in route}
        for operation in steps.values():
            if stays:
                make_room(operation)
            write(operation)
        copy_needs(part=part, to=to, steps=steps, whole=False)
    return event


def _clear(to: Part, route: list[Operation]) -> None:
    making = rough_making(to)
    if making is not None:
        replace_making(making)
        return
    if any(one.entries.exists() for one in route):
        raise ValidationError(_("Work is logged on the route of {part}, so that one stays as it is.", part=to))
    for one in route:
        let_part_be_needed(one)
        take_out(one)


def _route(part: Part) -> list[Operation]:
    """The operations that plan anything, in order."""
    return [one for one in part.operations.order_by("number") if not one.kept_for_its_log]


def _values(record: models.Model, names: Iterable[str]) -> dict[str, Any]:
    return {name: getattr(record, name) for name in names}
