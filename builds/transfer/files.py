"""Files as they come in, records and logs alike: how much one may hold, and its bytes."""

from pathlib import Path

from calcs.messages import _

# Thirty lines a day for more than twenty years. There is a limit because a list is held in memory while it is checked.
MOST_ROWS = 250_000
MOST_MINUTES = 10_000_000
MOST_PIECES = 1_000_000
FIRST_YEAR = 1800


def read_bytes(path: Path, most_megabytes: int) -> bytes:
    """Read a whole file. Raises ValueError with a sentence where that cannot be done."""
    try:
        if path.is_dir():
            raise IsADirectoryError
        if path.stat().st_size <= most_megabytes * 2**20:
            return path.read_bytes()
    except FileNotFoundError as error:
        raise ValueError(_("There is no such file.")) from error
    except IsADirectoryError as error:
        raise ValueError(_("This is a folder, not a file.")) from error
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise ValueError(_("This file cannot be read: {why}.", why=why)) from error
    raise ValueError(_("This file is larger than {number} MB: too large to be taken in.", number=most_megabytes))
