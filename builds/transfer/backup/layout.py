"""What stands where in a backup: one zip that this program puts back, and that can be read without it."""

import hashlib
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import IO

DATABASE = "swarfbook.sqlite3"
MANIFEST = "manifest.json"
READ_ME = "READ-ME.txt"
PHOTO_LIST = "photos.csv"
PHOTOS, DRAWINGS, RECORDS, LOGS = "photos", "drawings", "records", "logs"
FORMAT, VERSION = "swarfbook-backup", 1
A_PIECE = 2**20

# A backup of the version before has no more than the database and the photos.
_SINGLE = {DATABASE, MANIFEST, READ_ME, PHOTO_LIST}
_BY_BUILD = re.compile(rf"{RECORDS}/[-\w]+\.json|{LOGS}/[-\w]+\.csv")


class BackupError(ValueError):
    """A backup cannot be made or is not right. The message is a sentence."""


@dataclass(frozen=True)
class Content:
    """What a file holds: its bytes by number and by digest (SHA-256)."""

    size: int
    sha256: str


def belongs(name: str) -> bool:
    """Whether a file of this name may stand in a backup."""
    kept = is_photo(name) or is_drawing(name)
    return name in _SINGLE or bool(_BY_BUILD.fullmatch(name)) or (kept and _stays_inside(name))


def is_photo(name: str) -> bool:
    return name.startswith(f"{PHOTOS}/")


def is_drawing(name: str) -> bool:
    return name.startswith(f"{DRAWINGS}/")


def _stays_inside(name: str) -> bool:
    return ".." not in PurePosixPath(name).parts and not set(name) & set("\\:\0")


def in_pieces(file: IO[bytes]) -> Iterator[bytes]:
    while piece := file.read(A_PIECE):
        yield piece


def copied(pieces: Iterable[bytes], target: IO[bytes] | None) -> Content:
    """Write all pieces (nowhere, where there is no target) and say what they came to."""
    size, digest = 0, hashlib.sha256()
    for piece in pieces:
        size += len(piece)
        digest.update(piece)
        if target is not None:
            target.write(piece)
    return Content(size, digest.hexdigest())
