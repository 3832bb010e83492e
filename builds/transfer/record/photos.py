"""The photos and the drawings of a record file, which stand in it as base64."""

import base64
import binascii
import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import PurePosixPath

from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from builds.models import Drawing, Photo
from builds.services.plan.drawings import name_by_content
from builds.services.plan.pictures import LONGEST_SIDE, made_small, opened_picture
from builds.transfer.complaints import RecordError
from builds.transfer.record import schema
from builds.transfer.record.intake import Intake, made
from calcs.messages import _


def take_files(intake: Intake, record: schema.Record) -> None:
    """What comes last. Files that were written are deleted again where one of them cannot be kept."""
    written: list[str] = []
    try:
        _take_drawings(intake, record.sheets, written)
        _take_photos(intake, record.photos, written)
    except BaseException:
        for name in written:
            default_storage.delete(name)
        raise


def _take_photos(intake: Intake, rows: Sequence[schema.Photo], written: list[str]) -> None:
    for place, row in enumerate(rows):
        path = f"photos[{place}]"
        photo = intake.tied(Photo, path, row)
        name = PurePosixPath(row.name).stem or "photo"
        with _refused_at(f"{path}.content"):
            content = _decoded(row.content)
            kept = content if _as_we_keep_them(content) else made_small(io.BytesIO(content))
        photo.image.save(f"{name}.jpg", ContentFile(kept), save=False)
        written.append(str(photo.image.name))
        photo.save()


def _take_drawings(intake: Intake, rows: Sequence[schema.Sheet], written: list[str]) -> None:
    for place, sheet in enumerate(rows):
        for at, row in enumerate(sheet.drawings):
            path = f"sheets[{place}].drawings[{at}].content"
            drawing = made(Drawing, row, sheet=intake.registers["sheets"].at(path, sheet.number))
            with _refused_at(path):
                content = ContentFile(_decoded(row.content))
                name = name_by_content(content)
            drawing.file.save(name, content, save=False)
            written.append(str(drawing.file.name))
            drawing.save()


def _decoded(written: str) -> bytes:
    try:
        return base64.b64decode(written, validate=True)
    except (binascii.Error, ValueError) as error:
        raise ValidationError(_("This is not base64, so the picture cannot be restored.")) from error


@contextmanager
def _refused_at(path: str) -> Iterator[None]:
    """What is refused inside is said of a field of the file."""
    try:
        yield
    except ValidationError as error:
        raise RecordError(path, " ".join(error.messages)) from error


def _as_we_keep_them(content: bytes) -> bool:
    """Whether a picture is as this program keeps pictures: then it stays byte for byte, and is not squeezed again."""
    with opened_picture(io.BytesIO(content)) as picture:
        small = picture.format == "JPEG" and picture.mode == "RGB" and max(picture.size) <= LONGEST_SIDE
        if not small or picture.getexif() or "exif" in picture.info:
            return False
        picture.load()
        return True
