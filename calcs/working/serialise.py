"""Frozen dataclasses to and from what JSON can hold, so that a result can be kept in a cache without pickles."""

from __future__ import annotations

import types
from collections.abc import Hashable
from dataclasses import fields, is_dataclass
from datetime import date
from functools import cache
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

Kept = TypeVar("Kept")


def to_plain(value: object) -> Any:
    """Return dataclasses as dicts, tuples as lists and dates as ISO text, all the way down.

    >>> from calcs.working.result import Step
    >>> to_plain(Step("a", "", "", 1.0, "h"))["result"]
    1.0
    """
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: to_plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, (tuple, list)):
        return [to_plain(item) for item in value]
    if isinstance(value, date):
        return value.isoformat()
    return value


def from_plain(kind: type[Kept], plain: Any) -> Kept:
    """Return the dataclass that `to_plain` made `plain` from. TypeError or KeyError when it does not fit.

    >>> from calcs.working.result import Step
    >>> from_plain(Step, to_plain(Step("a", "", "", 1.0, "h")))
    Step(symbol='a', formula='', numbers='', result=1.0, unit='h', source='')
    """
    owner: Any = kind
    hints = _hints(owner)
    return kind(**{name: _restore(hint, plain[name]) for name, hint in hints.items()})


@cache
def _hints(kind: Hashable) -> dict[str, Any]:
    return get_type_hints(kind)


def _restore(hint: Any, plain: Any) -> Any:
    if plain is None:
        return None
    if get_origin(hint) in (Union, types.UnionType):
        choices = [choice for choice in get_args(hint) if choice is not type(None)]
        return _restore(choices[0], plain) if len(choices) == 1 else plain
    if get_origin(hint) is tuple:
        inner = get_args(hint)[0]
        return tuple(_restore(inner, item) for item in plain)
    if hint is date:
        return date.fromisoformat(plain)
    if is_dataclass(hint) and isinstance(hint, type):
        return from_plain(hint, plain)
    return plain
