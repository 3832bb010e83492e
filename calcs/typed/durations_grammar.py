"""The grammar of durations: plain text → minutes, exactly.

A single time comes first (`single_time`); sums, products and ranges are made of single times that carry a unit,
so that a bare figure never changes its meaning inside a longer text.
"""

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from calcs.messages import _
from calcs.typed.durations_clock import clock_minutes
from calcs.typed.reading import Refusal
from calcs.typed.text import NUMBER, exact_number

HOUR = r"(?:(?:person|man|people|bench|shop|working|work)[- ]?)?(?:hours?|hrs?|h)(?![a-z])\.?"
MINUTE = r"(?:minutes?|mins?|m|')(?![a-z])\.?"
SECOND = r"(?:seconds?|secs?|s)(?![a-z])\.?"
_PEOPLE = r"(?:people|persons?|builders?|helpers?|of us|men)"

_COLON = re.compile(rf"(\d+):(\d+)(?::(\d+))?\s*(?:{HOUR})?")
_HOURS = re.compile(rf"({NUMBER})\s*{HOUR}")
_HOURS_MINUTES = re.compile(
    rf"(\d+)\s*{HOUR}\s*(?:,|and|&)?\s*(?:(\d+(?:[.,]\d+)?)\s*{MINUTE}|(\d{{1,2}}))(?:\s*(?:and)?\s*(\d+)\s*{SECOND})?"
)
_MINUTES = re.compile(rf"({NUMBER})\s*{MINUTE}(?:\s*(?:,|and)?\s*(\d+)\s*{SECOND})?")
_SECONDS = re.compile(rf"({NUMBER})\s*{SECOND}")
_LABEL = re.compile(r"(hours?|hrs?|h|minutes?|mins?|time|duration)\s*[:=]\s*(.+)")

_ROUGH = re.compile(
    r"(?:[~>]|(?:approx(?:imately)?|about|around|roughly|circa|ca|c|say|nearly|almost|at least|over|more than)\b\.?)"
    r"\s*(.+)"
    r"|(.+?)\s*(?:\+|~|-?\bish\b|\bapprox(?:imately)?\b\.?|\broughly\b|\bor so\b|\bor more\b|\bor thereabouts\b|\?"
    r"|\((?:rough(?:ly)?|about|approx\.?|guess(?:ed)?|est(?:imated?)?\.?)\))"
)
_METER = re.compile(
    r"(?:total to date|hours to date|to date|running total|meter(?: reading)?|so far)\s*[:=]?\s*(.+)"
    r"|(.+?)\s+(?:to date|so far|on the meter)"
)
_METER_FIGURE = re.compile(rf"(\d{{1,3}}(?:,\d{{3}})+(?:\.\d+)?|\d+(?:\.\d+)?)\s*(?:{HOUR})?")
_SINCE = re.compile(r"(.*\d.*?)\s+since\b.+")

_LONGEST = Fraction(200_000 * 60)
_LARGEST_BARE_HOURS = 12


@dataclass(frozen=True)
class Span:
    """Exact minutes (or a low and a high), and how they are to be spoken of."""

    minutes: Fraction
    high: Fraction | None = None
    rough: bool = False
    meter: bool = False
    bare: bool = False
    notes: tuple[str, ...] = ()

    def noting(self, note: str) -> "Span":
        return replace(self, notes=(*self.notes, note))


def find_duration(plain: str) -> Span:
    """The time in a plain text with figures for number words; raises Refusal when there is none.

    >>> find_duration("2 people x 3 h").minutes, find_duration("1.5").minutes
    (Fraction(360, 1), Fraction(90, 1))
    """
    span = _meter(plain) or _rough(plain) or single_time(plain) or _range(plain) or _product(plain) or _sum(plain)
    if span is None:
        raise Refusal(
            _("This was not understood as a time. Write a time like 2h30, 2:30, 2.5 h, 150 min or 19:00-21:15.")
        )
    if max(span.minutes, span.high or 0) > _LONGEST:
        raise Refusal(_("That is more than 200,000 hours, longer than a working life. Check the figure."))
    return span


def without_since(plain: str) -> tuple[str, bool]:
    """The text without a tail like "since November", and whether there was one."""
    found = _SINCE.fullmatch(plain)
    return (found[1], True) if found else (plain, False)


def _meter(plain: str) -> Span | None:
    found = _METER.fullmatch(plain)
    if not found:
        return None
    inner = (found[1] or found[2]).strip()
    figure = _METER_FIGURE.fullmatch(inner)
    if figure:
        return Span(Fraction(figure[1].replace(",", "")) * 60, meter=True)
    span = single_time(inner)
    return replace(span, meter=True, bare=False) if span else None


def _rough(plain: str) -> Span | None:
    couple = re.fullmatch(r"(?:a |the )?couple(?: of)? (hours?|hrs?|minutes?|mins?)", plain)
    if couple:
        return Span(Fraction(2 if couple[1].startswith("m") else 120), rough=True)
    found = _ROUGH.fullmatch(plain)
    if not found:
        return None
    inner = re.sub(r"^(hours?|hrs?|minutes?|mins?)$", r"1 \1", (found[1] or found[2]).strip())
    return replace(find_duration(inner), rough=True)


def single_time(plain: str) -> Span | None:
    """One time without ranges or sums, or None; bare figures are hours by custom and marked `bare`."""
    clock = clock_minutes(plain)
    if clock is not None:
        return Span(Fraction(clock)).noting(_("start to stop"))
    if label := _LABEL.fullmatch(plain):
        return _labelled(label[1], label[2])
    if found := _COLON.fullmatch(plain):
        _check_digits(*found.groups())
        return Span(_sixty(found[1], found[2], found[3]))
    if found := _HOURS_MINUTES.fullmatch(plain):
        _check_digits(found[1], found[3] or "", None)
        return Span(_sixty(found[1], found[2] or found[3], found[4]))
    if found := _HOURS.fullmatch(plain):
        return Span(exact_number(found[1], "h") * 60)
    if found := _MINUTES.fullmatch(plain):
        return Span(exact_number(found[1], "min") + Fraction(_under_sixty(found[2] or "0"), 60))
    if found := _SECONDS.fullmatch(plain):
        return Span(exact_number(found[1], "s") / 60)
    return _bare_hours(plain) if re.fullmatch(NUMBER, plain) else None


def _labelled(label: str, inner: str) -> Span | None:
    if not re.fullmatch(NUMBER, inner):
        return single_time(inner)
    unit = "" if label in ("time", "duration") else " min" if label.startswith("m") else " h"
    return single_time(inner + unit)


def _sixty(hours: str, minutes: str, seconds: str | None) -> Fraction:
    return int(hours) * 60 + _under_sixty(minutes) + _under_sixty(seconds or "0") / 60


def _check_digits(hours: str, minutes: str, seconds: str | None) -> None:
    """Refuse 3:5 and 3h5, which may be five minutes or fifty."""
    if len(minutes) == 1 and not seconds:
        either = _("One digit of minutes may be {hours}:0{digit} or {hours}:{digit}0. Write two digits.")
        raise Refusal(either.format(hours=hours, digit=minutes))


def _under_sixty(token: str) -> Fraction:
    value = exact_number(token, "min")
    if value >= 60:
        raise Refusal(
            _("Behind the hours the minutes stay under 60, and the seconds too. Write 2 h 15 min, or 135 min.")
        )
    return value


def _bare_hours(token: str) -> Span:
    value = exact_number(token, "h")
    if value > _LARGEST_BARE_HOURS and token.isdigit():
        raise Refusal(_("{figure} of what? Write {figure} min or {figure} h.", figure=token))
    if value == 0:
        return Span(value).noting(_("no time at all, which is not the same as unknown"))
    return Span(value * 60, bare=True).noting(_("a figure without a unit is taken in hours"))


def _with_unit(plain: str) -> Span | None:
    """A single time that carries its unit, possibly with a note in brackets behind it."""
    span = single_time(re.sub(r"\s*\([^()]*\)$", "", plain.strip()))
    if span is not None and span.bare:
        without = _("“{text}” has no unit. Write h or min behind every time, like 3 h + 45 min.", text=plain.strip())
        raise Refusal(without)
    return span


def _range(plain: str) -> Span | None:
    plain = re.sub(r"^(?:between|from)\s+", "", plain)
    for joint in re.finditer(r"\s*(?:-|\bto\b|\bor\b|\band\b)\s*", plain):
        left, right = plain[: joint.start()], plain[joint.end() :]
        high = single_time(right) if right else None
        if high is None or not left:
            continue
        unit = re.search(rf"(?:{HOUR}|{MINUTE}|{SECOND})$", right)
        low = single_time(f"{left} {unit[0]}" if unit and re.fullmatch(NUMBER, left) else left)
        if low is None:
            continue
        if high.bare:
            raise Refusal(_("This may be a range of hours or start and stop. Write 3-4 h, or 7:15pm-9:30pm."))
        if low.minutes >= high.minutes:
            raise Refusal(_("The range falls instead of rising. Write it like 3-4 h."))
        return Span(low.minutes, high=high.minutes)
    return None


def _product(plain: str) -> Span | None:
    for pattern in (
        rf"(?P<count>\d+)\s*{_PEOPLE}?\s*x\s*(?P<each>.+)",
        rf"(?P<each>.+?)\s*x\s*(?P<count>\d+)\s*{_PEOPLE}?",
        rf"(?P<count>\d+)\s*{_PEOPLE}\s*(?:,|for|at|@|:)?\s*(?P<each>.+?)(?:\s*each)?",
    ):
        found = re.fullmatch(pattern, plain)
        each = _with_unit(found["each"]) if found else None
        if found and each:
            return Span(int(found["count"]) * each.minutes).noting(
                _("{number} times the time given", number=found["count"])
            )
    return None


def _sum(plain: str) -> Span | None:
    terms = [_with_unit(term) if term.strip() else None for term in plain.split("+")]
    found = [term for term in terms if term is not None]
    if len(found) != len(terms):
        return None
    total = Span(sum((term.minutes for term in found), Fraction(0)))
    aside = total.noting(_("the words in brackets are left aside")) if "(" in plain else total
    return aside.noting(_("added up")) if len(found) > 1 else aside
