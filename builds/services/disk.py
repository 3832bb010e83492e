"""A disk that takes nothing more: said in a sentence, beside what was typed."""

import errno
import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path

from django.core.exceptions import ValidationError
from django.db import DatabaseError, transaction

from calcs.messages import _, gettext_noop

FULL = gettext_noop("The disk is full.")
READ_ONLY = gettext_noop("The database can only be read, not written to: it or its disk is write-protected.")
BROKEN = gettext_noop("The disk reports an error.")
OF_THE_SYSTEM = {errno.ENOSPC: FULL, errno.EDQUOT: FULL, errno.EFBIG: FULL, errno.EROFS: READ_ONLY, errno.EIO: BROKEN}
OF_SQLITE = {sqlite3.SQLITE_FULL: FULL, sqlite3.SQLITE_READONLY: READ_ONLY, sqlite3.SQLITE_IOERR: BROKEN}
OF_POSTGRESQL = {"53100": FULL, "25006": READ_ONLY}


class NotStored(ValidationError):
    """Nothing was recorded, for a reason that lies with the disk."""


def why_not_stored(error: BaseException | None) -> str:
    """What the disk said, as a sentence; empty where an error came from something else."""
    while error is not None:
        if isinstance(error, NotStored):
            return str(error.messages[0])
        number = error.errno if isinstance(error, OSError) else None
        # The lower byte is the kind, the upper ones say where.
        of_sqlite = getattr(error, "sqlite_errorcode", 0) & 0xFF
        said = OF_THE_SYSTEM.get(number or 0) or OF_SQLITE.get(of_sqlite)
        said = said or OF_POSTGRESQL.get(getattr(error, "sqlstate", None) or "")
        if said:
            return _(said)
        error = error.__cause__
    return ""


_held_back: ContextVar[str] = ContextVar("held_back", default="")


@contextmanager
def hold_back(why: str) -> Iterator[None]:
    """Nothing that is done inside is stored; each attempt is refused with this sentence."""
    mark = _held_back.set(why)
    try:
        yield
    finally:
        _held_back.reset(mark)


@contextmanager
def stored() -> Iterator[None]:
    """Everything done inside is stored, or nothing is and NotStored says why."""
    if _held_back.get():
        raise NotStored(_held_back.get())
    try:
        with transaction.atomic():
            yield
    except (DatabaseError, OSError) as error:
        why = why_not_stored(error)
        if not why:
            raise
        raise NotStored(
            _("{why} Nothing was recorded. What you typed is still here: send it again when that is mended.", why=why)
        ) from error


def write_whole(file: Path, content: bytes) -> None:
    """Write a file so that it is never half there: beside it first, then under its name. Raises OSError."""
    handle, half = tempfile.mkstemp(dir=file.absolute().parent, prefix=f".{file.name}-")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        os.chmod(half, 0o644)
        os.replace(half, file)
    except BaseException:
        os.unlink(half)
        raise
