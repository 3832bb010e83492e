"""Who has the data folder in use: servers and commands share it, `restore` wants it to itself.

The lock is the operating system's own, so a process that died holds nothing. Where there is no such lock (Windows, some
network folders) nobody is held up.
"""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from django.conf import settings
from django.core.management.base import CommandError

from calcs.messages import _

try:
    import fcntl
except ImportError:  # pragma: no cover - Windows
    fcntl = None  # type: ignore[assignment]

LOCK = "in-use.lock"
_until_the_end = ExitStack()


@contextmanager
def in_use() -> Iterator[None]:
    """Use the records together with others. Raises CommandError while a backup is being put back."""
    said = _("A backup is being put back into {folder}. Begin again when that has ended.", folder=settings.DATA_DIR)
    with _held(alone=False, said=said):
        yield


@contextmanager
def in_use_by_nobody_else() -> Iterator[None]:
    """Raises CommandError while a server or a command uses the records."""
    said = _(
        "A server or another command is using the records in {folder}: what it is told meanwhile would be lost. "
        "End it first; nothing was changed.",
        folder=settings.DATA_DIR,
    )
    with _held(alone=True, said=said):
        yield


def use_until_the_process_ends() -> None:
    """For a serving process. Raises CommandError while a backup is being put back."""
    _until_the_end.enter_context(in_use())


@contextmanager
def _held(*, alone: bool, said: str) -> Iterator[None]:
    if fcntl is None:  # pragma: no cover - Windows
        yield
        return
    with (Path(settings.DATA_DIR) / LOCK).open("a") as file:
        try:
            fcntl.flock(file, (fcntl.LOCK_EX if alone else fcntl.LOCK_SH) | fcntl.LOCK_NB)
        except BlockingIOError as error:
            raise CommandError(said) from error
        except OSError:
            # A folder of the network that knows no locks.
            pass
        yield
