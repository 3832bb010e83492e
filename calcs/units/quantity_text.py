"""Quantities as text with the signs of their units: in the digits they deserve, in four figures, in both systems."""

from __future__ import annotations

from calcs.messages import _
from calcs.units.argument_checks import Quantity
from calcs.units.figures import format_significant
from calcs.units.registry import sign_of

# Lengths that nothing in a shop can measure; what is smaller is told as such.
_DUST = {"mm": "0.0001", "in": "0.00001"}


def format_quantity(quantity: Quantity, places: int | None = None) -> str:
    """A quantity in the digits it deserves, or with so many decimal places, and the sign of its unit.

    >>> from calcs.units.registry import registry
    >>> format_quantity(registry().Quantity(318.31, "rpm")), format_quantity(registry().Quantity(12.5, "inch"))
    ('318 rev/min', '12.5 in')
    """
    sign, size = sign_of(quantity.units), float(quantity.magnitude)
    least = _DUST.get(sign)
    if least is not None and 0 < abs(size) < float(least):
        return _("under {least} {unit}", least=least, unit=sign)
    text = format_significant(abs(size), sign) if places is None else f"{abs(size):.{places}f}"
    minus = "−" if size < 0 and any(digit in "123456789" for digit in text) else ""
    return f"{minus}{text} {sign}".strip()


def format_both(length: Quantity) -> str:
    """A length in its own unit with the other one in brackets.

    >>> from calcs.units.registry import registry
    >>> format_both(registry().Quantity(1, "inch"))
    '1 in (25.4\xa0mm)'
    """
    other = "inch" if str(length.units) != "inch" else "millimeter"
    return f"{format_quantity(length)} ({keep_together(format_quantity(length.to(other)))})"


def keep_together(text: str) -> str:
    """A figure that is not parted from its unit at the end of a line."""
    return text.replace(" ", "\N{NO-BREAK SPACE}")


def format_four(size: float) -> str:
    """A bare figure in four digits, or all whole ones where there are more: never a power of ten.

    >>> format_four(16.6667), format_four(304800.0), format_four(0.00219)
    ('16.67', '304,800', '0.00219')
    """
    if 0 < abs(size) < 1e-7:
        return _("under {least}", least="0.0000001")
    return f"{size:,.0f}" if abs(size) >= 1000 else f"{size:.4g}" if abs(size) >= 1e-4 else f"{size:.7f}"


def format_quantity_four(quantity: Quantity) -> str:
    """A quantity in four figures: for what is exact but for the reading of it.

    >>> from calcs.units.registry import registry
    >>> format_quantity_four(registry().Quantity(0.2222222, "inch ** 2"))
    '0.2222 in²'
    """
    return f"{format_four(float(quantity.magnitude))} {sign_of(quantity.units)}"
