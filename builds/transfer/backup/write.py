"""One zip of everything, as it stands at one moment, verified after it was written."""

import json
import os
import sqlite3
import tempfile
import zipfile
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import asdict
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import DatabaseError, connection

from builds.models import Drawing, Photo
from builds.services.disk import why_not_stored
from builds.services.search_index import drop_index
from builds.transfer.backup.layout import (
    DATABASE,
    FORMAT,
    MANIFEST,
    PHOTOS,
    READ_ME,
    VERSION,
    BackupError,
    Content,
    copied,
    in_pieces,
)
from builds.transfer.backup.unpack import unpack
from calcs.messages import _


def database_file() -> Path:
    """The SQLite file. Raises BackupError where the records are kept in PostgreSQL."""
    if connection.vendor != "sqlite":
        raise BackupError(_("The records are kept in PostgreSQL (DATABASE_URL). Use pg_dump and pg_restore for them."))
    return Path(str(connection.settings_dict["NAME"]))


def back_up(folder: Path) -> Path:
    """Write a backup into a folder, which is made where it is missing. Raises BackupError with a sentence."""
    if not database_file().is_file():
        raise BackupError(_("There is nothing to back up yet."))
    target = folder / f"swarfbook-{datetime.now().astimezone():%Y%m%d-%H%M%S-%f}.zip"
    half = target.with_suffix(".part")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _write(half)
        unpack(half, None)
        half.replace(target)
    except (OSError, sqlite3.Error, DatabaseError) as error:
        why = why_not_stored(error) or f"{getattr(error, 'strerror', None) or error}."
        raise BackupError(_("No backup was made in {folder}: {why}", folder=folder, why=why)) from error
    finally:
        with suppress(OSError):
            half.unlink()
    return target


def _write(half: Path) -> None:
    with half.open("xb") as file:
        half.chmod(0o600)
        with tempfile.TemporaryDirectory(prefix="swarfbook-", suffix=".part", dir=half.parent) as work, _one_moment():
            copy = Path(work) / DATABASE
            with closing(sqlite3.connect(copy)) as target:
                connection.connection.backup(target)
                # A database that does something by itself would be refused when it comes back.
                drop_index(target.execute)
                target.commit()
                target.execute("VACUUM")
            with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as out:
                _Packing(out).pack(copy)
        file.flush()
        os.fsync(file.fileno())


@contextmanager
def _one_moment() -> Iterator[None]:
    """All that is read inside is of one moment; nobody who writes meanwhile waits for it."""
    with connection.cursor() as cursor:
        cursor.execute("BEGIN")
        try:
            cursor.execute("SELECT count(*) FROM sqlite_master")
            yield
        finally:
            cursor.execute("ROLLBACK")


class _Packing:
    """A zip being filled, and what went into it."""

    def __init__(self, out: zipfile.ZipFile) -> None:
        self.out = out
        self.files: dict[str, Content] = {}

    def pack(self, database: Path) -> None:
        from builds.transfer.backup.contents import read_me, readable_files

        self._add(READ_ME, [read_me().encode()])
        self._add_file(DATABASE, database)
        for name, text in readable_files():
            self._add(name, [text.encode()])
        for image in Photo.objects.order_by("image").values_list("image", flat=True).distinct():
            photo = Path(settings.MEDIA_ROOT) / image
            # One that was removed a moment ago is not missed.
            if photo.is_file():
                self._add_file(f"{PHOTOS}/{image}", photo, zipfile.ZIP_STORED)
        for name in Drawing.objects.order_by("file").values_list("file", flat=True).distinct():
            drawing = Path(settings.MEDIA_ROOT) / name
            if drawing.is_file():
                self._add_file(name, drawing, zipfile.ZIP_STORED)
        files = {name: asdict(content) for name, content in self.files.items()}
        said = {"format": FORMAT, "version": VERSION, "made": f"{datetime.now().astimezone():%Y-%m-%dT%H:%M:%S%z}"}
        self._add(MANIFEST, [json.dumps({**said, "files": files}, indent=1).encode()])

    def _add_file(self, name: str, path: Path, packing: int = zipfile.ZIP_DEFLATED) -> None:
        with path.open("rb") as file:
            self._add(name, in_pieces(file), packing)

    def _add(self, name: str, pieces: Iterable[bytes], packing: int = zipfile.ZIP_DEFLATED) -> None:
        entry = zipfile.ZipInfo(name, datetime.now().astimezone().timetuple()[:6])
        entry.compress_type, entry.external_attr = packing, 0o600 << 16
        with self.out.open(entry, "w") as target:
            self.files[name] = copied(pieces, target)
