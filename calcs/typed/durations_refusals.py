"""Texts about time that give no time at the bench: each kind with its own sentence that asks for what would do.

Tried in order before the grammar of durations; the first pattern that matches decides.
"""

import re

from calcs.messages import _, gettext_noop
from calcs.typed.reading import Refusal

_SITTING = r"(?:days?|d|evenings?|nights?|mornings?|afternoons?|sessions?)"
_DAYS = rf"{_SITTING}|weeks?|wks?|months?|years?|weekends?|fortnights?"
# How many sittings: "2 full days", "1 session", "half a day", "all evening".
_SITTINGS = re.compile(
    rf"(?P<count>\d+(?:\.\d+)?|all|the whole|whole|most of the|half an?|half the|an?|1/2|1 1/2)?[ -]*"
    rf"(?:full |whole |long |good )?{_SITTING}"
)
_HALVES = {"half a": 0.5, "half an": 0.5, "half the": 0.5, "1/2": 0.5, "1 1/2": 1.5}

_TABLE: tuple[tuple[str, str], ...] = (
    (
        r".*\bovernight\b.*",
        gettext_noop(
            "“Overnight” is time that passed, not time at the bench. Write the bench time, like 20 min, "
            "and the rest as unattended."
        ),
    ),
    (
        r".*\d.*\b(?:soak|soaking|cooling|curing|drying|printing|running itself)\b.*,.*\d.*",
        gettext_noop(
            "These are unattended and attended hours in one text. Write the time at the bench alone, like 1 h, "
            "and the rest as unattended."
        ),
    ),
    (
        r".*\b(?:unattended|soak|soaking|cooling|curing|drying)\b.*",
        gettext_noop("This is unattended time. Write the time at the bench, like 1 h, and the rest as unattended."),
    ),
    (
        r"-\s*[\d.].*|.*\bminus\b.*",
        gettext_noop("A time cannot be negative. To correct an entry, change the entry; otherwise write it like 1 h."),
    ),
    (
        r"(?:under|less than|up to|below|within|at most|(?:no|not) more than|max(?:imum)?|<)\s*\S.*"
        r"|.*\d.*\b(?:max(?:imum)?|or less|at most|tops)\.?",
        gettext_noop("This gives an upper limit only. Write a rough figure like “~45 min”."),
    ),
    (
        r"(?:all|half an?|half the|most of the|whole|the whole|an?|1|1/2)\s*"
        r"(?:day|evening|afternoon|morning|weekend|night|week)",
        gettext_noop(
            "How long a day at the bench is differs from one builder to the next. Write a rough figure like “~5h”."
        ),
    ),
    (
        r"(?:an? )?(?:many|few|several|some|lots of|loads of|countless|too many|numerous|hundreds of|dozens of)\b.*",
        gettext_noop("This gives no figure to work with. Write a rough figure like “~3h”."),
    ),
    (
        r"(?:ages|forever|long|not long|an? (?:while|bit|long time|little)|a lot|lots)"
        r"|(?:hours|minutes|hours and hours|days|weeks)",
        gettext_noop("This says no number. Write a rough figure like “~3h”."),
    ),
    (
        rf".*(?<![a-z])(?:{_DAYS})\b.*",
        gettext_noop("Days and evenings are of different lengths. Write the hours, or roughly like “~6h”."),
    ),
    (
        r"(?!.*\b(?:to date|total|so far)\b).*\d+,\s+\d{3}(?!\d).*",
        gettext_noop("There is a stray space in the number. Write it without the space, like 1879 h."),
    ),
    (
        r"[0-2]\d[0-5]\d\s*h?\s*(?:-|\bto\b)\s*[0-2]\d[0-5]\d\s*(?:h|hrs)?|(?:[01]\d|2[0-3])[0-5]\d(?:h|hrs)",
        gettext_noop("This may be start and stop. Write them with colons, like 19:00-21:15."),
    ),
    (
        r".*\buhr\b.*",
        gettext_noop(
            "That is a time of day, not a length of time. Write start and stop like 1:00pm-2:30pm, or 1 h 30 min."
        ),
    ),
    (
        r"(?:none|nil|nothing|no time)",
        gettext_noop("Write 0 when no time was spent, or leave it blank when the time is not known."),
    ),
)

_REFUSALS = tuple((re.compile(pattern), sentence) for pattern, sentence in _TABLE)


def refuse_no_bench_time(plain: str) -> None:
    """Raise Refusal with its own sentence when a plain text gives no time at the bench.

    >>> refuse_no_bench_time("ages")
    Traceback (most recent call last):
    calcs.typed.reading.Refusal: This says no number. Write a rough figure like “~3h”.
    """
    for pattern, sentence in _REFUSALS:
        if pattern.fullmatch(plain):
            raise Refusal(_(sentence))


def sittings(figures: str) -> float | None:
    """How many days or evenings a plain text names, with figures for number words; None where it names none.

    >>> sittings("2 full days"), sittings("an evening"), sittings("1/2 a day"), sittings("2 h")
    (2.0, 1.0, 0.5, None)
    """
    found = _SITTINGS.fullmatch(figures.replace("1/2 a ", "1/2 ").replace("1/2 an ", "1/2 "))
    if not found or not found["count"]:
        return None
    count = found["count"]
    return _HALVES[count] if count in _HALVES else float(count) if count[0].isdigit() else 1.0
