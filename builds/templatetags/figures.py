"""Figures as pages show them: with their unit, and with no more digits than they deserve.

An unknown figure is "not known", which is not zero. The word "about" is left to the sentence around the figure.
"""

import math
from datetime import date
from typing import Any

from django import template

from calcs.typed.durations import format_duration, format_hours

register = template.Library()

UNKNOWN = "not known"


@register.filter
def hours(value: float | None) -> str:
    """Hours: 4.46 → "4.5 h", 640.4 → "640 h", 1283 → "1,280 h", None → "not known"."""
    number = _number(value)
    if number is None:
        return UNKNOWN
    return f"−{format_hours(-number * 60)}" if number < 0 else format_hours(number * 60)


@register.filter
def hours_of_minutes(value: float | None) -> str:
    """Logged minutes told in hours: 8990 → "150 h"."""
    number = _number(value)
    return hours(None if number is None else number / 60)


@register.filter
def roughly(value: float | None) -> str:
    """Foreseen hours, to two figures: 722 → "720 h", 47.3 → "47 h", 5.13 → "5.1 h", 1366 → "1,400 h"."""
    number = _number(value)
    if number is None or abs(number) < 10:
        return hours(value)
    unit = 10 ** (math.floor(math.log10(abs(number))) - 1)
    return hours(round(number / unit) * unit)


@register.filter
def minutes(value: float | None) -> str:
    """Minutes as logged: 150 → "2 h 30 min", 45 → "45 min", 0 → "0 min", None → "not known"."""
    number = _number(value)
    if number is None:
        return UNKNOWN
    whole = round(abs(number))
    return f"−{format_duration(whole)}" if number < 0 and whole else format_duration(whole)


@register.filter
def percent(value: float | None) -> str:
    """A share from 0 to 1: 0.873 → "87 %". What is nearly none or nearly all is not told as none or all."""
    number = _number(value)
    if number is None:
        return UNKNOWN
    if 0 < number < 0.005:
        return "under 1 %"
    if 0.995 <= number < 1:
        return "over 99 %"
    return f"{number * 100:.0f} %"


@register.filter
def day(value: date | None) -> str:
    """A date (or a moment's date): "22 Nov 2026". None is an empty text, so that a template's default can speak."""
    return f"{value.day} {value:%b %Y}" if value else ""


@register.filter
def month(value: date | None) -> str:
    """The month of a date: "November 2026"."""
    return f"{value:%B %Y}" if value else ""


@register.filter
def figure(value: Any) -> str:
    """A bare figure of a sum, to four digits: 641.7323 → "641.7", 12840.0 → "12,840". A text stays as it is."""
    number = None if isinstance(value, str) else _number(value)
    if number is None:
        return str(value)
    digits = max(0, 3 - math.floor(math.log10(abs(number)))) if number else 0
    text = f"{number:,.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _number(value: Any) -> float | None:
    """The value as a finite number; None where it is none. Spaces and texts from a template are unknown too."""
    try:
        number = float(value)
    except (TypeError, ValueError):
        return None
    return number if math.isfinite(number) else None
