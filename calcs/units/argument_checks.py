"""What is given to a sum: quantities with their units, checked before anything is worked out with them.

Pint carries the units. A quantity of the wrong kind, one that is not finite, and one that no workshop could mean
is refused with a sentence (ValueError). A revolution counts as one turn, not as 2π radians.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, TypeAlias

from calcs.messages import _
from calcs.units.figures import format_plain
from calcs.units.kinds import FEED, TURNS, QuantityKind, inch_names

if TYPE_CHECKING:
    import pint

    Quantity: TypeAlias = pint.Quantity[Any]
else:
    Quantity = Any

# Pint takes a revolution as 2π; beside a length or a time it only says "for each turn".
_TURNS = {"revolution", "turn", "cycle", "revolutions_per_minute", "revolutions_per_second", "radian", "degree"}


def amount(value: object, kind: QuantityKind, name: str, *, zero: bool = False) -> float:
    """Return the quantity in the kind's own unit as a float.

    name: how the sentence calls it. zero: nothing at all is a fair answer. ValueError otherwise, see above.

    >>> from calcs.units.kinds import LENGTH, SPEED
    >>> from calcs.units.registry import registry
    >>> amount(registry().Quantity(1, "inch"), LENGTH, "diameter")
    25.4
    >>> amount(registry().Quantity(1, "inch"), SPEED, "cutting speed")
    Traceback (most recent call last):
    ValueError: The cutting speed must be a speed with its unit, like 25 m/min or 80 ft/min.
    """
    size = _magnitude(value, kind)
    if size is None:
        must = _("The {name} must be {kind} with its unit, like {example}.")
        raise ValueError(must.format(name=name, kind=kind.name, example=kind.example))
    if zero and 0 <= size < kind.low:
        return 0.0
    return _within(size, kind, name, zero)


def _within(size: float, kind: QuantityKind, name: str, zero: bool = False) -> float:
    if not math.isfinite(size):
        raise ValueError(_("The {name} must be a finite figure.", name=name))
    if size <= 0:
        text = _("The {name} must be zero or more.") if zero else _("The {name} must be more than zero.")
        raise ValueError(text.format(name=name))
    if not kind.low <= size <= kind.high:
        outside = _("The {name} is beyond anything in a workshop. Write something like {example}.")
        raise ValueError(outside.format(name=name, example=kind.example))
    return size


def _magnitude(value: object, kind: QuantityKind) -> float | None:
    import pint

    if not isinstance(value, pint.Quantity):
        return None
    try:
        if not value.check(kind.base):
            return None
        turns = " / revolution" if kind is FEED and _names(value) & _TURNS else ""
        return float(value.to(kind.base + turns).magnitude)
    except (TypeError, OverflowError, pint.errors.PintError):
        return None


def _names(value: object) -> set[str]:
    """Pint's names of the units of a quantity; none for anything else."""
    items = getattr(value, "unit_items", None)
    return set() if items is None else {str(unit) for unit, power in items()}


def optional(value: object | None, kind: QuantityKind, name: str) -> float:
    """Return the quantity in the kind's own unit, or nothing at all for None. ValueError as `amount`."""
    return 0.0 if value is None else amount(value, kind, name, zero=True)


def turns_a_minute(value: object, name: str = "") -> float:
    """Return revolutions a minute from a bare number of them, or from a quantity in rpm, rev/s, 1/min or Hz.

    name: how a refusal calls it, the spindle speed where left out.

    >>> from calcs.units.registry import registry
    >>> turns_a_minute(600), turns_a_minute(registry().Quantity(10, "1/s")), turns_a_minute(registry()("600 rpm"))
    (600.0, 600.0, 600.0)
    """
    import pint

    name = name or _("spindle speed")
    size: float | None = None
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        size = float(value) if abs(value) < 1e9 else math.inf
    elif isinstance(value, pint.Quantity) and value.check("1 / [time]"):
        size = float(value.to("revolution / minute" if _names(value) & _TURNS else "1 / minute").magnitude)
    if size is None:
        raise ValueError(_("The {name} must be a number of turns in a time, like 600 rpm.", name=name))
    return _within(size, TURNS, name)


def count(value: object, name: str, most: int = 10_000) -> int:
    """Return a whole number from 1 to `most`, or refuse it with a sentence."""
    if (
        isinstance(value, bool)
        or not isinstance(value, (int, float))
        or not math.isfinite(value)
        or value != int(value)
    ):
        raise ValueError(_("The {name} must be a whole number, like 4.", name=name))
    if not 1 <= value <= most:
        raise ValueError(_("The {name} must be a whole number from 1 to {most}.", name=name, most=f"{most:,}"))
    return int(value)


def ratio(value: object, name: str, low: float, high: float) -> float:
    """Return a bare number between low and high, both included, or refuse it with a sentence."""
    ends = {"name": name, "low": format_plain(low), "high": format_plain(high)}
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise ValueError(_("The {name} must be a plain number between {low} and {high}.", **ends))
    if not low <= value <= high:
        raise ValueError(_("The {name} must lie between {low} and {high}.", **ends))
    return float(value)


def degrees(value: object, name: str, low: float, high: float) -> float:
    """Return an angle in degrees, from a bare number of degrees or an angle with its unit."""
    import pint

    if isinstance(value, pint.Quantity):
        if not value.dimensionless:
            raise ValueError(_("The {name} must be an angle, like 60 degrees.", name=name))
        value = float(value.to("degree").magnitude)
    return ratio(value, _("{name} in degrees", name=name), low, high)


def in_inches(*values: object) -> bool:
    """Say whether the first quantity given is in inches (or feet, pounds, horsepower): so its answer will be."""
    first = next((names for value in values if (names := _names(value))), set())
    return bool(first & inch_names())
