"""Values as a record file has them."""

import json
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any


def some(optional: Mapping[str, tuple[Any, Any]]) -> dict[str, Any]:
    """Of fields with a value and its default each, those that differ from it."""
    return {name: plain(value) for name, (value, default) in optional.items() if value != default}


def plain(value: Any) -> Any:
    """Dates as text; whole numbers without a needless ".0"."""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Decimal):
        value = float(value)
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value


def sorted_inside(value: Any) -> Any:
    """An object with its fields by name: databases give them back in orders of their own."""
    return json.loads(json.dumps(value, sort_keys=True))
