"""Changes to what the shop has. It serves every build, so it belongs to no build's revision."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import ProtectedError

from builds.models import Machine, Material


def keep(*, item: Machine | Material) -> Machine | Material:
    """Add or edit. Raises ValidationError with a sentence a field."""
    with transaction.atomic():
        item.full_clean()
        item.save()
    return item


def remove(*, item: Machine | Material) -> None:
    """Raises ValidationError while a part or an operation uses it."""
    try:
        with transaction.atomic():
            item.delete()
    except ProtectedError as error:
        using = len(error.protected_objects)
        raise ValidationError(
            f"{item} is used {using} time{'s' if using > 1 else ''} in the plans, so it stays."
        ) from error
