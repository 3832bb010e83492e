"""Photos: turned upright, made small enough to keep, stripped of what a phone writes into them."""

import io
from datetime import date

from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.core.files.uploadedfile import UploadedFile

from builds.models import Build, Builder, Entry, Part, Photo
from builds.services.changes import change

LONGEST_SIDE = 1600
LARGEST_UPLOAD = 20 * 1024 * 1024


def add_photo(
    *,
    build: Build,
    upload: UploadedFile,
    by: Builder | None,
    part: Part | None = None,
    entry: Entry | None = None,
    caption: str = "",
    taken_on: date | None = None,
) -> Photo:
    """Keep a picture. Raises ValidationError for what is no picture, or is too large."""
    content = made_small(upload)
    with change(build=build, by=by, said=f"added a photo of {part or build}", undoable=False):
        photo = Photo(build=build, part=part, entry=entry, caption=caption, taken_on=taken_on)
        photo.image.save("photo.jpg", ContentFile(content), save=False)
        photo.full_clean(exclude={"image"})
        photo.save()
    return photo


def remove_photo(*, photo: Photo, by: Builder | None) -> None:
    with change(build=photo.build, by=by, said=f"removed the photo {photo}", undoable=False):
        photo.delete()


def made_small(upload: UploadedFile) -> bytes:
    from PIL import Image, ImageOps, UnidentifiedImageError

    if (upload.size or 0) > LARGEST_UPLOAD:
        raise ValidationError({"image": "That picture is larger than 20 MB. Send a smaller one."})
    try:
        with Image.open(upload) as picture:
            upright = ImageOps.exif_transpose(picture).convert("RGB")
            upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
            out = io.BytesIO()
            upright.save(out, "JPEG", quality=85, optimize=True)
    except (UnidentifiedImageError, OSError, ValueError, Image.DecompressionBombError) as error:
        raise ValidationError({"image": "That is not a picture that can be read: send a JPEG, PNG or WebP."}) from error
    return out.getvalue()
