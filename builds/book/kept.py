"""The books that were made, kept as files beside the other results, and the one on its way.

A file's name says what it was made from. It is safe to delete at any time.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from django.conf import settings
from django.core.cache import cache
from django.utils.translation import get_language, override

from builds.models import Build
from builds.queries.background import background
from builds.queries.forecast.replay import Progress

# So long after its last step a book still counts as on its way for another process of the server. Seconds.
STILL_ON_ITS_WAY = 60
_NAME = re.compile(r"r(?P<revision>\d+)\.(?P<day>\d{4}-\d\d-\d\d)\.pdf")


@dataclass(frozen=True)
class KeptBook:
    """A book that was made. `bytes` is the size of its file."""

    file: Path
    revision: int
    made_on: date
    bytes: int


def kept_book(build: Build, size: str) -> KeptBook | None:
    """The newest book of a build on this paper, in the language spoken."""
    found = [book for file in _folder().glob(f"{_begins(build, size)}.*.pdf") if (book := _read(build, size, file))]
    return max(found, key=lambda book: (book.revision, book.made_on), default=None)


def _read(build: Build, size: str, file: Path) -> KeptBook | None:
    named = _NAME.fullmatch(file.name.removeprefix(f"{_begins(build, size)}."))
    try:
        number = file.stat().st_size
    except OSError:
        return None
    return named and KeptBook(file, int(named["revision"]), date.fromisoformat(named["day"]), number)


def ask_for_book(build: Build, today: date, size: str) -> None:
    """Have a book made in the background. Asking again while it is on its way changes nothing."""
    language = get_language()

    def job() -> Iterator[object]:
        with override(language):
            yield from _steps(build, today, size)

    background.ask(_key(build, size), job)


def book_progress(build: Build, size: str) -> Progress | None:
    """How far the book on its way is; None where none is."""
    kept: tuple[int, int] | None = cache.get(_key(build, size))
    if kept is not None:
        return Progress(*kept)
    return Progress(0, 1) if background.has(_key(build, size)) else None


def went_wrong(build: Build, size: str) -> bool:
    """Whether a book could not be made a moment ago, for a reason that stands in the server's log."""
    return background.went_wrong(_key(build, size))


def _steps(build: Build, today: date, size: str) -> Iterator[Progress]:
    # Not at the top: what makes books loads Matplotlib, and an ordinary page does without.
    from builds.book.make import make_book

    # The build may have been changed since it was asked for.
    build = Build.objects.get(pk=build.pk)
    folder, key = _folder(), _key(build, size)
    folder.mkdir(0o700, parents=True, exist_ok=True)
    before = kept_book(build, size)
    made = folder / f"{_begins(build, size)}.r{build.revision}.{today.isoformat()}.pdf"
    try:
        for step in make_book(build, today, size, made):
            cache.set(key, (step.done, step.wanted), STILL_ON_ITS_WAY)
            yield step
    finally:
        cache.delete(key)
    made.chmod(0o600)
    if before is not None and before.file != made:
        before.file.unlink(missing_ok=True)


def _folder() -> Path:
    return Path(settings.DATA_DIR) / "kept" / "books"


def _begins(build: Build, size: str) -> str:
    return f"{build.uid}.{size}.{get_language()}"


def _key(build: Build, size: str) -> str:
    return f"book:{_begins(build, size)}"
