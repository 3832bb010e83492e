"""Changes to the plan: builds, assemblies, sheets, parts, operations, batches, closures, milestones."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import date
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Max, Min, ProtectedError
from django.utils.text import slugify

from builds.models import (
    Assembly,
    Batch,
    Build,
    Builder,
    Closure,
    Drawing,
    Event,
    Exhibit,
    Measurement,
    Milestone,
    Need,
    Operation,
    Part,
    Remark,
    Sheet,
    Size,
)
from builds.models.choices import EventType, Kind, Origin
from builds.services.changes import change, write
from builds.services.disk import stored
from builds.services.plan.needs import refuse_circle
from builds.services.plan.removal import take_out
from builds.services.plan.split import make_room, replace_making
from builds.services.plan.strangers import refuse_strangers
from builds.services.shop.rack import take_blanks
from calcs.messages import _, ngettext

# So long after the first entry the plan counts as still being written down (a judgement).
PLANNING_DAYS = 60

Planned = (
    Size
    | Assembly
    | Sheet
    | Drawing
    | Remark
    | Part
    | Operation
    | Need
    | Batch
    | Closure
    | Milestone
    | Exhibit
    | Measurement
)


def build_of(record: Planned) -> Build:
    """The build that a record of the plan belongs to."""
    if isinstance(record, Operation | Need | Batch | Size):
        return record.part.build
    if isinstance(record, Drawing | Remark):
        return record.sheet.build
    if isinstance(record, Measurement):
        return record.size.part.build
    return record.build


def free_slug(name: str) -> str:
    """A slug for a build of this name that no other build has."""
    stem = slugify(name)[:50] or "build"
    taken = set(Build.objects.filter(slug__startswith=stem).values_list("slug", flat=True))
    return next(s for s in (stem, *(f"{stem}-{n}" for n in range(2, len(taken) + 3))) if s not in taken)


def add_build(*, build: Build, by: Builder | None) -> Build:
    """Begin a build. Raises ValidationError with a sentence a field."""
    build.slug = build.slug or free_slug(build.name)
    with stored():
        build.full_clean()
        build.save()
        details = {"name": build.name}
        with change(build=build, by=by, type=EventType.BEGIN_BUILD, details=details, undoable=False):
            pass
    return build


def edit_build(*, build: Build, by: Builder | None, seen: int | None = None) -> Build:
    with change(build=build, by=by, type=EventType.EDIT_BUILD):
        write(build, seen=seen)
    return build


@contextmanager
def _saving(record: Planned, by: Builder | None, seen: int | None = None) -> Iterator[None]:
    """Add or edit a record of the plan, with whatever is done inside, as one event."""
    build, adding = build_of(record), record.pk is None
    refuse_strangers(record, build)
    with change(build=build, by=by, type=EventType.ADD if adding else EventType.EDIT, details=_named(record)):
        if adding and isinstance(record, Assembly | Part | Milestone):
            record.position = _next_position(record)
        write(record, seen=seen)
        if isinstance(record, Operation | Need):
            refuse_circle(build)
        yield


def save(*, record: Planned, by: Builder | None, seen: int | None = None) -> Planned:
    """Add or edit one record of the plan. Raises ValidationError, or Stale where it was changed meanwhile."""
    with _saving(record, by, seen):
        return record


def start_batch(*, batch: Batch, from_rack: bool, by: Builder | None) -> Batch:
    """Start a batch. from_rack: its blanks are taken off the rack, in the same event."""
    with _saving(batch, by):
        if from_rack:
            take_blanks(batch)
    return batch


def save_milestone(
    *,
    milestone: Milestone,
    parts: Iterable[Part],
    assemblies: Iterable[Assembly],
    operations: Iterable[Operation] = (),
    by: Builder | None,
) -> Milestone:
    """A milestone together with what it needs."""
    needed: dict[str, list[Part] | list[Assembly] | list[Operation]] = {
        "parts": list(parts),
        "assemblies": list(assemblies),
        "operations": list(operations),
    }
    for field, records in needed.items():
        if any(build_of(record).pk != milestone.build_id for record in records):
            raise ValidationError({field: _("One of them belongs to another build.")})
    with _saving(milestone, by):
        for field, records in needed.items():
            getattr(milestone, field).set(records)
    return milestone


def remove(*, record: Planned, by: Builder | None) -> Event:
    """Take a record out of the plan; undoing the event that is returned brings it back.

    Raises ValidationError where the log or other records still lean on it.
    """
    build = build_of(record)
    try:
        with change(build=build, by=by, type=EventType.REMOVE, details=_named(record)) as event:
            take_out(record)
    except ProtectedError as error:
        message = ngettext(
            "{record} is still used by {n} other record of this build. Move or remove those first.",
            "{record} is still used by {n} other records of this build. Move or remove those first.",
            len(error.protected_objects),
            record=record,
        )
        raise ValidationError(message) from error
    return event


def add_part(*, part: Part, rough_minutes: float | None, by: Builder | None, today: date) -> Part:
    """Add a part with the one operation that every part starts from: "making", with a rough figure or none yet."""
    joined = joined_on(part.build, today)
    first = {"number": 10, "kind": Kind.MAKING, "minutes_per_unit": rough_minutes, "origin": Origin.ROUGH}
    with _saving(part, by):
        write(Operation(part=part, added_on=joined, **first))
    return part


def joined_on(build: Build, today: date) -> date | None:
    """When something added today joins the plan; None while the plan is still being written down.

    Most builders log a few evenings before they type in the rest of the drawings. What comes in the first weeks of the
    log is the plan's beginning, not its growth, and must not be taken for it by the forecast.
    """
    begun = build.entries.kept().aggregate(first=Min("worked_on"))["first"]
    return today if begun is not None and (today - begun).days >= PLANNING_DAYS else None


def add_operation(
    *, operation: Operation, by: Builder | None, today: date, instead_of: Operation | None = None
) -> Operation:
    """Put an operation at the end of the route, ten after the last, unless it has a number of its own.

    instead_of: a rough "making" whose place it takes. What was logged on that stays.
    """
    part = operation.part
    operation.added_on = joined_on(part.build, today)
    with change(build=part.build, by=by, type=EventType.ADD_OPERATION) as event:
        if instead_of is not None:
            # What takes the place of a planned figure is no growth of the plan.
            operation.added_on = instead_of.added_on
            event.details["instead_of"] = str(instead_of)
            replace_making(instead_of)
        if not operation.number:
            make_room(operation)
        write(operation)
        event.details |= _step(operation)
        event.save()
    return operation


def keep_worked(
    *,
    operation: Operation,
    inputs: dict[str, str],
    minutes: float,
    figures: dict[str, object],
    by: Builder | None,
    today: date,
    seen: int | None = None,
) -> Operation:
    """Keep a time that was worked out, with what it stands on, so that it can be defended and done again.

    minutes: for one unit of the operation's basis. Raises ValidationError, or Stale.
    """
    operation.minutes_per_unit = minutes
    operation.origin = Origin.WORKED_OUT
    operation.worked = {
        "inputs": inputs,
        "minutes": minutes,
        "figures": figures,
        "on": today.isoformat(),
    }
    with change(build=operation.part.build, by=by, type=EventType.WORK_OUT, details=_step(operation)):
        write(operation, seen=seen)
    return operation


def move_operation(*, operation: Operation, earlier: bool, by: Builder | None) -> None:
    """Let an operation change places with its neighbour in the route. At the end of the route it does nothing.

    Raises ValidationError where something would then come before itself.
    """
    route = list(operation.part.operations.order_by("number"))
    here = next(i for i, o in enumerate(route) if o.pk == operation.pk)
    there = here - 1 if earlier else here + 1
    if not 0 <= there < len(route):
        return
    first, second = route[here], route[there]
    with change(build=operation.part.build, by=by, type=EventType.MOVE_OPERATION, details=_step(operation)):
        # Numbers are unique in a route, so one of the two steps aside first.
        aside = max(o.number for o in route) + 10
        numbers = first.number, second.number
        Operation.objects.filter(pk=first.pk).update(number=aside)
        second.number = numbers[0]
        write(second)
        first.number = numbers[1]
        write(first)
        refuse_circle(operation.part.build)


def next_batch_number(part_pk: str) -> int:
    """The number that the next batch of a part would have; 1 for a part that is not known."""
    if not part_pk.isdecimal() or len(part_pk) > 18:
        return 1
    return (Batch.objects.filter(part_id=int(part_pk)).aggregate(last=Max("number"))["last"] or 0) + 1


def _named(record: Planned) -> dict[str, Any]:
    """What an event says of a record of the plan."""
    return {"record": record._meta.model_name, "name": str(record)}


def _step(operation: Operation) -> dict[str, Any]:
    return {"operation": str(operation), "part": str(operation.part)}


def _next_position(record: Assembly | Part | Milestone) -> int:
    kept: models.Manager[models.Model] = type(record)._default_manager
    last = kept.filter(build=record.build).aggregate(last=Max("position"))["last"]
    return 0 if last is None else last + 1
