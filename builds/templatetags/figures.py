"""Figures as pages show them: with their unit, and with no more digits than they deserve.

An unknown figure is "not known", which is not zero. The word "about" is left to the sentence around the figure.
"""

import math
from datetime import date
from functools import lru_cache
from typing import Any

from django import template
from django.template.loader import render_to_string
from django.utils.dateformat import format as format_date
from django.utils.safestring import SafeString
from django.utils.translation import get_language_info

from calcs.forecast.result import Spread
from calcs.forecast.words import exact_chance, nearest_two_figures
from calcs.messages import _, ngettext
from calcs.typed.durations import format_duration, format_hours, format_logged
from calcs.working.exactly_enough import exactly_enough, format_in_full

register = template.Library()


def not_known() -> str:
    """What stands in the place of a figure that nobody knows."""
    return _("not known")


@register.filter
def hours(value: float | None) -> str:
    """Hours: 4.46 → "4.5 h", 640.4 → "640 h", 1283 → "1,280 h", None → "not known"."""
    number = _number(value)
    if number is None:
        return not_known()
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
    return hours(None if number is None else nearest_two_figures(number))


@register.filter
def minutes(value: float | None) -> str:
    """Minutes as logged: 150 → "2 h 30 min", 67425 → "1,123 h 45 min", 0 → "0 min", None → "not known"."""
    number = _number(value)
    if number is None:
        return not_known()
    whole = round(abs(number))
    return f"−{format_logged(whole)}" if number < 0 and whole else format_logged(whole)


@register.simple_tag
def counted_time(amount: float, each: float) -> str:
    """How often and how long each time, in minutes exact enough to give their product: "36 × 7.5 min"."""
    if each == round(each):
        return f"{format_in_full(amount)} × {format_duration(each)}"
    numbers = f"{format_in_full(amount)} × {format_in_full(each)}"
    return f"{exactly_enough(numbers, str(round(amount * each)))} min"


@register.filter
def percent(value: float | None) -> str:
    """A share from 0 to 1: 0.873 → "87 %". What is nearly none or nearly all is not told as none or all."""
    number = _number(value)
    if number is None:
        return not_known()
    if 0 < number < 0.005:
        return _("under {share}", share="1 %")
    if 0.995 <= number < 1:
        return _("over {share}", share="99 %")
    return f"{number * 100:.0f} %"


@register.filter
def chance(value: float) -> str:
    """A chance from 0 to 1 that arithmetic alone gives: 0.874 → "87 chances in 100"."""
    return exact_chance(value)


@register.filter
def day(value: date | None) -> str:
    """A date (or a moment's date): "22 Nov 2026". None is an empty text, so that a template's default can speak."""
    # Translators: how a day is written, in the letters of Django's date filter.
    return format_date(value, _("j M Y")) if value else ""


@register.filter
def month(value: date | None) -> str:
    """The month of a date: "November 2026"."""
    # Translators: how a month is written, in the letters of Django's date filter.
    return format_date(value, _("F Y")) if value else ""


@register.filter
def left(value: Spread | None) -> str:
    """The even chance of bench hours left: "about 12 h left", "none left" or, for None, "left not known"."""
    if value is None:
        return _("left not known")
    return _("about {hours} left", hours=roughly(value.p50)) if value.p90 > 0 else _("none left")


@register.filter
def done(value: float | None) -> str:
    """Logged minutes as hours done: 8990 → "150 h done"."""
    return _("{time} done", time=hours_of_minutes(value))


@register.simple_tag
@lru_cache(maxsize=101)
def bar(percent_done: str) -> SafeString:
    """The lines of components/bar.html beside a figure that says the same; drawn once for each of 101 shares."""
    return render_to_string("components/bar.html", {"done": percent_done})


@register.filter
def pieces(counted: Any) -> str:
    """The pieces of an entry, or of several together: "5 good, 2 of them reworked, 1 scrap"."""
    words = [ngettext("{n} good", "{n} good", counted.good)]
    if counted.reworked:
        words.append(ngettext("{n} of them reworked", "{n} of them reworked", counted.reworked))
    if counted.scrap:
        words.append(ngettext("{n} scrap", "{n} scrap", counted.scrap))
    return ", ".join(words)


@register.filter
def figure(value: Any) -> str:
    """A bare figure of a sum, to four digits: 641.7323 → "641.7", 12840.0 → "12,840". A text stays as it is."""
    number = None if isinstance(value, str) else _number(value)
    if number is None:
        return str(value)
    digits = max(0, 3 - math.floor(math.log10(abs(number)))) if number else 0
    text = f"{number:,.{digits}f}".replace("-", "−")
    return text.rstrip("0").rstrip(".") if "." in text else text


@register.filter
def own_name(language: str) -> str:
    """What a language calls itself; which English it is matters to no reader."""
    return str(get_language_info(language)["name_local"]).removeprefix("British ")


def _number(value: Any) -> float | None:
    """The value as a finite number; None where it is none. Spaces and texts from a template are unknown too."""
    try:
        number = float(value)
    except (TypeError, ValueError):
        return None
    return number if math.isfinite(number) else None
