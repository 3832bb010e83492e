"""Times as they stand in a line of a notebook, each read by `read_duration`."""

import re
from collections.abc import Iterator

from calcs.typed.durations import is_time, read_duration
from calcs.typed.notebook_words import CALLED, Word, word_set

_LONGEST = 8
# A figure behind one of these is no time: op 20 - 50 mins.
_NUMBERED = CALLED | word_set("op operation step batch")
_BEGINS = re.compile(
    r"[~<>]?\(?[\d½¼¾]|\d|[~]|(?:half|an?|one|two|three|four|five|six|ten|couple|quarter|the|about|around|approx\w*|roughly|"
    r"circa|ca|c|say|nearly|almost|between|from|to|total|running|meter|over|at|hours?|hrs?|mins?|minutes?|hour)\b"
)
_HAS_UNIT = re.compile(
    r"(?:\d|[½¼¾]|\b)\s*(?:hours?|hrs?|h|minutes?|mins?|m|')(?![a-z])|\dh\d|\d:\d\d|\d\s*[ap]\.?m|to date|meter|total"
)
_HOURS_END = re.compile(r"(?:\d|\b)(?:h|hrs?|hours?)\.?(,?)$", re.IGNORECASE)
_UNIT = re.compile(r"(?:hours?|hrs?|h|minutes?|mins?|m)\.?")
ALONE = word_set("unattended soak soaking cooling curing drying")
_BARE = re.compile(r"\d+[.,]\d{1,2}|\d*[½¼¾]")
_UNKNOWN = re.compile(
    r"(?:time|hours?|hrs?)\s*:?\s*(?:unknown|not (?:noted|known|recorded|logged)|\?+)"
    r"|(?:unknown|\?+)\s*(?:time|hours?|hrs?|h)|unknown|\?+"
)


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
    ends: list[int] = []
    if first and words[first - 1].plain.rstrip(".") in _NUMBERED:
        return ends
    for place in range(first, min(first + _LONGEST, len(words))):
        if words[place].used:
            break
        if place > first and words[place].plain in ("", "+") and _next_runs_alone(words, place):
            break
        if place == first or _is_whole(words, place):
            ends.append(place)
        if words[place].text[-1] in ",;)]" and not _HOURS_END.search(words[place].text):
            break
    return ends[::-1]


def _is_whole(words: list[Word], place: int) -> bool:
    """Whether a time may end with a word: a bare figure behind hours is minutes by two digits, and no count by five.

    2 hrs 15 lapping, 1 h 37; but not 1h 24 studs, 1 h, 3 h cooling.
    """
    hours, figure = _HOURS_END.search(words[place - 1].text), words[place].plain
    if hours is None or not figure.isdecimal():
        return True
    behind = words[place + 1].plain if place + 1 < len(words) else ""
    ends = not behind or words[place].breaks_after
    return not hours[1] and len(figure) == 2 and (ends or int(figure) % 5 == 0) and not _UNIT.fullmatch(behind)


def _next_runs_alone(words: list[Word], plus: int) -> bool:
    """Whether what is added behind a plus is time that ran by itself: 1 h + 16 h cooling."""
    return any(word.plain in ALONE for word in words[plus + 2 : plus + 4])


def _text(words: list[Word], first: int, last: int) -> str:
    return " ".join(word.text for word in words[first : last + 1]).strip(" ,;.()[]!").rstrip(":")


def _is_time(text: str) -> bool:
    low = text.lower()
    return bool(_BEGINS.match(low) and _HAS_UNIT.search(low)) and is_time(text)


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
