"""Frozen dataclasses to and from what JSON can hold, so that a result can be kept in a cache without pickles."""

from __future__ import annotations

from collections.abc import Hashable
from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar, cast

if TYPE_CHECKING:
    from pydantic import TypeAdapter

Kept = TypeVar("Kept")


def to_plain(value: object) -> Any:
    """Return a dataclass as a dict, its tuples as lists and its dates as ISO text, all the way down.

    >>> from calcs.working.result import Step
    >>> to_plain(Step("a", "", "", 1.0, "h"))["result"]
    1.0
    """
    return _adapter(type(value)).dump_python(value, mode="json")


def from_plain(kind: type[Kept], plain: Any) -> Kept:
    """Return the dataclass that `to_plain` made `plain` from. ValueError when it does not fit.

    >>> from calcs.working.result import Step
    >>> from_plain(Step, to_plain(Step("a", "", "", 1.0, "h")))
    Step(symbol='a', formula='', numbers='', result=1.0, unit='h', source='')
    """
    return cast(Kept, _adapter(kind).validate_python(plain))


@cache
def _adapter(kind: Hashable) -> TypeAdapter[Any]:
    from pydantic import TypeAdapter

    return TypeAdapter(kind)
