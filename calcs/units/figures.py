"""Figures as text: what was given as it was given, what was worked out in the digits it deserves."""

from __future__ import annotations

import math

# Decimal places that a workshop can measure: a thousandth of a millimetre, a tenth of a thou.
_PLACES = {"mm": 3, "mm/rev": 3, "mm/tooth": 3, "in": 4, "in/rev": 4, "in/tooth": 4, "°": 2}


_TIMES = ("min", "s", "h")


def format_significant(value: float, unit: str = "") -> str:
    """Return a worked-out figure in the digits it deserves: no more than the figures it came from can bear.

    Lengths to a thousandth of a millimetre or a tenth of a thou, three figures at least; else three figures up to a
    hundred and whole numbers above; times below one in two figures. Never a power of ten.

    >>> format_significant(1061.03, "rev/min"), format_significant(0.18850, "min"), format_significant(20.3194, "mm")
    ('1061', '0.19', '20.319')
    >>> format_significant(12.566)
    '12.6'
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    exponent = math.floor(math.log10(abs(value)))
    figures = 2 if exponent < 0 and unit in _TIMES else 3
    places = max(0, figures - 1 - exponent, _PLACES.get(unit, 0))
    return _trimmed(value, places)


def format_plain(value: float) -> str:
    """Return a figure that somebody gave, up to seven digits of it, without a tail of noughts.

    >>> format_plain(0.0625), format_plain(25.4), format_plain(100.00000000000001)
    ('0.0625', '25.4', '100')
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    return _trimmed(value, max(0, 6 - math.floor(math.log10(abs(value)))))


def _trimmed(value: float, places: int) -> str:
    text = f"{value:,.{places}f}" if abs(value) >= 10_000 else f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "0") else text.replace("-", "−")
