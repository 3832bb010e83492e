"""The backups that are kept: where, since when, which of them make room, and when the next is due."""

import re
import shutil
import time
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.db import connection

from builds.services.disk import why_not_stored
from builds.transfer.backup.layout import BackupError
from builds.transfer.backup.unpack import unpack
from builds.transfer.backup.write import back_up
from calcs.messages import _

NAME = re.compile(r"swarfbook-(\d{8}-\d{6}-\d{6})\.zip")
# Everything of the last two days, then the last of each of so many days, weeks and months that have one.
WHOLE = timedelta(days=2)
PERIODS = ((7, "%Y-%m-%d"), (5, "%G-%V"), (12, "%Y-%m"))
TOO_OLD = timedelta(days=7)
A_DAY = 24 * 3600
"""Seconds after which what is left of a backup that was cut off goes."""


@dataclass(frozen=True)
class Backup:
    file: Path
    made_at: datetime
    bytes: int


@dataclass(frozen=True)
class Place:
    """A folder with backups in it, newest first."""

    folder: Path
    backups: tuple[Backup, ...]
    now: datetime

    @property
    def last(self) -> Backup | None:
        return self.backups[0] if self.backups else None

    @property
    def has_todays(self) -> bool:
        return self.last is not None and self.last.made_at.astimezone().date() == self.now.astimezone().date()

    @property
    def too_old(self) -> bool:
        return self.last is None or self.now - self.last.made_at > TOO_OLD


def places(now: datetime) -> tuple[Place, ...]:
    """The folder in DATA_DIR, and the second one where it is set. Empty where PostgreSQL keeps the records."""
    if connection.vendor != "sqlite":
        return ()
    return tuple(Place(folder, _backups_in(folder), now) for folder in _folders())


def is_due(now: datetime) -> bool:
    """Whether one of the folders has no backup of today."""
    return any(not place.has_todays for place in places(now))


def back_up_where_due(now: datetime) -> None:
    """Make the backup of today, or only copy it where it is not yet. Raises BackupError with a sentence."""
    first, *more = places(now)
    made = first.last.file if first.last and first.has_todays else None
    back_up_everywhere(made, [place.folder for place in more if not place.has_todays])


def back_up_everywhere(made: Path | None = None, seconds: Sequence[Path] | None = None) -> Path:
    """Make a backup, copy it into the second folder where there is one, and let old ones go.

    Raises BackupError with a sentence; where the second folder alone failed, the first has its backup.
    made: one that was made already. seconds: the folders that want a copy of it.
    """
    folder, *more = _folders()
    made = made or back_up(folder)
    _make_room(folder)
    for second in more if seconds is None else seconds:
        _copy(made, second)
        _make_room(second)
    return made


def to_keep(moments: Iterable[datetime]) -> set[datetime]:
    """Which of the backups made at these moments stay."""
    newest_first = sorted(moments, reverse=True)
    kept = {moment for moment in newest_first if newest_first[0] - moment <= WHOLE}
    for number, period in PERIODS:
        last: dict[str, datetime] = {}
        for moment in newest_first:
            last.setdefault(moment.strftime(period), moment)
        kept.update(list(last.values())[:number])
    return kept


def _folders() -> list[Path]:
    second = [Path(settings.BACKUP_FOLDER).expanduser()] if settings.BACKUP_FOLDER else []
    return [Path(settings.DATA_DIR) / "backups", *second]


def _backups_in(folder: Path) -> tuple[Backup, ...]:
    try:
        found = [(file, NAME.fullmatch(file.name)) for file in folder.iterdir()]
        backups = [Backup(file, _moment(named[1]), file.stat().st_size) for file, named in found if named]
    except (OSError, ValueError):
        return ()
    return tuple(sorted(backups, key=lambda backup: backup.made_at, reverse=True))


def _moment(named: str) -> datetime:
    return datetime.strptime(named, "%Y%m%d-%H%M%S-%f").astimezone()


def _copy(made: Path, folder: Path) -> None:
    """The folder is never made: it may be a stick that is not plugged in."""
    half = folder / made.with_suffix(".part").name
    try:
        if not folder.is_dir():
            raise BackupError(_("The second folder for backups, {folder}, is not there.", folder=folder))
        shutil.copyfile(made, half)
        unpack(half, None)
        half.replace(folder / made.name)
    except OSError as error:
        why = why_not_stored(error) or f"{error.strerror or error}."
        raise BackupError(_("No backup was made in {folder}: {why}", folder=folder, why=why)) from error
    finally:
        with suppress(OSError):
            half.unlink()


def _make_room(folder: Path) -> None:
    backups = _backups_in(folder)
    kept = to_keep(backup.made_at for backup in backups)
    for backup in backups:
        if backup.made_at not in kept:
            backup.file.unlink(missing_ok=True)
    for half in folder.glob("swarfbook-*.part"):
        if half.stat().st_mtime < time.time() - A_DAY:
            shutil.rmtree(half) if half.is_dir() else half.unlink(missing_ok=True)
