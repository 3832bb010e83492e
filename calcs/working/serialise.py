"""Frozen dataclasses to and from what JSON can hold, so that a result can be kept in a cache without pickles."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from pydantic import TypeAdapter

Kept = TypeVar("Kept")


def to_plain(value: object) -> Any:
    """Return a dataclass as a dict, its tuples as lists and its dates as ISO text, all the way down.

    >>> from calcs.working.result import Step
    >>> to_plain(Step("a", "", "", 1.0, "h"))["result"]
    1.0
    """
    kind: Any = type(value)
    return _adapter(kind).dump_python(value, mode="json")


def from_plain(kind: type[Kept], plain: Any) -> Kept:
    """Return the dataclass that `to_plain` made `plain` from. ValueError when it does not fit.

    >>> from calcs.working.result import Step
    >>> from_plain(Step, to_plain(Step("a", "", "", 1.0, "h")))
    Step(symbol='a', formula='', numbers='', result=1.0, unit='h', source='')
    """
    owner: Any = kind
    restored: Kept = _adapter(owner).validate_python(plain)
    return restored


@cache
def _adapter(kind: Any) -> TypeAdapter[Any]:
    from pydantic import TypeAdapter

    return TypeAdapter(kind)
