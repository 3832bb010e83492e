"""Scans of the drawing sheets: taken in as files, and the pictures of their pages."""

import hashlib
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from datetime import timedelta
from functools import partial
from pathlib import Path, PurePosixPath
from typing import IO

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.files.base import File
from django.db import transaction
from django.utils import timezone

from builds.models import Builder, Drawing, Event, Sheet
from builds.models.choices import DrawingState
from builds.services.plan import records
from builds.services.plan.page_pictures import MOST_PAGES, SIZES, picture_of
from builds.services.plan.photos import KEPT_DAYS, files_let_go
from calcs.messages import _, gettext_noop

LARGEST_FILE = 60 * 2**20
# Known by how their files begin.
BEGINNINGS = {
    b"%PDF-": "pdf", b"\x89PNG\r\n\x1a\n": "png", b"\xff\xd8\xff": "jpg", b"II*\0": "tif", b"MM\0*": "tif",
}  # fmt: skip
REFUSALS = {
    "password": gettext_noop("The file has a password. Save it without one, and put that here."),
    "damaged": gettext_noop("The file is damaged, or is not what it looks like, so none of its pages can be drawn."),
    "pages": gettext_noop("The file has more than {pages} pages. Put the sheets that you need here, one by one."),
    "pixels": gettext_noop(
        "The scan has more dots than can be read at once. Save it at 300 dpi, or black and white as a TIFF (group 4)."
    ),
    "memory": gettext_noop(
        "One of the pages takes more memory than a drawing may. Save it at 300 dpi or less, in grey, and put that here."
    ),
    "time": gettext_noop("The pages take longer than a quarter of an hour to draw. Put the sheets here one by one."),
}
# How a process ends that a file drove beyond its memory, or through a fault of the reader.
ENDED_BY_MEMORY = {"SIGABRT", "SIGSEGV", "SIGTRAP", "SIGILL", "SIGBUS"}


def add_drawing(
    *, sheet: Sheet, upload: "File[bytes]", by: Builder | None, revision: str = "", in_book: bool = False
) -> Drawing:
    """Keep a scan of a sheet; the pictures of its pages are made later (`make_pictures`).

    Raises ValidationError for what is no PDF, PNG, JPEG or TIFF by its content, or is larger than 60 MB.
    """
    if (upload.size or 0) > LARGEST_FILE:
        raise ValidationError({"file": _("That file is larger than 60 MB. Put the sheets here one by one.")})
    named = name_by_content(upload)
    called = PurePosixPath((upload.name or "").replace("\\", "/")).name[-120:]
    drawing = Drawing(sheet=sheet, revision=revision, name=called, in_book=in_book, added_by=by)
    drawing.file = File(upload.file, name=named)
    records.save(record=drawing, by=by)
    return drawing


def name_by_content(content: "File[bytes] | IO[bytes]") -> str:
    """What a drawing's file is called: by what is in it, so that pictures made of it are never another's."""
    content.seek(0)
    head = content.read(16)
    ending = next((ending for beginning, ending in BEGINNINGS.items() if head.startswith(beginning)), None)
    if ending is None:
        raise ValidationError(
            {"file": _("This file is not a drawing the program can open: send a PDF, PNG, JPEG or TIFF.")}
        )
    content.seek(0)
    digest = hashlib.file_digest(content, "sha256").hexdigest()  # type: ignore[arg-type]
    content.seek(0)
    return f"{digest[:24]}.{ending}"


def remove_drawing(*, drawing: Drawing, by: Builder | None) -> Event:
    """Take a scan away. Its file is kept for `KEPT_DAYS`, in which undoing the event brings it back."""
    storage = drawing.file.storage
    with transaction.atomic():
        event = records.remove(record=drawing, by=by)
        for name in files_let_go(Drawing, "file", timezone.now() - timedelta(days=KEPT_DAYS)):
            transaction.on_commit(partial(storage.delete, name))
            transaction.on_commit(partial(shutil.rmtree, folder_for(name), ignore_errors=True))
    return event


def folder_for(name: str) -> Path:
    """Where the pictures of a drawing's file are; they can be made again at any time."""
    return Path(settings.DATA_DIR) / "sheets" / PurePosixPath(name).stem


def page_picture(drawing: Drawing, page: int, size: str) -> Path | None:
    """The picture of a page; None where it is not made yet."""
    return picture_of(folder_for(str(drawing.file.name)), page, size)


def pages_made(drawing: Drawing) -> list[int]:
    """The pages whose pictures are there."""
    small = list(SIZES)[-1]
    return [page for page in range(1, drawing.pages + 1) if page_picture(drawing, page, small)]


def refusal_of(drawing: Drawing) -> str:
    """Why a drawing cannot be shown, as a sentence."""
    return _(REFUSALS.get(drawing.refusal, REFUSALS["damaged"]), pages=MOST_PAGES) if drawing.refusal else ""


def make_pictures(key: int) -> Iterator[None]:
    """Make the pictures of a drawing that are not there yet, a step for each page."""
    drawing = Drawing.objects.filter(pk=key).first()
    if drawing is None:
        return
    kept = Drawing.objects.filter(pk=key)
    if not drawing.file.storage.exists(str(drawing.file.name)):
        kept.update(state=DrawingState.REFUSED, refusal="damaged")
        return
    folder = folder_for(str(drawing.file.name))
    folder.mkdir(parents=True, exist_ok=True)
    refusal, pages = "", 0
    for said, figure in _said_by_maker(Path(drawing.file.path), folder):
        if said == "pages":
            pages = int(figure)
            kept.update(pages=pages)
        refusal = figure if said == "refused" else refusal
        yield
    kept.update(state=DrawingState.REFUSED if refusal else DrawingState.READY, refusal=refusal)


def _said_by_maker(file: Path, folder: Path) -> Iterator[tuple[str, str]]:
    """The lines of the process that makes the pictures, which ends with whoever asks for them."""
    command = [sys.executable, "-m", "builds.services.plan.page_pictures", str(file), str(folder)]
    with subprocess.Popen(  # noqa: S603
        command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, cwd=settings.BASE_DIR
    ) as process:
        try:
            for line in process.stdout or ():
                said, _space, figure = line.strip().partition(" ")
                yield said, figure
            ended = process.wait()
        finally:
            process.kill()
    if ended:
        yield "refused", _why_ended(ended)


def _why_ended(code: int) -> str:
    """Raises RuntimeError where something else than the file ended the process, so that it is begun again."""
    name = signal.Signals(-code).name if code < 0 else ""
    if name == "SIGXCPU":
        return "time"
    if name in ENDED_BY_MEMORY:
        return "memory"
    raise RuntimeError(f"The pictures of a drawing were not made: the process ended with {code}.")
