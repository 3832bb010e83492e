"""Results kept in the cache as plain values, never trusted blindly: another shape is as good as nothing."""

from typing import Any, TypeVar

from django.core.cache import cache

from calcs.working.serialise import from_plain, to_plain

Kept = TypeVar("Kept")


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
