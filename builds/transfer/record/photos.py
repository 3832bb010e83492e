"""The photos of a record file, which stand in it as base64."""

import base64
import binascii
import io
from collections.abc import Sequence
from pathlib import PurePosixPath

from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from builds.models import Photo
from builds.services.plan.pictures import LONGEST_SIDE, made_small, opened_picture
from builds.transfer.complaints import RecordError
from builds.transfer.record import schema
from builds.transfer.record.intake import Intake
from calcs.messages import _


def take_photos(intake: Intake, rows: Sequence[schema.Photo]) -> None:
    """The last section. Files that were written are deleted again where one of the pictures cannot be kept."""
    written: list[str] = []
    try:
        for place, row in enumerate(rows):
            path = f"photos[{place}]"
            photo = intake.tied(Photo, path, row)
            name = PurePosixPath(row.name).stem or "photo"
            photo.image.save(f"{name}.jpg", ContentFile(_content(f"{path}.content", row.content)), save=False)
            written.append(str(photo.image.name))
            photo.save()
    except BaseException:
        for name in written:
            default_storage.delete(name)
        raise


def _content(path: str, written: str) -> bytes:
    try:
        content = base64.b64decode(written, validate=True)
        return content if _as_we_keep_them(content) else made_small(io.BytesIO(content))
    except ValidationError as error:
        raise RecordError(path, " ".join(error.messages)) from error
    except (binascii.Error, ValueError) as error:
        raise RecordError(path, _("This is not base64, so the picture cannot be restored.")) from error


def _as_we_keep_them(content: bytes) -> bool:
    """Whether a picture is as this program keeps pictures: then it stays byte for byte, and is not squeezed again."""
    with opened_picture(io.BytesIO(content)) as picture:
        small = picture.format == "JPEG" and picture.mode == "RGB" and max(picture.size) <= LONGEST_SIDE
        if not small or picture.getexif() or "exif" in picture.info:
            return False
        picture.load()
        return True
