"""Start and stop times as people type them: 19:00-21:15, 7pm to 9.15pm, 22:30-00:45.

Hours and minutes of the clock only: no dates, no time zones. A stop earlier than the start is past midnight.
"""

import re
from dataclasses import dataclass

from calcs.messages import _
from calcs.typed.reading import Refusal

_DAY = 24 * 60
_LONGEST = 16 * 60
_HALF = r"(am|pm|a\.m\.?|p\.m\.?)"
_TIME = rf"(\d{{1,2}})(?:([:.])(\d{{2}}))?\s*{_HALF}?"
_SPAN = re.compile(
    rf"(?:from|between|start(?:ed)?)?\s*{_TIME}\s*(?:-|,?\s*\b(?:to|until|till|stop(?:ped)?|end(?:ed)?)\b)\s*{_TIME}"
)
_ONE_TIME = re.compile(rf"(?:at\s*)?\d{{1,2}}(?:[:.]\d{{2}})?\s*{_HALF}")
_RUNNING = re.compile(
    rf"(?:from|since|start(?:ed)?)\s*(?:at\s*)?{_TIME}(?:\s*-)?|\d{{1,2}}(?:[:.]\d{{2}})?\s*{_HALF}?\s*(?:-|\bto\b|\buntil\b)"
)
# 19h-21h and 19h00-21h15, as people write the clock who write hours with an h.
_H = r"(\d{1,2})\s?h\s?(\d{2})?"
_WITH_H = re.compile(rf"(?:from\s*)?{_H}\s*(?:-|\b(?:to|until)\b)\s*{_H}")
_BETWEEN = re.compile(r"between (.+) and (.+)")
_LAST_HOUR_OF_A_LENGTH = 6
# 19-21h: from seven to nine, or about twenty hours.
_ONE_H = re.compile(r"(?:from\s*)?(1[3-9]|2[0-4])\s*(?:-|\b(?:to|until)\b)\s*(\d|1\d|2[0-4])\s*h")


@dataclass(frozen=True)
class _Time:
    """One time as typed; hour and minute are checked, `half` is "a", "p" or "" when not said."""

    hour: int
    minute: int
    half: str
    typed_hour: str

    @property
    def is_24_hour(self) -> bool:
        return not self.half and (self.hour > 12 or self.typed_hour.startswith("0"))

    def minutes(self, half: str) -> int:
        """Minutes after midnight, on the 12-hour clock when a half of the day is given."""
        hour = self.hour % 12 + (12 if half == "p" else 0) if half else self.hour
        return hour * 60 + self.minute


def _time(hour: str, minute: str | None, half: str | None) -> _Time:
    time = _Time(int(hour), int(minute or 0), (half or "")[:1], hour)
    if time.minute > 59 or time.hour > 24 or (time.hour == 24 and time.minute):
        raise Refusal(_("That is not a time of the clock. Write start and stop like 19:00-21:15."))
    if time.half and not 1 <= time.hour <= 12:
        raise Refusal(_("With am or pm the hour runs from 1 to 12. Write it like 7pm-9.15pm, or 19:00-21:15."))
    return time


def clock_minutes(plain: str) -> int | None:
    """Minutes between a start and a stop, or None when the text is not about the clock.

    Raises Refusal for a lone time, a session still running, or a span that may be two things.

    >>> clock_minutes("22:30-00:45"), clock_minutes("7.15-9.30pm"), clock_minutes("1:30")
    (135, 135, None)
    """
    plain = _BETWEEN.sub(r"from \1 to \2", plain)
    if _ONE_TIME.fullmatch(plain):
        of_day = _(
            "That is a time of day, not a length of time. Write start and stop like 1:00pm-2:30pm, or 1 h 30 min."
        )
        raise Refusal(of_day)
    if _RUNNING.fullmatch(plain):
        raise Refusal(_("The stop time is missing, so the session is still running. Write both, like 14:00-16:30."))
    if with_h := _WITH_H.fullmatch(plain):
        return _span_with_h(with_h, plain)
    if one_h := _ONE_H.fullmatch(plain):
        either = _("“{text}” may be start and stop or a range of hours. Write {start}:00-{stop}:00, or {range}.")
        hours = {"start": one_h[1], "stop": one_h[2], "range": f"{one_h[1]}-{one_h[2]} hours"}
        raise Refusal(either.format(text=plain, **hours))
    found = _SPAN.fullmatch(plain)
    if not found:
        return None
    with_colons = found[2] == ":" and found[6] == ":"
    if not (found[4] or found[8] or with_colons):
        return None  # 3-4 and 1.5-2 are ranges of hours
    return _span(_time(found[1], found[3], found[4]), _time(found[5], found[7], found[8]), plain)


def _span_with_h(found: re.Match[str], plain: str) -> int | None:
    """The clock where the first hour is one of the afternoon or of two digits with minutes; None for 3h-4h, a range.

    Between the two, both may be meant, which is asked.
    """
    first, last, minutes = int(found[1]), int(found[3]), found[2] or found[4]
    if first > 12 or (found[1].startswith("0") and len(found[1]) == 2):
        return _span(_time(found[1], found[2], None), _time(found[3], found[4], None), plain)
    if first <= _LAST_HOUR_OF_A_LENGTH and last <= _LAST_HOUR_OF_A_LENGTH and not minutes:
        return None
    either = _("{text} may be start and stop or a range of hours. Write 19:00-21:15, or a range like 3-4 h.")
    raise Refusal(either.format(text=plain))


def _span(start: _Time, stop: _Time, plain: str) -> int:
    if (start.half and stop.is_24_hour) or (stop.half and start.is_24_hour):
        raise Refusal(_("One time has am or pm and the other is on the 24-hour clock. Write both the same way."))
    if start.half or stop.half:
        minutes = _twelve_hour_span(start, stop)
    else:
        minutes = stop.minutes("") - start.minutes("")
        if minutes < 0 and not (start.is_24_hour or stop.is_24_hour):
            either = _("{text} may cross noon or midnight. Write am and pm, or the 24-hour clock like 22:30-00:45.")
            raise Refusal(either.format(text=plain))
        minutes %= _DAY
    if minutes == 0:
        raise Refusal(_("Start and stop are the same. Write two times like 19:00-21:15, or 0 for no time."))
    if minutes > _LONGEST:
        raise Refusal(_("That is more than 16 hours at a stretch. Check start and stop, or write the hours like 17 h."))
    return minutes


def _twelve_hour_span(start: _Time, stop: _Time) -> int:
    """At least one of the two says am or pm; the other takes the half of the day that makes it shortest."""
    if start.half and stop.half:
        return (stop.minutes(stop.half) - start.minutes(start.half)) % _DAY
    if stop.half:
        return min((stop.minutes(stop.half) - start.minutes(half)) % _DAY for half in "ap")
    return min((stop.minutes(half) - start.minutes(start.half)) % _DAY for half in "ap")
