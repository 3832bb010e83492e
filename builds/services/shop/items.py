"""Changes to what the shop has. It serves every build, so each raises the shop's own revision."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import ProtectedError

from builds.models import Builder, Machine, Material, Shop
from builds.models.choices import EventType
from builds.services.changes import note
from builds.services.disk import stored
from calcs.messages import ngettext


def keep(*, item: Machine | Material, by: Builder | None = None) -> Machine | Material:
    """Add or edit. Raises ValidationError with a sentence a field."""
    with stored():
        item.full_clean()
        done = EventType.EDIT if item.pk else EventType.ADD
        item.save()
        note(by=by, type=done, record=item._meta.model_name, name=item.name)
        Shop.raise_revision()
    return item


def remove(*, item: Machine | Material, by: Builder | None = None) -> None:
    """Raises ValidationError while a part or an operation uses it."""
    try:
        with transaction.atomic():
            item.delete()
            note(by=by, type=EventType.REMOVE, record=item._meta.model_name, name=item.name)
            Shop.raise_revision()
    except ProtectedError as error:
        raise ValidationError(
            ngettext(
                "{item} is used {n} time in the plans, so it stays.",
                "{item} is used {n} times in the plans, so it stays.",
                len(error.protected_objects),
                item=item,
            )
        ) from error
