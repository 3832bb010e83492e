"""A time with words beside it, as it stands in a log: "1h turning", "3.5 (mostly cleaning)", "cleaning: 2h".

The time is read and the words are offered as a note. Where they would change the time ("2h each"), or where a second
figure stands among them, nothing is taken apart. Two works in one text are offered as two lines.
"""

import re
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from calcs.typed.durations_single import HOUR, MINUTE, SECOND, Span
from calcs.typed.other_languages import in_english
from calcs.typed.reading import Refusal
from calcs.typed.text import NUMBER, plain_text

# A figure without a unit is hours only where something parts it from the words: "2 rings" are two rings.
_PARTS = re.compile(r"\s*[,;:]\s+|\s+[-–—]+\s+|\s*(?=[(\[])|\s+")
_OPENS = re.compile(r"^[,;:(\[\s–—-]+|[)\]\s]+$")
# Words that make another time of the one beside them, or say that it is none that was worked.
_CHANGING = re.compile(
    r"\b(?:each|ea|per|every|apiece|daily|weekly|monthly|nightly|hourly|less|minus|plus|remaining|except|or|until|till"
    r"|twice|double|triple|thrice|half|quarter|x|times|if|between|than|unless|am|pm|uhr"
    r"|to (?:go|do)|a (?:day|week|month|piece)|which|but|(?:both|all) of us|shared)\b"
    r"|^(?:lost|wasted|breaks?|pauses?|tea|lunch|interrupted)\b"
    r"|^(?:ago|later?|early|short|off|over|left|more|planned|not|no|and|to|from|by|under)\b"
    r"|^an?\b(?! (?:bit|little|lot|few))|\b(?:short|over|left)$"
    r"|[+=*/%@<>?]"
)
_BAD_ENDS = re.compile(
    r"(?:^|.*\s)(?:in|at|of|after|before|within|about|than|with|on|past|next|last|during"
    r"|since|until|till|by|and|to|from|not|no|only|the|an?"
    r"|without|incl(?:uding|\.)?|excl(?:uding|\.)?|less|save|for)$"
)
# A figure in a note counts or names something: "12 rings", "part 14", "op. 20", "#3".
_NAMED = re.compile(
    r"(?:\b(?:part|item|op|operation|no|nr|number|sheet|step|fig|figure|drg|page|batch|m|mk)\b\.? ?#?|#)\d+\b"
    r"|\b\d+ (?=[a-z]{3})(?![a-z]+ing\b|people|persons?|men\b|helpers?|builders?)"
)
_MONTHS = (
    "jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?"
    "|nov(?:ember)?|dec(?:ember)?|spring|summer|autumn|winter"
)
_PERIOD = (
    rf"(?:{_MONTHS})\.?(?: (?:and|to) (?:{_MONTHS})\.?)?(?: \d{{4}})?|(?:19|20)\d\d"
    r"|the (?:week|weekend|month|year|holidays)|\w+ (?:days|evenings|sessions|weeks|weekends|months)"
    r"|(?:a|1|one) (?:week|weekend|month|fortnight)"
)
_DAY = r"(?:mon|tues|wednes|thurs|fri|satur|sun)day|(?:this|last|that) (?:morning|afternoon|evening|night)"
_SINCE = re.compile(r"(.*\d.*?)\s+since\b.+")
_WHEN = re.compile(
    rf"(.*(?:\d|hour|minute).*?),?\s+(?:(?:in|during|over|throughout|spread over) (?:{_PERIOD})|(?:on )?(?:{_DAY})"
    r"|(?:over |during )?(?:this|last|the last|the past) (?:week|weekend|month|year)|yesterday|today|tonight)"
)
_TIME = re.compile(rf"\d\s*(?:{HOUR}|{MINUTE}|{SECOND})(?!\w)|\d:\d")
_JOINTS = re.compile(r"\s*(?:[+;&]|,(?=\s)|\band\b)\s*", re.IGNORECASE)
# "1h turning 30 min milling" has nothing between its two works.
_NEXT_TIME = re.compile(rf"(?<=[^\W\d_)])\s+(?={NUMBER}\s*(?:{HOUR}|{MINUTE}))", re.IGNORECASE)
# "1h 12 rings" is no time of 1 h 12.
_LOOSE_FIGURE = re.compile(r".*[^\W\d_]\.?[\s,]+\d+\s*", re.DOTALL)
_UNITS = re.compile(rf"(?:{HOUR}|{MINUTE}|{SECOND}|mm|cm|inch(?:es)?|thou)")
_UNIT_OF = re.compile(rf"\d\s*({HOUR}|{MINUTE})")
_ALSO = re.compile(rf"({NUMBER})\s+(\w+ing)")

# A time is no longer than this, and no more words; the longest are numbers written out.
_LONGEST_TIME, _MOST_WORDS, _MOST_PLACES = 50, 8, 8

Reader = Callable[[str], Span]


@dataclass(frozen=True)
class Work:
    """A time, its text, and what stands beside it."""

    span: Span
    text: str
    note: str


def is_note(words: str) -> bool:
    """Whether words beside a time leave it as it is.

    >>> is_note("mostly cleaning"), is_note("12 rings"), is_note("each"), is_note("30 min milling")
    (True, True, False, False)
    """
    plain = in_english(plain_text(words))
    if not re.search(r"[^\W\d_]{2}", plain) or re.search(r"\d", _NAMED.sub("", plain)):
        return False
    return not (_TIME.search(plain) or _CHANGING.search(plain) or _UNITS.fullmatch(plain))


def with_note(typed: str, read: Reader) -> Work | None:
    """The time in a text and the note beside it; None where the text does not come apart so. read: of a time alone."""
    for text, note, parted in _splits(typed):
        if _may_be_time(text) and is_note(note) and (span := _try(read, text)) and (parted or not span.bare):
            return Work(span, text, note)
    return None


def _may_be_time(text: str) -> bool:
    """Whether a part of a text is no longer than any time, and has a figure or few enough words to be one in words."""
    figured = any(unicodedata.numeric(mark, None) is not None for mark in text)
    return len(text) <= _LONGEST_TIME and (figured or text.count(" ") < _MOST_WORDS)


def _splits(typed: str) -> Iterator[tuple[str, str, bool]]:
    """Time, note, and whether more than a space parts them: the note behind, from the longest time; then before it."""
    places = list(_PARTS.finditer(typed))
    for place in reversed(places[:_MOST_PLACES]):
        behind = typed[place.start() :].lstrip()
        parted = behind[:1] in tuple(",;:([-–—")
        if parted or not _LOOSE_FIGURE.fullmatch(typed[: place.start()]):
            yield typed[: place.start()], _OPENS.sub("", behind), parted
    for place in places[-_MOST_PLACES:] if typed[:1].isalpha() else ():
        before = re.sub(r"\s+for$", "", _OPENS.sub("", typed[: place.start()]), flags=re.IGNORECASE)
        if not _BAD_ENDS.fullmatch(plain_text(before)):
            yield typed[place.end() :], before, False


def _try(read: Reader, text: str) -> Span | None:
    try:
        return read(text) if text.strip() else None
    except Refusal:
        return None


def works_in(typed: str, read: Reader) -> list[Work]:
    """The several works in one text; empty where there are not at least two, each with a time and one with a note.

    A figure without a unit has the unit of the first, where what it is for is said: "2 h building, 4 shopping".
    """
    joined = typed if typed[:1].isalpha() else _NEXT_TIME.sub(" + ", typed)
    parts = [part.strip() for part in _JOINTS.split(joined) if part.strip()]
    unit = _UNIT_OF.search(plain_text(parts[0])) if len(parts) > 1 else None
    works = [_work(_ALSO.sub(rf"\1 {unit[1]} \2", part), read) for part in parts] if unit else []
    found = [work for work in works if work is not None]
    return found if len(found) == len(parts) and any(work.note for work in found) else []


def _work(part: str, read: Reader) -> Work | None:
    work = with_note(part, read)
    if work is None and (span := _try(read, part)):
        work = Work(span, part, "")
    if work is None or work.span.bare or work.span.meter or _BAD_ENDS.fullmatch(plain_text(work.note)):
        return None
    return work


def without_when(plain: str) -> tuple[str, str]:
    """The text without a tail that says when it was, and that tail.

    >>> without_when("30 hours in march"), without_when("2 h yesterday"), without_when("2 h")
    (('30 hours', 'in march'), ('2 h', 'yesterday'), ('2 h', ''))
    """
    found = _SINCE.fullmatch(plain) or _WHEN.fullmatch(plain)
    return (found[1], plain[len(found[1]) :].strip(" ,")) if found else (plain, "")
