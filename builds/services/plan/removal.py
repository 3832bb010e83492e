"""Deleting a record of the plan so that undoing it brings back what pointed at it as well."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q

from builds.models import Assembly, Batch, Clock, Operation, Part, Sheet
from builds.services.changes import write
from calcs.messages import _, gettext_noop


def take_out(record: models.Model) -> None:
    """Delete a record. Call inside `change`.

    What would let go of it unseen lets go first, with a history row of its own. Raises ValidationError where the log
    or a running clock leans on the record, ProtectedError where other records do.
    """
    if isinstance(record, Part | Operation | Batch):
        _refuse_where_logged(record)
    if isinstance(record, Part | Operation):
        _refuse_while_clocked(record)
    if isinstance(record, Batch):
        _refuse_where_measured(record)
    if isinstance(record, Part):
        for photo in record.photos.all():
            photo.part = None
            photo.save()
        for milestone in record.milestones.all():
            milestone.parts.remove(record)
        for operation in record.operations.filter(milestones__isnull=False).distinct():
            _let_go_of(operation)
    if isinstance(record, Operation):
        _let_go_of(record)
        for measurement in record.measurements.all():
            measurement.operation = None
            write(measurement)
    if isinstance(record, Assembly):
        for milestone in record.milestones.all():
            milestone.assemblies.remove(record)
    if isinstance(record, Sheet):
        for part in record.parts.all():
            part.sheet = None
            write(part)
    record.delete()


def _let_go_of(operation: Operation) -> None:
    for milestone in operation.milestones.all():
        milestone.operations.remove(operation)


def _refuse_where_logged(record: Part | Operation | Batch) -> None:
    if record.entries.kept().exists():
        message = gettext_noop(
            "{record} stands in the log, so it stays. Remove those entries first, or leave it as it is."
        )
        raise ValidationError(_(message, record=record))
    if record.entries.exists():
        message = gettext_noop(
            "{record} stands in removed entries of the log. They can still be brought back, so it stays."
        )
        raise ValidationError(_(message, record=record))


def _refuse_where_measured(batch: Batch) -> None:
    """Its pieces are numbered within it: without it, nobody could tell them from those of another."""
    if batch.measurements.exists():
        message = gettext_noop("Pieces of {record} were measured, so it stays. Remove those figures first.")
        raise ValidationError(_(message, record=batch))


def _refuse_while_clocked(record: Part | Operation) -> None:
    running = Clock.objects.filter(Q(part=record) if isinstance(record, Part) else Q(operation=record))
    clock = running.select_related("builder").first()
    if clock is not None:
        message = gettext_noop("The clock of {builder} is running on {record}. It has to be stopped first.")
        raise ValidationError(_(message, builder=clock.builder, record=record))
