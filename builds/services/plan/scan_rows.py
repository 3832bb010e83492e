"""The rows of a scanned page, some at a time: an A1 sheet at 600 dots an inch has 280 million pixels."""

import io
from typing import IO, TYPE_CHECKING, Protocol

from builds.services.plan.pictures import opened_piece

if TYPE_CHECKING:
    from PIL.Image import Image

# What a picture may take once it is read as a whole, and a band of rows of one that is read in bands.
MOST_BYTES = 130_000_000
A_BAND = 24_000_000
STRIP_OFFSETS, ROWS_PER_STRIP, STRIP_LENGTHS = 273, 278, 279
WIDTH, HEIGHT, BITS, COMPRESSION, TURNED, PLANES = 256, 257, 258, 259, 274, 284
# What a strip needs beside it in order to be read by itself.
OF_A_STRIP = (256, 258, 259, 262, 266, 277, 284, 292, 293, 317, 320, 338, 339, 347, 530, 532)


class TooLarge(Exception):
    """The picture takes more memory than it may."""


class Rows(Protocol):
    """size: as they are read. mode: L, or RGB. at_once: so many rows of the finished picture are wanted at a time.

    turned: which way is up in them, as Exif says it.
    """

    size: tuple[int, int]
    mode: str
    at_once: int
    turned: int

    def between(self, first: int, last: int) -> "Image": ...


class AllRows:
    """Those of a picture that has to be read as a whole. A JPEG is made smaller while it is read."""

    at_once = 250

    def __init__(self, picture: "Image", longest: int) -> None:
        if picture.format == "JPEG" and max(picture.size) > longest:
            picture.draft(None, (longest, longest))
        _refuse_above(picture.size, picture.mode, MOST_BYTES)
        self._picture, self.size, self.mode = picture, picture.size, _shown_mode(picture.mode)
        self.turned = picture.getexif().get(TURNED, 1)

    def between(self, first: int, last: int) -> "Image":
        return _shown(self._picture.crop((0, first, self.size[0], last)))


class TiffRows:
    """Those of a page of a TIFF, whose file holds it in strips that can be read by themselves."""

    at_once = 100

    def __init__(self, picture: "Image", content: IO[bytes]) -> None:
        self._tags = picture.tag_v2  # type: ignore[attr-defined]
        self.mode = _shown_mode(picture.mode)
        self._content = content
        in_strips = STRIP_OFFSETS in self._tags and self._tags.get(PLANES, 1) == 1
        self._picture = None if is_large(picture) and in_strips else picture
        # Read as a whole, Pillow has turned it already, and says its size so.
        self.size = picture.size if self._picture else (self._tags[WIDTH], self._tags[HEIGHT])
        self.turned = 1 if self._picture else self._tags.get(TURNED, 1)
        self._high = max(1, min(self._tags.get(ROWS_PER_STRIP, self.size[1]), self.size[1])) if in_strips else 1
        self._offsets, self._lengths = self._tags.get(STRIP_OFFSETS, ()), self._tags.get(STRIP_LENGTHS, ())
        if self._tags.get(COMPRESSION, 1) == 1 and len(self._offsets) == 1:
            self._cut_up()
        _refuse_above((self.size[0], self.size[1] if self._picture else self._high), picture.mode, MOST_BYTES)

    def _cut_up(self) -> None:
        """One strip that is not packed can be read from any row on."""
        row = -(-self.size[0] * sum(self._tags.get(BITS, (1,))) // 8)
        self._high, (start,) = 1, self._offsets
        self._offsets = tuple(start + row * number for number in range(self.size[1]))
        self._lengths = (row,) * self.size[1]

    def between(self, first: int, last: int) -> "Image":
        if self._picture is not None:
            return _shown(self._picture.crop((0, first, self.size[0], last)))
        strips = range(first // self._high, -(-last // self._high))
        top = strips.start * self._high
        with self._read(strips, min(strips.stop * self._high, self.size[1]) - top) as read:
            return _shown(read.crop((0, first - top, self.size[0], last - top)))

    def _read(self, strips: range, high: int) -> "Image":
        """Some strips as a picture of their own."""
        from PIL import TiffImagePlugin

        head = TiffImagePlugin.ImageFileDirectory_v2(prefix=self._tags.prefix)
        for tag in OF_A_STRIP:
            if tag in self._tags:
                head.tagtype[tag] = self._tags.tagtype[tag]
                head[tag] = self._tags[tag]
        head[HEIGHT], head[ROWS_PER_STRIP] = high, self._high
        long = 4
        head.tagtype[STRIP_OFFSETS] = head.tagtype[STRIP_LENGTHS] = long
        taken = [self._lengths[strip] for strip in strips]
        head[STRIP_LENGTHS] = tuple(taken)
        head[STRIP_OFFSETS] = tuple(sum(taken[:place]) for place in range(len(taken)))
        out = io.BytesIO()
        head.save(out)
        for strip, length in zip(strips, taken, strict=True):
            self._content.seek(self._offsets[strip])
            out.write(self._content.read(length))
        out.seek(0)
        return opened_piece(out)


def is_large(picture: "Image") -> bool:
    """Whether a picture is read in bands where it can be."""
    return picture.width * picture.height * _bytes_of(picture.mode) > A_BAND


def _refuse_above(size: tuple[int, int], mode: str, most: int) -> None:
    if size[0] * size[1] * _bytes_of(mode) > most:
        raise TooLarge


def _bytes_of(mode: str) -> int:
    return {"1": 1, "L": 1, "P": 1, "I;16": 2, "I;16B": 2, "LA": 4}.get(mode, 4)


def _shown_mode(mode: str) -> str:
    return "L" if mode in ("1", "L", "I;16", "I;16B") else "RGB"


def _shown(picture: "Image") -> "Image":
    if picture.mode.startswith("I;16"):
        picture = picture.convert("I").point(lambda value: value / 256)
    return picture.convert(_shown_mode(picture.mode) if picture.mode != "I" else "L")
