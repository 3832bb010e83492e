"""Changes to what the shop has. It serves every build, so each raises the shop's own revision."""

import json
from typing import Any, TypeVar

from django.core.exceptions import ValidationError
from django.core.serializers import deserialize, serialize
from django.db import models
from django.db.models import ProtectedError

from builds.models import Build, Builder, Instrument, Machine, Material, Offer, Shop, Stock
from builds.models.choices import EventType
from builds.services.changes import note
from builds.services.disk import stored
from calcs.messages import ngettext

Item = TypeVar("Item", Machine, Material, Stock, Offer, Instrument)


def keep(*, item: Item, by: Builder | None = None) -> Item:
    """Add or edit. Raises ValidationError with a sentence a field."""
    with stored():
        item.full_clean()
        done = EventType.EDIT if item.pk else EventType.ADD
        item.save()
        note(by=by, type=done, record=item._meta.model_name, name=str(item))
        Shop.raise_revision()
    return item


def remove(*, item: Item, by: Builder | None = None) -> str:
    """What puts it back (`put_back`). Raises ValidationError while something uses it."""
    builds = _builds_of(item)
    named_by = [] if builds is None else sorted(builds.values_list("pk", flat=True))
    kept = json.dumps([serialize("json", [item]), named_by])
    try:
        with stored():
            item.delete()
            note(by=by, type=EventType.REMOVE, record=item._meta.model_name, name=str(item))
            Shop.raise_revision()
    except ProtectedError as error:
        raise ValidationError(
            ngettext(
                "{item} is used {n} time by other records, so it stays.",
                "{item} is used {n} times by other records, so it stays.",
                len(error.protected_objects),
                item=item,
            )
        ) from error
    return kept


def put_back(*, kept: str, by: Builder | None = None) -> Machine | Material | Stock | Offer | Instrument:
    """Put back what was removed, for the builds that named it. Raises ValidationError where its name is taken since."""
    text, builds = json.loads(kept)
    [found] = deserialize("json", text)
    item: Any = found.object
    item.pk = None
    with stored():
        item.full_clean()
        item.save()
        note(by=by, type=EventType.ADD, record=item._meta.model_name, name=str(item))
        if (named := _builds_of(item)) is not None:
            named.set(Build.objects.filter(pk__in=builds))
        Shop.raise_revision()
    kept_again: Machine | Material | Stock | Offer | Instrument = item
    return kept_again


def _builds_of(item: models.Model) -> Any:
    """The builds that name a machine or a material; None for what no build names."""
    return getattr(item, "builds", None)
