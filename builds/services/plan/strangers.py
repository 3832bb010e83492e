"""What a record of the plan points at: it belongs to the same build, and stands in no circle."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q

from builds.models import Assembly, Batch, Build, Part, Size
from calcs.messages import _


def refuse_strangers(record: models.Model, build: Build) -> None:
    """What a record points at must belong to the same build; an assembly cannot end up inside itself.

    Raises ValidationError with a sentence a field.
    """
    if isinstance(record, Part):
        for field in ("assembly", "sheet"):
            other = getattr(record, field)
            if other is not None and other.build_id != build.pk:
                raise ValidationError({field: _("That one belongs to another build.")})
    if isinstance(record, Batch) and record.pk is not None and record.entries.exclude(part=record.part).exists():
        message = _("This batch stands in the log with another part, so it stays with that one.")
        raise ValidationError({"part": message})
    if isinstance(record, Batch | Size) and record.pk is not None and _measured_elsewhere(record):
        raise ValidationError({"part": _("Pieces of another part were measured for it, so it stays with that one.")})
    if isinstance(record, Assembly):
        above, seen = record.parent, {record.pk}
        while above is not None:
            if above.build_id != build.pk:
                raise ValidationError({"parent": _("That assembly belongs to another build.")})
            if above.pk in seen:
                message = _("An assembly cannot stand inside itself, nor inside one that it holds.")
                raise ValidationError({"parent": message})
            seen.add(above.pk)
            above = above.parent


def _measured_elsewhere(record: Batch | Size) -> bool:
    """Whether a batch, or a size measured at batches or after operations, would part from what was measured at it."""
    if isinstance(record, Batch):
        return record.measurements.exclude(size__part=record.part).exists()
    of_others = Q(batch__isnull=False) & ~Q(batch__part=record.part)
    after_others = Q(operation__isnull=False) & ~Q(operation__part=record.part)
    return record.measurements.filter(of_others | after_others).exists()
