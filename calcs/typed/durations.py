"""Times as people type them, and back to text. Everything is in minutes.

Custom of the bench: 2:30 is two and a half hours, m is minutes, and a bare figure is hours when it can hardly be
anything else (a decimal, or a whole number up to 12).
"""

import math
import re
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Any

from calcs.messages import _, listed
from calcs.typed.durations_grammar import NotUnderstood, find_duration, product
from calcs.typed.durations_notes import Work, with_note, without_when, works_in
from calcs.typed.durations_refusals import refuse_no_bench_time, sittings
from calcs.typed.durations_single import Span
from calcs.typed.number_words import words_to_figures
from calcs.typed.other_languages import in_english
from calcs.typed.reading import Reading, Refusal, check_size, quote_input, refused, taken
from calcs.typed.text import about, plain_text, rounded

_UNKNOWN = re.compile(
    r"[?\-._ ]*|tb[acd]|un ?known|not (?:known|recorded|noted|logged)|n/?a|see the book|do not know|don't know|dunno"
)
_SITTINGS = re.compile(r"\b(?:days|evenings|sessions|nights|mornings|afternoons)\b")
# Below this a time is dust; shown as zero so that the text stays short enough to be read back.
_SMALLEST_MINUTES = 1e-9

UsualMinutes = Callable[[], float | None]


def read_duration(text: str | None, *, usual_minutes: UsualMinutes = lambda: None) -> Reading:
    """Read one time; never raises for any text. None and blank count as unknown, 0 is no time at all.

    The value is in minutes, an int where it is whole and a float otherwise. A range ("3-4 h") has its middle as
    value, with low and high. "~3h", "2h+" and "an hour or so" are "rough". `meter` is True for a running total
    ("to date 1,283"), whose entry is the difference from the reading before. What stands beside the time is its
    `note`; several works in one text are refused, with a reading of each in `lines`.
    usual_minutes: gives the builder's usual time on a day, for the question that "2 days" is answered with.

    >>> read_duration("2:30").value, read_duration("1½ h").value, read_duration("150m").value
    (150, 90, 150)
    >>> read_duration("2.5").message
    '2.5 → 2 h 30 min (a figure without a unit is taken in hours)'
    >>> read_duration("90").message
    '90 of what? Write 90 min or 90 h.'
    >>> read_duration("1h turning").note
    'turning'
    """
    typed = "" if text is None else str(text)
    try:
        check_size(typed)
        plain = in_english(plain_text(typed))
        check_size(plain)
        if _UNKNOWN.fullmatch(plain):
            return Reading(typed, None, "unknown", _("No time is given: it counts as unknown, not as zero."))
        return _understood(typed, *_with_figures(plain, usual_minutes))
    except Refusal as trouble:
        return refused(typed, trouble.sentence)


def _with_figures(plain: str, usual_minutes: UsualMinutes) -> tuple[str, str]:
    """A plain text in figures, and its tail that says when it was. Raises Refusal where it gives no bench time."""
    bare, when = without_when(plain.rstrip(" ,;."))
    figures = words_to_figures(bare)
    if (count := sittings(figures)) and (a_day := usual_minutes()):
        usual, total = (_spoken(Fraction(round(minutes))) for minutes in (a_day, count * a_day))
        differ = _(
            "Days and evenings are of different lengths. At your usual {usual} this is {total}: "
            "write ~{total}, or the hours that it was."
        )
        raise Refusal(differ.format(usual=usual, total=total))
    if not (_SITTINGS.search(figures) and product(figures)):
        refuse_no_bench_time(bare)
        refuse_no_bench_time(figures)
    return figures, when


def _understood(typed: str, figures: str, when: str) -> Reading:
    try:
        span = find_duration(figures)
    except NotUnderstood:
        if work := with_note(typed, _time_alone):
            return _as_reading(typed, work.span, note=work.note)
        if works := works_in(typed, _time_alone):
            return _as_works(typed, works)
        raise
    if when.startswith("since "):
        return _as_reading(typed, span.noting(_("one time for several days; what follows “since” is left aside")))
    return _as_reading(typed, span, note=" ".join(typed.split()[-len(when.split()) :]) if when else "")


def is_time(text: str) -> bool:
    """Whether a text is a time and nothing else.

    >>> is_time("2h30"), is_time("2h30 turning"), is_time("90")
    (True, False, False)
    """
    try:
        _time_alone(text)
    except Refusal:
        return False
    return True


def _time_alone(text: str) -> Span:
    """A part of a text as a time, without any words beside it."""
    figures, when = _with_figures(in_english(plain_text(text)), lambda: None)
    if when:
        raise Refusal("")
    return find_duration(figures)


def _as_works(typed: str, works: list[Work]) -> Reading:
    lines = tuple(_as_reading(work.text, work.span, note=work.note) for work in works)
    said = listed([f"{work.text} {work.note}".strip() for work in works])
    if len(works) == 2:
        asked = _("These are two kinds of time: {works}. Write each on a line of its own.", works=said)
    else:
        asked = _("These are several kinds of time: {works}. Write each on a line of its own.", works=said)
    return Reading(typed, None, "refused", asked, lines=lines)


def _minutes(value: Fraction) -> int | float:
    return value.numerator if value.denominator == 1 else float(value)


def _as_reading(typed: str, span: Span, note: str = "") -> Reading:
    low, notes = _minutes(span.minutes), span.notes
    more: dict[str, Any] = {"meter": span.meter, "bound": span.bound, "note": note}
    if note:
        notes = (*notes, _("“{words}” is for the note", words=quote_input(note)))
    if span.high is not None:
        middle, high = (span.minutes + span.high) / 2, _minutes(span.high)
        ends = {"low": _spoken(span.minutes), "high": _spoken(span.high), "middle": _spoken(middle)}
        words = _("{low} to {high}, taken as {middle}", **ends)
        return taken(typed, _minutes(middle), words, notes, status="range", low=low, high=high, **more)
    if span.meter:
        notes = (*notes, _("a running total to date"))
    status = "rough" if span.rough else "ok"
    words = _spoken(span.minutes, rough=span.rough and not span.bound)
    if span.bound:
        words = _("at least {size}", size=words)
    return taken(typed, low, words, notes, status=status, **more)


def _spoken(minutes: Fraction, *, rough: bool = False) -> str:
    """Hours and minutes in words; parts of a minute rounded, and marked so."""
    if minutes.denominator == 1:
        return about(format_duration(int(minutes))) if rough else format_duration(int(minutes))
    figure, inexact = rounded(minutes)
    return about(f"{figure} min") if rough or inexact else f"{figure} min"


def _checked(minutes: int | float | Fraction) -> float:
    value = float(minutes)
    if not math.isfinite(value) or value < 0:
        raise ValueError("A time to be shown is a finite number of minutes, zero or more.")
    return value


def format_duration(minutes: int | float) -> str:
    """Minutes as text that `read_duration` reads back to the same value: "2 h 30 min", "45 min", "0 min".

    A time that is not whole minutes is written in minutes alone ("0.75 min"); under 1e-9 minutes it is 0.
    Raises ValueError for a negative or endless time.

    >>> format_duration(150), format_duration(45), format_duration(0), format_duration(120)
    ('2 h 30 min', '45 min', '0 min', '2 h')
    """
    value = _checked(minutes)
    if value < _SMALLEST_MINUTES:
        return "0 min"
    if value != int(value):
        return f"{Decimal(repr(value)):f} min"
    hours, rest = divmod(int(value), 60)
    return " ".join(part for part in (f"{hours} h" if hours else "", f"{rest} min" if rest else "") if part)


def format_logged(minutes: int | float) -> str:
    """Minutes as they stand in a sentence or a total, to be read and not to be typed again: thousands stand apart.

    >>> format_logged(150), format_logged(67425)
    ('2 h 30 min', '1,123 h 45 min')
    """
    number, space, rest = format_duration(minutes).partition(" ")
    return f"{int(number):,}{space}{rest}" if number.isdecimal() else number + space + rest


def format_hours(minutes: int | float) -> str:
    """Minutes as hours, rounded to what the number deserves; the word "about" is left to the page.

    Under 10 h one decimal, above whole hours, from 1,000 h to the nearest 10. Zero is "0 h"; a time too short
    for one decimal is "under 0.1 h", which is not zero. Halves round up. Raises ValueError as format_duration.

    >>> [format_hours(60 * hours) for hours in (0, 2.5, 9.96, 640.4, 1283)]
    ['0 h', '2.5 h', '10 h', '640 h', '1,280 h']
    """
    hours = Decimal(str(_checked(minutes))) / 60
    if hours == 0:
        return "0 h"
    if hours < Decimal("0.05"):
        return _("under {hours} h", hours="0.1")
    tenths = hours.quantize(Decimal("0.1"), ROUND_HALF_UP)
    if tenths < 10:
        return f"{tenths} h"
    whole = hours.quantize(Decimal(1), ROUND_HALF_UP)
    if whole < 1000:
        return f"{whole} h"
    return f"{int((hours / 10).quantize(Decimal(1), ROUND_HALF_UP)) * 10:,} h"
