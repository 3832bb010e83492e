"""Figures as visitors read them: rounded to what a passer-by can take in.

A unit stays on the line of its figure. All are written as in 1,283.5: `builds.language` writes them as the page's
language does.
"""

from datetime import date

from django.utils.formats import date_format

from calcs.messages import _, ngettext

FOOT = 304.8
INCH = 25.4


def number(value: float, decimals: int = 0) -> str:
    """A figure to so many decimals, those that say nothing left out: 1,220 or 8.4 or 8."""
    text = f"{round(value, decimals):,.{decimals}f}"
    return text.rstrip("0").rstrip(".") if decimals else text


def length_in_words(millimetres: float, unit: str) -> str:
    """A length as a visitor would say it: "8.4 m", "35 cm", "9 mm"; for drawings in inches "27 ft 6 in", "14 in"."""
    if unit == "in":
        return _in_feet(millimetres)
    if millimetres >= 1000:
        return f"{number(millimetres / 1000, 1 if millimetres < 20_000 else 0)}\N{NO-BREAK SPACE}m"
    if millimetres >= 100:
        return f"{number(millimetres / 10)}\N{NO-BREAK SPACE}cm"
    return f"{number(millimetres, 0 if millimetres >= 10 else 1)}\N{NO-BREAK SPACE}mm"


def _in_feet(millimetres: float) -> str:
    inches = millimetres / INCH
    if inches < 24:
        return f"{number(inches, 0 if inches >= 10 else 1)}\N{NO-BREAK SPACE}in"
    feet, rest = divmod(round(inches), 12)
    told = f"{number(feet)}\N{NO-BREAK SPACE}ft"
    return told if not rest or feet >= 100 else f"{told} {rest}\N{NO-BREAK SPACE}in"


def mass_in_words(grams: float) -> str:
    """A mass: "6.3 kg", "38 g", "0.3 g"."""
    if grams >= 1000:
        return f"{number(grams / 1000, 1 if grams < 100_000 else 0)}\N{NO-BREAK SPACE}kg"
    return f"{number(grams, 0 if grams >= 10 else 1)}\N{NO-BREAK SPACE}g"


def hours_in_words(hours: float) -> str:
    """Hours so far: "less than an hour", "2½ hours", "640 hours", "1,220 hours"."""
    if 0 < hours < 0.75:
        return _("less than an hour")
    if hours < 10:
        return halves_in_words(hours)
    whole = round(hours / 10) * 10 if hours >= 1000 else round(hours)
    return ngettext("{hours} hour", "{hours} hours", whole, hours=number(whole))


def halves_in_words(hours: float) -> str:
    """A few hours, to the half: "½ hour", "1 hour", "2½ hours"."""
    whole, half = divmod(round(hours * 2), 2)
    figure = f"{whole or ''}{'½' * half}" or "0"
    return ngettext("{hours} hour", "{hours} hours", 1 if whole + half <= 1 else 2, hours=figure)


def month_in_words(day: date) -> str:
    """The month of a day in the reader's language: "October 2023"."""
    return date_format(day, "F Y")


def share_in_a_hundred(part: float, of: float) -> int:
    """A share in a hundred; 0 and 100 are kept for none and all.

    >>> share_in_a_hundred(1, 900), share_in_a_hundred(899, 900), share_in_a_hundred(0, 0), share_in_a_hundred(9, 9)
    (1, 99, 0, 100)
    """
    if part in (0, of):
        return 100 if of and part == of else 0
    return min(99, max(1, round(100 * part / of)))
