"""Photos of a build, its parts and entries."""

from datetime import date

from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile, File
from django.db import transaction

from builds.models import Build, Builder, Entry, Part, Photo
from builds.models.choices import EventType
from builds.services.changes import change
from builds.services.plan.pictures import made_small
from calcs.messages import _

LARGEST_UPLOAD = 20 * 1024 * 1024


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


def remove_photo(*, photo: Photo, by: Builder | None) -> None:
    """Take a picture away for good, its file as well."""
    storage, name = photo.image.storage, photo.image.name or ""
    details = {"name": str(photo)}
    with change(build=photo.build, by=by, type=EventType.REMOVE_PHOTO, details=details, undoable=False):
        photo.delete()
        transaction.on_commit(lambda: storage.delete(name))
