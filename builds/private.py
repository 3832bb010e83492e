"""What lies in the data folder is for the user that the program runs as, and for nobody else on the machine."""

import os
import stat
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

FOLDER, FILE = 0o700, 0o600
# What is open to others in the folder of an older version, or in one that somebody made by hand.
SECRETS = ("swarfbook.sqlite3*", "secret_key", "first-owner-code", "demo-password", "backups/*")


def keep_private(data_dir: Path) -> None:
    """Close the data folder and its secrets to other users. What belongs to somebody else is left as it is."""
    for path, mode in _wanted(data_dir):
        with suppress(OSError):
            now = path.stat().st_mode
            # A folder that everybody writes into, such as /tmp, is not ours to close.
            if not now & stat.S_ISVTX and stat.S_IMODE(now) != mode:
                os.chmod(path, mode)


def _wanted(data_dir: Path) -> Iterator[tuple[Path, int]]:
    yield data_dir, FOLDER
    yield data_dir / "backups", FOLDER
    for pattern in SECRETS:
        for path in data_dir.glob(pattern):
            if path.is_file() and not path.is_symlink():
                yield path, FILE
