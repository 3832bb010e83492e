"""A backup read with suspicion: names, kinds, sizes and digests, before anything of it is used."""

import json
import shutil
import stat
import zipfile
import zlib
from collections.abc import Mapping
from pathlib import Path

from builds.services.plan.drawings import BEGINNINGS, LARGEST_FILE
from builds.services.plan.photos import LARGEST_UPLOAD
from builds.transfer.backup.layout import (
    DATABASE,
    FORMAT,
    MANIFEST,
    VERSION,
    BackupError,
    Content,
    belongs,
    copied,
    in_pieces,
    is_drawing,
    is_photo,
)
from builds.transfer.complaints import quoted
from calcs.messages import _

# A log's database packs to a fifth and its text to a twentieth; a file that unfolds so much further was made to.
MOST_UNFOLDED = 100
ALWAYS_ALLOWED = 16 * 2**20
LARGEST_MANIFEST = 64 * 2**20
JPEG_BEGINS = b"\xff\xd8\xff"
# What the zip module and what is inside a zip raise where it is damaged.
DAMAGED = (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError, NotImplementedError)


def unpack(file: Path, folder: Path | None) -> None:
    """Unpack a backup into an empty folder, or only read all of it where there is none.

    Raises BackupError with a sentence for whatever is not as a backup is, and OSError where the disk does.
    """
    try:
        with zipfile.ZipFile(file) as packed:
            entries = _entries(file, packed)
            manifest = _manifest(file, packed, entries)
            if folder is not None:
                _check_room(file, entries, folder)
            for name, entry in entries.items():
                _unpack_one(file, packed, entry, manifest.get(name), folder)
    except DAMAGED as error:
        raise BackupError(_("{file} is not a backup, or it is damaged.", file=file)) from error


def _entries(file: Path, packed: zipfile.ZipFile) -> dict[str, zipfile.ZipInfo]:
    """The files in the zip by name, none of them read yet."""
    entries: dict[str, zipfile.ZipInfo] = {}
    for entry in packed.infolist():
        if entry.is_dir() and belongs(f"{entry.filename}x.jpg"):
            continue
        kind = stat.S_IFMT(entry.external_attr >> 16)
        if not belongs(entry.filename) or entry.filename in entries or kind not in (0, stat.S_IFREG):
            name = quoted(entry.filename)
            raise BackupError(_("{file} is not a backup of this program: {name} is in it.", file=file, name=name))
        _check_declared(file, entry)
        entries[entry.filename] = entry
    if DATABASE not in entries:
        raise BackupError(_("{file} is not a backup of this program: there is no database in it.", file=file))
    if sum(entry.compress_size for entry in entries.values()) > file.stat().st_size:
        raise BackupError(_("{file} is damaged: the files in it overlap.", file=file))
    return entries


def _check_declared(file: Path, entry: zipfile.ZipInfo) -> None:
    most = ALWAYS_ALLOWED + MOST_UNFOLDED * entry.compress_size
    if is_photo(entry.filename) or is_drawing(entry.filename):
        most = LARGEST_UPLOAD if is_photo(entry.filename) else LARGEST_FILE
    if entry.file_size > most:
        figures = {"file": file, "name": quoted(entry.filename), "size": entry.file_size / 1e6}
        raise BackupError(
            _("{file} is refused: {name} in it would unfold to {size:,.0f} MB, which no backup does.", **figures)
        )
    if is_photo(entry.filename) and not entry.filename.endswith(".jpg"):
        raise BackupError(_not_a_photo(file, entry))
    if is_drawing(entry.filename) and not entry.filename.endswith(tuple(BEGINNINGS.values())):
        raise BackupError(_not_a_drawing(file, entry))


def _not_a_photo(file: Path, entry: zipfile.ZipInfo) -> str:
    return _(
        "{file} is refused: {name} stands among its photos and is none.",
        file=file,
        name=quoted(entry.filename),
    )


def _not_a_drawing(file: Path, entry: zipfile.ZipInfo) -> str:
    return _("{file} is refused: {name} stands among its drawings and is none.", file=file, name=quoted(entry.filename))


def _check_room(file: Path, entries: Mapping[str, zipfile.ZipInfo], folder: Path) -> None:
    needed, free = sum(entry.file_size for entry in entries.values()), shutil.disk_usage(folder).free
    if needed > free:
        figures = {"file": file, "needed": needed / 1e6, "free": free / 1e6}
        raise BackupError(
            _("{file} cannot be put back: it needs {needed:,.0f} MB, and {free:,.0f} MB are free.", **figures)
        )


def _manifest(file: Path, packed: zipfile.ZipFile, entries: dict[str, zipfile.ZipInfo]) -> dict[str, Content]:
    """What each file should hold; empty for a backup of the version before, which said nothing of it."""
    entry = entries.pop(MANIFEST, None)
    if entry is None:
        if set(entries) - {DATABASE} != {name for name in entries if is_photo(name)}:
            raise BackupError(_("{file} is damaged: its list of contents is missing.", file=file))
        return {}
    try:
        if entry.file_size > LARGEST_MANIFEST:
            raise ValueError
        said = json.loads(packed.read(entry))
        if said["format"] != FORMAT or type(said["version"]) is not int:
            raise ValueError
        manifest = {name: Content(one["size"], one["sha256"]) for name, one in said["files"].items()}
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise BackupError(_("{file} is damaged: its list of contents cannot be read.", file=file)) from error
    if said["version"] > VERSION:
        raise BackupError(
            _("{file} was made by a newer version of this program. Bring the program up to date first.", file=file)
        )
    for name in set(manifest) ^ set(entries):
        raise BackupError(_("{file} is damaged: {name} is missing or too many.", file=file, name=quoted(name)))
    return manifest


def _unpack_one(
    file: Path, packed: zipfile.ZipFile, entry: zipfile.ZipInfo, said: Content | None, folder: Path | None
) -> None:
    if said is not None and entry.file_size != said.size:
        raise _differs(file, entry)
    with packed.open(entry) as source:
        # The zip module reads no further than the declared size, and compares what is there with its own checksum.
        begins = source.read(16)
        if is_photo(entry.filename) and begins[: len(JPEG_BEGINS)] not in (JPEG_BEGINS, b""):
            raise BackupError(_not_a_photo(file, entry))
        if is_drawing(entry.filename) and not begins.startswith(tuple(BEGINNINGS)):
            raise BackupError(_not_a_drawing(file, entry))
        source.seek(0)
        if folder is None:
            found = copied(in_pieces(source), None)
        else:
            target = folder / entry.filename
            target.parent.mkdir(parents=True, exist_ok=True)
            with target.open("xb") as out:
                found = copied(in_pieces(source), out)
    if found.size != entry.file_size or (said is not None and found != said):
        raise _differs(file, entry)


def _differs(file: Path, entry: zipfile.ZipInfo) -> BackupError:
    return BackupError(
        _("{file} is damaged: {name} in it is not what was packed.", file=file, name=quoted(entry.filename))
    )
