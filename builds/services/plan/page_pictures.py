"""Pictures of a drawing's pages. Run as a process of its own, which no file can take beyond its memory or its time.

`python -m builds.services.plan.page_pictures FILE FOLDER` says in lines how far it has come: `pages 3`, `page 1` and so
on, or `refused` and why, by its key in `services.plan.drawings.REFUSALS`. Pages that are in the folder already stay.
Nothing of a file is run: of a PDF the pages are drawn, and a script in it is as dead as its forms and its links.
"""

import io
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from django.core.exceptions import ValidationError

from builds.services.plan.fax_page import as_pdf, is_one_piece
from builds.services.plan.pictures import opened_picture
from builds.services.plan.scan_rows import TURNED, AllRows, Rows, TiffRows, TooLarge, is_large

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_PAGES = 60
# The longest side in pixels by the name of the size, from large to small: the last one says that a page is done.
# An A1 sheet has 150 dots an inch in the largest; a smaller sheet of a PDF never more than 300 (judgements).
SIZES = {"full": 5000, "middle": 1600, "small": 320}
FINEST = 300 / 72
KINDS = ("JPEG", "PNG", "TIFF")
# What the process may take, the program itself included (60 MB). What wants more ends it.
MOST_BYTES = 290 * 2**20
MOST_SECONDS = 15 * 60
# A picture inside a page that takes more is left out by the reader, without a word (tried: 120 are shown, 209 not).
MOST_BYTES_INSIDE = 120_000_000
# Of the picture, by which its kind of file is chosen, in pixels.
A_PIECE = 800
# Colours this near to grey are the paper's and the scanner's.
GREYISH = 24


class RefusedFile(Exception):
    """The file cannot be shown; its argument is the key of the reason."""


class NotWritten(Exception):
    """The disk takes no picture, which says nothing of the file: it is tried again later."""


def make_pages(file: Path, folder: Path) -> Iterator[str]:
    """Make what is missing, and say how far it has come. Raises RefusedFile."""
    with file.open("rb") as content:
        is_pdf = content.read(5) == b"%PDF-"
    yield from _make_pdf(file, folder) if is_pdf else _make_scan(file, folder)


def _make_pdf(file: Path, folder: Path) -> Iterator[str]:
    import pypdfium2

    with _pdf_refusals(), pypdfium2.PdfDocument(file) as document:
        for number in _pages_to_make(len(document), folder):
            yield f"pages {len(document)}" if number is None else f"page {number}"
            if number is not None:
                page = document[number - 1]
                _write(_drawn(page), folder, number)
                page.close()


@contextmanager
def _pdf_refusals() -> Iterator[None]:
    import pypdfium2

    try:
        yield
    except pypdfium2.PdfiumError as error:
        locked = getattr(error, "err_code", None) == pypdfium2.raw.FPDF_ERR_PASSWORD
        raise RefusedFile("password" if locked else "damaged") from error


def _drawn(page: Any) -> "Image":
    """The page at the largest size, in grey where it is grey."""
    width, height = page.get_size()
    longest = max(width, height)
    if longest <= 0:
        raise RefusedFile("damaged")
    _refuse_large_inside(page)
    glance = page.render(scale=SIZES["small"] / longest).to_pil()
    scale = min(FINEST, SIZES["full"] / longest)
    picture: Image = page.render(scale=scale, grayscale=_grey(glance)).to_pil()
    return picture


def _refuse_large_inside(page: Any) -> None:
    from pypdfium2 import raw

    for image in page.get_objects(filter=[raw.FPDF_PAGEOBJ_IMAGE]):
        wide, high = image.get_px_size()
        if wide * high * image.get_metadata().bits_per_pixel // 8 > MOST_BYTES_INSIDE:
            raise RefusedFile("memory")


def _make_scan(file: Path, folder: Path) -> Iterator[str]:
    with file.open("rb") as content:
        try:
            with opened_picture(content, kinds=KINDS, check=lambda _picture: None) as picture:
                frames = getattr(picture, "n_frames", 1)
                for number in _pages_to_make(frames, folder):
                    yield f"pages {frames}" if number is None else f"page {number}"
                    if number is not None:
                        picture.seek(number - 1)
                        _write(_reduced(picture, content), folder, number)
        except ValidationError as error:
            raise RefusedFile("damaged") from error
        except TooLarge as error:
            raise RefusedFile("pixels") from error


def _reduced(picture: "Image", content: IO[bytes]) -> "Image":
    """A scan at the largest size, upright, read a few rows at a time where its file allows it."""
    from PIL import Image

    if picture.format == "TIFF" and is_large(picture) and is_one_piece(tags := picture.tag_v2):  # type: ignore[attr-defined]
        content.seek(tags[273][0])
        return _upright(_drawn_from_fax(as_pdf(tags, content.read(tags[279][0]))), tags.get(TURNED, 1))
    rows: Rows = TiffRows(picture, content) if picture.format == "TIFF" else AllRows(picture, SIZES["full"])
    wide, high = rows.size
    scale = min(1.0, SIZES["full"] / max(wide, high))
    width, height = max(1, round(wide * scale)), max(1, round(high * scale))
    small = Image.new(rows.mode, (width, height))
    for top in range(0, height, rows.at_once):
        bottom = min(height, top + rows.at_once)
        first, last = top * high / height, bottom * high / height
        band = rows.between(int(first), min(high, -int(-last // 1)))
        box = (0, first - int(first), wide, min(last - int(first), band.height))
        small.paste(band.resize((width, bottom - top), Image.Resampling.BOX, box=box), (0, top))
    return _upright(small, rows.turned)


def _upright(picture: "Image", turned: int) -> "Image":
    from PIL import ImageOps

    picture.getexif()[TURNED] = turned
    return ImageOps.exif_transpose(picture)


def _drawn_from_fax(pdf: bytes) -> "Image":
    import pypdfium2

    with _pdf_refusals(), pypdfium2.PdfDocument(pdf) as document:
        return _drawn(document[0])


def _pages_to_make(pages: int, folder: Path) -> Iterator[int | None]:
    """None, where the number of pages is to be told, and then each page that has no pictures yet."""
    if not 1 <= pages <= MOST_PAGES:
        raise RefusedFile("pages" if pages else "damaged")
    yield None
    for number in range(1, pages + 1):
        if not picture_of(folder, number, "small"):
            yield number


def picture_of(folder: Path, page: int, size: str) -> Path | None:
    """The file of a page's picture; None where it is not made yet."""
    return next((file for ending in ("png", "jpg") if (file := folder / f"{page}-{size}.{ending}").is_file()), None)


def _grey(picture: "Image") -> bool:
    if picture.mode in ("1", "L"):
        return True
    bands = picture.convert("YCbCr").getextrema()[1:]
    return all(abs(int(end) - 128) <= GREYISH for band in bands for end in band)  # type: ignore[union-attr]


def _write(picture: "Image", folder: Path, page: int) -> None:
    glance = picture.copy() if max(picture.size) <= SIZES["small"] else picture.reduce(max(picture.size) // 320)
    picture = picture.convert("L" if _grey(glance) else "RGB")
    ending = _ending(picture)
    for size, longest in SIZES.items():
        picture.thumbnail((longest, longest))
        _save(picture, folder / f"{page}-{size}", ending)


def _save(picture: "Image", stem: Path, ending: str) -> None:
    # Another process may make the same one at the same time.
    half = stem.with_suffix(f".{os.getpid()}.part")
    try:
        picture.save(half, {"png": "PNG", "jpg": "JPEG"}[ending], quality=85)
        half.replace(stem.with_suffix(f".{ending}"))
    except OSError as error:
        raise NotWritten from error


def _ending(picture: "Image") -> str:
    """A PNG keeps lines sharp; a JPEG is smaller for a grainy scan or a photograph, as a piece of the middle tells."""
    left, top = (max(0, side - A_PIECE) // 2 for side in picture.size)
    piece = picture.crop((left, top, min(left + A_PIECE, picture.width), min(top + A_PIECE, picture.height)))
    as_png, as_jpeg = io.BytesIO(), io.BytesIO()
    piece.save(as_png, "PNG")
    piece.save(as_jpeg, "JPEG", quality=85)
    return "png" if as_png.tell() <= as_jpeg.tell() else "jpg"


def _hold_within_limits() -> None:
    """Where the system can: what a file wants beyond these ends this process, and nothing else."""
    try:
        import resource
    except ImportError:
        return
    os.nice(10)
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_SECONDS, MOST_SECONDS))
    resource.setrlimit(resource.RLIMIT_DATA, (MOST_BYTES, MOST_BYTES))


def main(file: str, folder: str) -> None:
    _hold_within_limits()
    try:
        for line in make_pages(Path(file), Path(folder)):
            print(line, flush=True)
    except RefusedFile as refused:
        print(f"refused {refused}", flush=True)
    except MemoryError:
        print("refused memory", flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
