"""One time in plain text, without ranges, sums or products: 2h30, 2:30, 150 min, a bare figure of hours; exactly."""

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from calcs.messages import _
from calcs.typed.durations_clock import clock_minutes
from calcs.typed.reading import Bound, Refusal
from calcs.typed.text import NUMBER, exact_number

HOUR = r"(?:(?:person|man|people|bench|shop|working|work)[- ]?)?(?:hours?|hrs?|h)(?![a-z])\.?"
MINUTE = r"(?:minutes?|mins?|m|')(?![a-z])\.?"
SECOND = r"(?:seconds?|secs?|s)(?![a-z])\.?"
_COLON = re.compile(rf"(\d+):(\d+)(?::(\d+))?\s*(?:{HOUR})?")
_HOURS = re.compile(rf"({NUMBER})\s*{HOUR}")
_HOURS_MINUTES = re.compile(
    rf"(\d+)\s*{HOUR}\s*(?:,|and|&)?\s*(?:(\d+(?:[.,]\d+)?)\s*{MINUTE}|(\d{{1,2}}))(?:\s*(?:and)?\s*(\d+)\s*{SECOND})?"
)
_MINUTES = re.compile(rf"({NUMBER})\s*{MINUTE}(?:\s*(?:,|and)?\s*(\d+)\s*{SECOND})?")
_SECONDS = re.compile(rf"({NUMBER})\s*{SECOND}")
_LABEL = re.compile(r"(hours?|hrs?|h|minutes?|mins?|time|duration)\s*[:=]\s*(.+)")


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
    bound: Bound = ""

    def noting(self, note: str) -> "Span":
        return replace(self, notes=(*self.notes, note))


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
    if len(minutes) == 1 and minutes != "0" and not seconds:
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
