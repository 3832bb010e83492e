"""Pictures that come from outside: which kinds are opened at all, how large they may be, how they are made small."""

import io
import struct
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import product
from threading import Lock
from typing import IO, TYPE_CHECKING

from django.core.exceptions import ValidationError

from calcs.messages import _

if TYPE_CHECKING:
    from PIL.Image import Image

LONGEST_SIDE = 1600
# Known by their content. Any other kind is left alone: for PostScript, Pillow would run a program on what was sent.
KINDS = ("JPEG", "PNG", "WEBP")
# No picture takes more than 200 MB while it is read (measured: 4 bytes a pixel for a PNG and up to 64 MB for its texts,
# 20 for a WebP). A JPEG is made smaller while it is read, unless its file holds it in several passes: then 2 a pixel
# and colour stand in memory until the last.
MOST_PIXELS = {"JPEG": 100_000_000, "PNG": 30_000_000, "WEBP": 9_000_000}
MOST_SAMPLES_IN_PASSES = 75_000_000
# How the files of the newer phones begin, behind their first eight bytes.
HEIC_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")
# Two at once would take twice the memory.
_one_at_a_time = Lock()


@contextmanager
def opened_picture(
    content: IO[bytes], *, kinds: tuple[str, ...] = KINDS, check: "Callable[[Image], None] | None" = None
) -> "Iterator[Image]":
    """A picture that is opened and not read yet; no other is until it is closed.

    check: asked before a pixel is read, in the place of our own limits. Raises ValidationError with a sentence for what
    is none, is damaged (inside the block as well) or is too large.
    """
    from PIL import Image

    # What Pillow raises on damaged files, besides its own errors.
    unreadable = (OSError, ValueError, TypeError, SyntaxError, LookupError, EOFError, struct.error)
    with _one_at_a_time:
        # Ours are the limits, and they are looked at before a pixel is read.
        Image.MAX_IMAGE_PIXELS = None
        try:
            with Image.open(content, formats=kinds) as picture:
                (check or _check_pixels)(picture)
                yield picture
        except unreadable as error:
            raise ValidationError({"image": _why_not(content)}) from error


def opened_piece(content: IO[bytes]) -> "Image":
    """Some strips of a TIFF that is open already, as a TIFF of their own."""
    from PIL import Image

    return Image.open(content, formats=("TIFF",))


def made_small(content: IO[bytes], longest: int = LONGEST_SIDE, quality: int = 85) -> bytes:
    """A picture as this program keeps them: upright, at most so many pixels long, a JPEG of nothing but the picture."""
    from PIL import ImageOps

    with opened_picture(content) as picture:
        small = _reduced(picture, longest)
        upright = ImageOps.exif_transpose(small)
        upright.thumbnail((longest, longest))
        out = io.BytesIO()
        upright.save(out, "JPEG", quality=quality, optimize=True, comment=b"")
    return out.getvalue()


def _reduced(picture: "Image", longest_side: int) -> "Image":
    """The picture read, its sides divided so that the longer is still long enough, without a whole copy of it."""
    from PIL import Image

    longest = max(picture.size)
    if longest > longest_side:
        fitted = [max(1, side * longest_side // longest) for side in picture.size]
        picture.draft(None, (fitted[0], fitted[1]))
    factor = max(1, max(picture.size) // longest_side)
    width, height = picture.size
    small = Image.new("RGB", (-(-width // factor), -(-height // factor)))
    step = factor * max(1, 1000 // factor)
    for left, top in product(range(0, width, step), range(0, height, step)):
        box = (left, top, min(left + step, width), min(top + step, height))
        small.paste(picture.crop(box).convert("RGB").reduce(factor), (left // factor, top // factor))
    # Which way is up stands there.
    small.info = picture.info
    return small


def _check_pixels(picture: "Image") -> None:
    pixels, most = picture.width * picture.height, _most_pixels(picture)
    if pixels > most:
        figures = {"pixels": round(pixels / 1e6), "most": most // 1_000_000}
        raise ValidationError(
            {
                "image": _(
                    "That picture has {pixels} million pixels, and one of its kind can be read up to {most} million. "
                    "Send a smaller one; a plain JPEG may have up to 100 million.",
                    **figures,
                )
            }
        )


def _most_pixels(picture: "Image") -> int:
    if picture.format in {"PNG", "WEBP"}:
        return MOST_PIXELS[picture.format]
    colours: int = picture.layers  # type: ignore[attr-defined]
    passes = not _in_one_pass(picture, colours)
    return MOST_SAMPLES_IN_PASSES // colours if passes else MOST_PIXELS["JPEG"]


def _in_one_pass(picture: "Image", colours: int) -> bool:
    """Whether a JPEG's file holds all colours of a place together: the head of the first pass says how many it has.

    Pillow has just read that head. With four colours a comment before it could look like another one.
    """
    if picture.format != "JPEG" or "progressive" in picture.info or colours > 3:
        return False
    head = struct.pack(">HHB", 0xFFDA, 6 + 2 * colours, colours)
    file: IO[bytes] = picture.fp  # type: ignore[attr-defined]
    file.seek(file.tell() - 2 - 6 - 2 * colours)
    return file.read(len(head)) == head


def _why_not(content: IO[bytes]) -> str:
    content.seek(0)
    head = content.read(12)
    if head[4:8] == b"ftyp" and head[8:12] in HEIC_BRANDS:
        return _("This is a HEIC picture, which the program cannot open. Set the phone's camera to JPEG.")
    return _("This file is not a picture the program can open: send a JPEG, PNG or WebP.")
