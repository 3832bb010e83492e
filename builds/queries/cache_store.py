"""Results kept in the cache as plain values, never trusted blindly: another shape is as good as nothing."""

import hashlib
from functools import cache as once
from pathlib import Path
from typing import Any, TypeVar

from django.conf import settings
from django.core.cache import cache

from calcs.working.serialise import from_plain, to_plain

Kept = TypeVar("Kept")

# What the words and the look of a page are written in.
WRITTEN = {".py", ".html", ".mo"}


def fetch(key: str, kind: type[Kept]) -> Kept | None:
    """What was kept under a key; None where nothing was, or where an earlier version kept it in another shape."""
    plain: Any = cache.get(key)
    try:
        return None if plain is None else from_plain(kind, plain)
    except (AttributeError, KeyError, TypeError, ValueError):
        return None


def keep(key: str, value: object) -> None:
    """Keep a frozen dataclass under a key."""
    cache.set(key, to_plain(value))


def program_version() -> str:
    """A digest of the program, so that no page kept by another version is shown. While developing it is taken anew."""
    return _digest_of_files() if settings.DEBUG else _version_of_this_process()


def _digest_of_files() -> str:
    files = [
        path
        for folder in ("builds", "calcs", "templates")
        for path in (settings.BASE_DIR / folder).rglob("*")
        if path.suffix in WRITTEN
    ]
    digest = hashlib.sha256()
    for path in (*sorted(files), Path(settings.STATIC_ROOT) / "staticfiles.json"):
        digest.update(f"{path}\n".encode())
        if path.exists():
            digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


_version_of_this_process = once(_digest_of_files)
