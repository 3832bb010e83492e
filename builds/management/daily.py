"""A backup a day, for as long as the pages are served."""

import logging
from collections.abc import Iterator
from threading import Event, Thread

from django.db import connection, connections
from django.utils import timezone

from builds.queries.background import background
from builds.transfer.backup.kept import back_up_where_due, is_due
from builds.transfer.backup.layout import BackupError

log = logging.getLogger(__name__)

FIRST_LOOK = 120.0
"""Seconds after the start, so that it does not hold up the first pages of an evening."""
EVERY = 600.0
"""Seconds between two looks."""


def keep_backups(ending: Event, first_look: float = FIRST_LOOK, every: float = EVERY) -> None:
    """Begin to look, in a thread that ends with the process or when it is told to."""
    if connection.vendor == "sqlite":
        Thread(target=_look, args=(ending, first_look, every), name="backups", daemon=True).start()


def _look(ending: Event, first_look: float, every: float) -> None:
    wait = first_look
    while not ending.wait(wait):
        if is_due(timezone.now()):
            background.ask("backup", _back_up)
        connections.close_all()
        wait = every


def _back_up() -> Iterator[None]:
    try:
        back_up_where_due(timezone.now())
    except BackupError as error:
        log.error("%s", error)
    yield
