"""What a book is made of: sections, each with the heading that stands in the contents."""

from collections.abc import Callable
from dataclasses import dataclass

from builds.book.paper import Paper
from builds.queries.plan.titleblock import Cell


@dataclass(frozen=True)
class Section:
    """level: 0 for a chapter, which begins a page; 1 for an assembly; 2 for a part."""

    level: int
    title: str
    draw: Callable[[Paper], None]


def cell(label: str, value: str, *, wide: bool = False) -> Cell:
    return Cell(label=label, value=value, wide=wide)
