"""Changes to what the shop has. It serves every build, so each raises the shop's own revision."""

import json

from django.core.exceptions import ValidationError
from django.core.serializers import serialize
from django.core.serializers.json import DjangoJSONEncoder
from django.db.models import ProtectedError, QuerySet

from builds.models import Build, Builder, Machine, Material, Shop
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


def remove(*, item: Machine | Material, by: Builder | None = None) -> str:
    """What puts it back (`put_back`). Raises ValidationError while a part or an operation uses it."""
    fields, builds = serialize("python", [item])[0]["fields"], _builds_of(item).values_list("pk", flat=True)
    kept = json.dumps([fields, sorted(builds)], cls=DjangoJSONEncoder)
    try:
        with stored():
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
    return kept


def put_back(*, model: type[Machine | Material], kept: str, by: Builder | None = None) -> Machine | Material:
    """Put back what was removed, for the builds that named it. Raises ValidationError where its name is taken since."""
    fields, builds = json.loads(kept)
    item = model(**fields)
    with stored():
        item.full_clean()
        item.save()
        note(by=by, type=EventType.ADD, record=item._meta.model_name, name=item.name)
        for build in Build.objects.filter(pk__in=builds):
            getattr(build, _called(item)).add(item)
        Shop.raise_revision()
    return item


def _called(item: Machine | Material) -> str:
    """What a build calls those of its kind that it names."""
    return "machines" if isinstance(item, Machine) else "materials"


def _builds_of(item: Machine | Material) -> QuerySet[Build]:
    return Build.objects.filter(**{_called(item): item})
