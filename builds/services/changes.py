"""The one door through which records change: a transaction, a revision, an event, and a history row each."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F

from builds.models import Build, Builder, Event
from builds.models.choices import EventType
from builds.models.history import Versioned, current_event
from builds.services.disk import stored
from builds.services.log.totals import renew_totals
from calcs.messages import _


class Stale(ValidationError):
    """Somebody else changed the record after the form was shown."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "Somebody else changed this after the page was opened. It now shows how things stand: "
                "look at it, and send it again if it is still right."
            )
        )


@contextmanager
def change(
    *,
    build: Build,
    by: Builder | None,
    type: EventType,  # noqa: A002
    details: dict[str, Any] | None = None,
    undoable: bool = True,
) -> Iterator[Event]:
    """Everything done inside is one event of the build, at one revision, or nothing at all.

    details: the figures and names that the type's sentence in `event_words` speaks of, such as {"name": "Piston ring"}.
    Sets `build.revision` to the new one. Raises whatever is raised inside, with nothing written, and NotStored where
    the disk takes nothing.
    """
    before = build.revision
    try:
        with stored():
            Build.objects.filter(pk=build.pk).update(revision=F("revision") + 1)
            build.revision = Build.objects.values_list("revision", flat=True).get(pk=build.pk)
            event = Event.objects.create(
                build=build, revision=build.revision, by=by, type=type, details=details or {}, undoable=undoable
            )
            mark = current_event.set(event.pk)
            try:
                yield event
            finally:
                current_event.reset(mark)
            renew_totals(build, event)
    except BaseException:
        # A forecast is kept by the revision: one that was never written must not be asked for.
        build.revision = before
        raise


def note(*, by: Builder | None, type: EventType, **details: Any) -> None:  # noqa: A002
    """Keep who did what to the shop as a whole. Call inside the transaction that does it, where it changes records."""
    Event.objects.create(by=by, type=type, details=details, undoable=False)


def write(record: models.Model, *, seen: int | None = None, exclude: set[str] | None = None) -> None:
    """Check a record against its own constraints and save it. Call inside `change`.

    seen: the version that the form showed; an older one than the record's raises `Stale`. None takes the record's own.
    Raises ValidationError with a sentence a field.
    """
    record.full_clean(exclude=exclude)
    if isinstance(record, Versioned) and record.pk is not None:
        shown = record.version if seen is None else seen
        kept: models.Manager[Any] = type(record)._default_manager
        if not kept.filter(pk=record.pk, version=shown).update(version=shown + 1):
            raise Stale
        record.version = shown + 1
    record.save()
