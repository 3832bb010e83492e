"""Photos of a build, its parts and entries."""

from datetime import date, datetime, timedelta
from functools import partial
from typing import Any

from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile, File
from django.db import models, transaction
from django.utils import timezone

from builds.models import Build, Builder, Drawing, Entry, Event, Part, Photo
from builds.models.choices import EventType
from builds.services.changes import change
from builds.services.plan.pictures import made_small
from calcs.messages import _

LARGEST_UPLOAD = 20 * 1024 * 1024
# So long the file of a removed photo is kept (a judgement).
KEPT_DAYS = 30


def add_photo(
    *,
    build: Build,
    upload: "File[bytes]",
    by: Builder | None,
    part: Part | None = None,
    entry: Entry | None = None,
    caption: str = "",
    taken_on: date | None = None,
) -> Photo:
    """Keep a picture. Raises ValidationError for what is no picture, or is too large."""
    for field, shown in (("part", part), ("entry", entry)):
        if shown is not None and shown.build_id != build.pk:
            raise ValidationError({field: _("That one belongs to another build.")})
    if (upload.size or 0) > LARGEST_UPLOAD:
        raise ValidationError({"image": _("That picture is larger than 20 MB. Send a smaller one.")})
    content = made_small(upload)
    details = {"name": str(part or build)}
    with change(build=build, by=by, type=EventType.ADD_PHOTO, details=details, undoable=False):
        photo = Photo(build=build, part=part, entry=entry, caption=caption, taken_on=taken_on)
        # Before the file is written, so that a refusal leaves none behind.
        photo.full_clean(exclude={"image"})
        photo.image.save("photo.jpg", ContentFile(content), save=False)
        photo.save()
    return photo


def caption_photo(*, photo: Photo, caption: str, by: Builder | None) -> Photo:
    """Give a picture another caption. Raises ValidationError for one that is too long."""
    details = {"record": "photo", "name": str(photo)}
    with change(build=photo.build, by=by, type=EventType.EDIT, details=details):
        photo.caption = caption
        photo.full_clean(exclude={"image"})
        photo.save()
    return photo


def remove_photo(*, photo: Photo, by: Builder | None) -> Event:
    """Take a picture away. Its file is kept for `KEPT_DAYS`, in which undoing the event brings it back."""
    storage, days = photo.image.storage, timedelta(days=KEPT_DAYS)
    details = {"name": str(photo)}
    with change(build=photo.build, by=by, type=EventType.REMOVE_PHOTO, details=details) as event:
        photo.delete()
        for name in files_let_go(Photo, "image", timezone.now() - days):
            transaction.on_commit(partial(storage.delete, name))
    return event


def files_let_go(model: type[Photo | Drawing], field: str, before: datetime) -> set[str]:
    """The files of records that were removed before a moment, and that no record shows."""
    removed = model.history.filter(history_type="-", history_date__lt=before).values_list(field, flat=True)
    shown: models.Manager[Any] = model._default_manager
    return set(removed) - set(shown.filter(**{f"{field}__in": removed}).values_list(field, flat=True))
