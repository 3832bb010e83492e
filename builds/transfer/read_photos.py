"""From a record file: photos, which stand in it as base64."""

import base64
import binascii
import io
from pathlib import PurePosixPath

from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile

from builds.models import Photo
from builds.services.plan.photos import LARGEST_UPLOAD, LONGEST_SIDE, made_small
from builds.transfer.complaints import quoted
from builds.transfer.draft import Draft, PhotoDraft
from builds.transfer.fields import Fields


def read_photos(file: Fields, draft: Draft) -> None:
    for fields in file.rows("photos"):
        token = fields.raw("entry")
        if token is not None and (not isinstance(token, str) or token not in draft.entries):
            fields.refuse("entry", f"There is no entry with the token {quoted(token)} in this file.")
        photo = Photo(
            build=draft.build,
            part=draft.parts.find(fields, "part"),
            entry=None if token is None else draft.entries[token],
            caption=fields.of_model("caption", Photo),
            taken_on=fields.day("taken_on"),
        )
        name = PurePosixPath(fields.text("name", 200, default="photo")).stem or "photo"
        draft.photos.append(PhotoDraft(photo, f"{name}.jpg", _content(fields)))
        fields.done()


def _content(fields: Fields) -> bytes:
    written = fields.text("content", LARGEST_UPLOAD * 4 // 3 + 4, needed=True)
    try:
        content = base64.b64decode(written, validate=True)
    except (binascii.Error, ValueError):
        fields.refuse("content", "This is not base64, so the picture cannot be restored.")
    try:
        return content if _as_we_keep_them(content) else made_small(SimpleUploadedFile("photo", content))
    except ValidationError as error:
        fields.refuse("content", " ".join(error.messages))


def _as_we_keep_them(content: bytes) -> bool:
    """Whether a picture is as this program keeps pictures: then it stays byte for byte, and is not squeezed again."""
    from PIL import Image

    try:
        with Image.open(io.BytesIO(content)) as picture:
            picture.load()
            plain = not picture.getexif() and "exif" not in picture.info
            return picture.format == "JPEG" and picture.mode == "RGB" and max(picture.size) <= LONGEST_SIDE and plain
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return False
