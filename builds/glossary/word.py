"""A word that a page may ask about."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Word:
    """One word. `key` is its place on the page (#key), `see` the keys of words beside it.

    `source` says where a meaning comes from, and is not shown: a standard by its number, or common practice.
    """

    key: str
    name: str
    meaning: str
    source: str = "common practice"
    see: tuple[str, ...] = ()
