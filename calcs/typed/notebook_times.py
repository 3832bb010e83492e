"""Times as they stand in a line of a notebook, each read by `read_duration`; and days, where one is named."""

import re
from collections.abc import Iterator
from datetime import date, timedelta

from calcs.typed.durations import read_duration
from calcs.typed.notebook_words import Word, word_list, word_set

_LONGEST = 8
_BEGINS = re.compile(
    r"[~<>]?\(?[\d½¼¾]|\d|[~]|(?:half|an?|one|two|three|four|five|six|ten|couple|quarter|the|about|around|approx\w*|roughly|"
    r"circa|ca|c|say|nearly|almost|between|from|to|total|running|meter|over|at|hours?|hrs?|mins?|minutes?|hour)\b"
)
_HAS_UNIT = re.compile(
    r"(?:\d|[½¼¾]|\b)\s*(?:hours?|hrs?|h|minutes?|mins?|m|')(?![a-z])|\dh\d|\d:\d\d|\d\s*[ap]\.?m|to date|meter|total"
)
_HOURS_END = re.compile(r"(?:\d|\b)(?:h|hrs?|hours?),$", re.IGNORECASE)
ALONE = word_set("unattended soak soaking cooling curing drying")
_BARE = re.compile(r"\d+[.,]\d{1,2}|\d*[½¼¾]")
_UNKNOWN = re.compile(
    r"(?:time|hours?|hrs?)\s*:?\s*(?:unknown|not (?:noted|known|recorded|logged)|\?+)"
    r"|(?:unknown|\?+)\s*(?:time|hours?|hrs?|h)|unknown|\?+"
)
_MONTHS = word_list("jan feb mar apr may jun jul aug sep oct nov dec")
_DAYS = word_list("mon tue wed thu fri sat sun")
_MONTH_NAMES = word_list("january february march april may june july august september october november december")
_DAY_NAMES = word_list("monday tuesday wednesday thursday friday saturday sunday")


def read_times(words: list[Word]) -> tuple[str, str]:
    """The time at the bench and the unattended one, as they were written; empty where none is."""
    bench = alone = ""
    for first, last in _windows(words, _is_time):
        if _runs_alone(words, first, last):
            alone = alone or _take(words, first, last, "unattended")
        else:
            bench = bench or _take(words, first, last, "time")
    if not bench:
        for first, last in _windows(words, lambda text: bool(_UNKNOWN.fullmatch(text.lower()))):
            _take(words, first, last, "time")
            return "unknown", alone
    return bench, alone


def read_bare_time(words: list[Word]) -> str:
    """A decimal without a unit, which is hours by the custom of the readers."""
    for place, word in enumerate(words):
        if not word.used and _BARE.fullmatch(word.plain) and read_duration(word.plain).has_value:
            return _take(words, place, place, "time")
    return ""


def _windows(words: list[Word], fits: object) -> Iterator[tuple[int, int]]:
    """Places of the first and last word of what fits, from the left, the longest first."""
    place = 0
    while place < len(words):
        last = next((end for end in _ends(words, place) if fits(_text(words, place, end))), None)  # type: ignore[operator]
        if last is not None:
            yield place, last
        place = place + 1 if last is None else last + 1


def _ends(words: list[Word], first: int) -> list[int]:
    """Where a time that begins at a place may end, the furthest first."""
    ends = []
    for place in range(first, min(first + _LONGEST, len(words))):
        if words[place].used:
            break
        if place > first and words[place].plain in ("", "+") and _next_runs_alone(words, place):
            break
        ends.append(place)
        if words[place].text[-1] in ",;)]" and not _HOURS_END.search(words[place].text):
            break
    return ends[::-1]


def _next_runs_alone(words: list[Word], plus: int) -> bool:
    """Whether what is added behind a plus is time that ran by itself: 1 h + 16 h cooling."""
    return any(word.plain in ALONE for word in words[plus + 2 : plus + 4])


def _text(words: list[Word], first: int, last: int) -> str:
    return " ".join(word.text for word in words[first : last + 1]).strip(" ,;.()[]!")


def _is_time(text: str) -> bool:
    low = text.lower()
    if not (_BEGINS.match(low) and _HAS_UNIT.search(low)):
        return False
    reading = read_duration(text)
    return reading.has_value and not reading.note


def _runs_alone(words: list[Word], first: int, last: int) -> bool:
    """Whether a time is one that ran by itself, by the words beside it: 16 h cooling, unattended 3 h."""
    behind = [] if words[last].text[-1] in ",;" else words[last + 1 : last + 3]
    ahead = [] if first == 0 or words[first - 1].breaks_after or words[first - 1].used else [words[first - 1]]
    ahead = [word for word in ahead if word.plain == "unattended"]
    if behind and behind[0].breaks_after:
        behind = behind[:1]
    said = [word for word in (*behind, *ahead) if word.plain in ALONE]
    for word in said:
        word.used = "unattended" if word.plain == "unattended" else ""
    return bool(said)


def _take(words: list[Word], first: int, last: int, use: str) -> str:
    text = _text(words, first, last)
    for word in words[first : last + 1]:
        word.used = use
    return text


def read_since(words: list[Word], today: date) -> date | None:
    """The day that a lump began, where the line says "since" one: since 12 March, since November, since monday."""
    for place, word in enumerate(words):
        if word.plain != "since" or word.used:
            continue
        for length in (3, 2, 1):
            named = words[place + 1 : place + 1 + length]
            day = read_past_day(" ".join(one.plain for one in named), today) if len(named) == length else None
            if day is not None:
                for one in (word, *named):
                    one.used = "since"
                return day
    return None


def read_day(words: list[Word], today: date) -> date | None:
    """The day of the evening, where the line says it: yesterday, 2026-03-12."""
    for word in words:
        if not word.used and (word.plain == "yesterday" or re.fullmatch(r"\d{4}-\d\d-\d\d", word.plain)):
            day = read_past_day(word.plain, today)
            if day is not None:
                word.used = "day"
                return day
    return None


def read_past_day(text: str, today: date) -> date | None:
    """A day up to today as people name it; a month is its first day. None for anything else.

    >>> read_past_day("12 march", date(2026, 3, 1)), read_past_day("november", date(2026, 11, 25))
    (datetime.date(2025, 3, 12), datetime.date(2026, 11, 1))
    """
    words = text.replace(",", " ").split()
    if not words:
        return None
    if text == "yesterday":
        return today - timedelta(days=1)
    if len(words) == 1 and text in (*_DAYS, *_DAY_NAMES):
        return today - timedelta(days=(today.weekday() - _DAYS.index(text[:3]) - 1) % 7 + 1)
    try:
        day = _dated(words, today)
    except ValueError:
        return None
    return day if day is not None and day <= today else None


def _dated(words: list[str], today: date) -> date | None:
    """Raises ValueError for what is no date."""
    if len(words) == 1 and re.fullmatch(r"\d{4}-\d\d-\d\d", words[0]):
        return date.fromisoformat(words[0])
    named = [word for word in words if word in (*_MONTHS, *_MONTH_NAMES, "sept")]
    others = [re.sub(r"(?<=\d)(?:st|nd|rd|th)$|\.$", "", word) for word in words if word not in named]
    if len(named) != 1 or not all(one.isascii() and one.isdecimal() and len(one) in (1, 2, 4) for one in others):
        return None
    month = _MONTHS.index(named[0][:3]) + 1
    days = [int(one) for one in others if len(one) < 3]
    years = [int(one) for one in others if len(one) == 4]
    if len(days) > 1 or len(years) > 1:
        return None
    year = years[0] if years else today.year
    found = date(year, month, days[0] if days else 1)
    return found if years or found <= today else date(year - 1, month, days[0] if days else 1)
