"""Taking an event back: every record goes back to what it was before, unless it has changed since."""

from typing import Any

from django.core.exceptions import ValidationError
from django.db import IntegrityError, models
from django.db.models import ProtectedError
from django.utils import timezone

from builds.models import KEPT_WITH_HISTORY, Builder, Entry, Event, Operation, Shop, Stock
from builds.models.choices import EventType
from builds.models.history import Versioned
from builds.services.changes import change, write
from builds.services.plan.needs import refuse_circle
from builds.services.plan.removal import take_out
from calcs.messages import _

# A number that no operation has.
OUT_OF_THE_WAY = 1_000_000_000


def undo(*, event: Event, by: Builder | None) -> Event:
    """Put back what an event changed, as an event of its own.

    Raises ValidationError where it was undone already, cannot be undone, or something it touched has changed since.
    """
    if not event.undoable or event.build is None:
        raise ValidationError(_("“{event}” cannot be undone.", event=event))
    if Event.objects.filter(undoes=event).exists():
        raise ValidationError(_("“{event}” has been undone already.", event=event))
    # Parts that a log brought with it stay: its entries, taken back, still speak of them.
    models_touched = [Entry] if event.type == EventType.IMPORT_LOG else KEPT_WITH_HISTORY
    spans = [span for model in models_touched for span in _spans(model, event)]
    if not spans:
        raise ValidationError(_("“{event}” left nothing to undo.", event=event))
    try:
        with change(build=event.build, by=by, type=EventType.UNDO) as undoing:
            for first, last in reversed(spans):
                if first.history_type == "+" and last.history_type != "-":
                    _take_back(_current(last))
            _step_aside(spans)
            for first, last in spans:
                if first.history_type != "+":
                    _put_back(first, last)
            refuse_circle(event.build)
            if any(last.instance_type is Stock for _first, last in spans):
                # The rack serves every build, whichever of them took from it.
                Shop.raise_revision()
            undoing.undoes = event
            undoing.save()
    except ProtectedError as error:
        raise ValidationError(
            _("“{event}” cannot be undone any more: something made since depends on it.", event=event)
        ) from error
    except IntegrityError as error:
        raise ValidationError(
            _("“{event}” cannot be undone any more: something made since is in its way.", event=event)
        ) from error
    except ValidationError as error:
        why = " ".join(error.messages)
        raise ValidationError(_("“{event}” cannot be undone any more. {why}", event=event, why=why)) from error
    return undoing


def _spans(model: Any, event: Event) -> list[tuple[Any, Any]]:
    """For each record of this model that the event touched: its first and its last history row of the event."""
    rows: dict[Any, list[Any]] = {}
    for row in model.history.filter(event_id=event.pk).order_by("history_id"):
        rows.setdefault(row.id, []).append(row)
    spans = [(some[0], some[-1]) for some in rows.values()]
    for _first, last in spans:
        newest = model.history.filter(id=last.id).order_by("-history_id").first()
        if newest.history_id != last.history_id:
            raise ValidationError(
                _("“{event}” cannot be undone: {record} has been changed since.", event=event, record=last.instance)
            )
    return spans


def _current(row: Any) -> Any:
    found = row.instance_type._default_manager.filter(pk=row.id).first()
    if found is None:
        raise ValidationError(_("{record} is no longer there.", record=row.instance))
    return found


def _take_back(record: Any) -> None:
    """Take away what the event added. An entry stays in the table, removed, so that the log loses nothing."""
    if isinstance(record, Entry):
        record.removed_at = timezone.now()
        write(record)
    else:
        take_out(record)


def _step_aside(spans: list[tuple[Any, Any]]) -> None:
    """Operations that changed places cannot change back one at a time: numbers are unique, so all make room first."""
    for place, (first, last) in enumerate(spans):
        if last.instance_type is Operation and first.history_type == last.history_type == "~":
            Operation.objects.filter(pk=last.id).update(number=OUT_OF_THE_WAY + place)


def _put_back(first: Any, last: Any) -> None:
    before = first if first.history_type == "-" else first.prev_record
    if before is None:
        raise ValidationError(_("What {record} was before is not known.", record=first.instance))
    record = before.instance
    if last.history_type != "-":
        now = _current(last)
        for field in _left_out(first):
            setattr(record, field, getattr(now, field))
        if isinstance(record, Versioned):
            record.version = now.version + 1
        # It stands in the table, so it is no rival of its own.
        record._state.adding = False
    _refuse_without_what_it_needs(record)
    record.full_clean()
    record.save()
    # By the time a deletion is written down, the sets have gone; the row before it still has them.
    held = before.prev_record if before.history_type == "-" else before
    for field in getattr(type(first), "_history_m2m_fields", ()):
        was = {getattr(row, f"{field.m2m_reverse_field_name()}_id") for row in getattr(held, field.name).all()}
        if field.related_model.objects.filter(pk__in=was).count() != len(was):
            raise ValidationError(_("Some of what belonged to {record} is no longer there.", record=record))
        getattr(record, field.name).set(was)


def _refuse_without_what_it_needs(record: models.Model) -> None:
    for field in record._meta.concrete_fields:
        key = getattr(record, field.attname)
        if isinstance(field, models.FileField) and key and not key.storage.exists(key.name):
            raise ValidationError(_("The file of {record} is no longer there.", record=record))
        if key is None or not isinstance(field, models.ForeignKey):
            continue
        if not field.related_model._default_manager.filter(pk=key).exists():
            raise ValidationError(
                _("The {field} of {record} is no longer there.", field=field.verbose_name, record=record)
            )


def _left_out(row: Any) -> list[str]:
    """Fields that the history does not keep, such as the revision, which only ever rises."""
    kept = {field.name for field in type(row)._meta.get_fields()}
    return [field.name for field in row.instance_type._meta.concrete_fields if field.name not in kept]
