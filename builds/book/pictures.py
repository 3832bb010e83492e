"""Photos as they stand in a book: small enough for print, with their captions; and what stands for one that is gone."""

from django.core.exceptions import ValidationError

from builds.models import Drawing, Photo
from builds.services.plan.drawings import page_picture
from builds.services.plan.pictures import made_small
from builds.templatetags.figures import day
from calcs.messages import _

LONGEST = 1000
"""Pixels: 300 to an inch in a column of half a page, a little less for a tall one."""
QUALITY = 80


def picture_of(photo: Photo) -> bytes | str:
    """A photo as a JPEG, or a sentence where its file is not there or cannot be read."""
    try:
        with photo.image.open("rb") as file:
            return made_small(file, LONGEST, QUALITY)
    except ValidationError:
        return _("The file of this photo cannot be read: {file}", file=photo.image.name)
    except OSError:
        return _("The file of this photo is missing: {file}", file=photo.image.name)


def scan_of(drawing: Drawing, page: int) -> bytes | str:
    """A page of a scanned sheet, or a sentence where its picture is not there."""
    path = page_picture(drawing, page, "middle")
    try:
        return path.read_bytes() if path is not None else _("The picture of this page is not made yet.")
    except OSError:
        return _("The picture of this page cannot be read.")


def caption_of(photo: Photo) -> str:
    """What is said of a photo, and when it was taken."""
    return ", ".join(filter(None, (photo.caption, day(photo.taken_on))))
