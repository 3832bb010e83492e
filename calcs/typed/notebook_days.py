"""Days as they stand in a line of a notebook: yesterday, Tue, 14 Nov, 14/11, since March."""

import re
from collections.abc import Callable
from datetime import date, timedelta
from itertools import pairwise

from calcs.typed.notebook_words import Word, word_list, word_set

_MONTHS = word_list("jan feb mar apr may jun jul aug sep oct nov dec")
_MONTH_NAMES = word_list("january february march april may june july august september october november december")
_DAYS = word_list("mon tue wed thu fri sat sun")
_DAY_NAMES = word_list("monday tuesday wednesday thursday friday saturday sunday")
_SHORT_DAYS = frozenset(_DAYS) | word_set("tues weds thur thurs")
_PARTS_OF_A_DAY = word_set("night evening afternoon morning")
# 14/11, 14/11/26, 14.11.2026: the day comes first. Points and hyphens may be a figure or a range but for the year.
_FIGURES = re.compile(r"(\d{1,2})(?:/(\d{1,2})(?:/(\d\d|\d{4}))?|([.-])(\d{1,2})\4(\d\d|\d{4}))")
# 3/8 is a size, and no day.
_PARTS_OF_AN_INCH = frozenset({2, 4, 8})


def read_since(words: list[Word], today: date) -> date | None:
    """The day that a lump began, where the line says "since" one: since 12 March, since November, since monday."""
    for place, word in enumerate(words):
        if word.plain != "since" or word.used:
            continue
        for length in (3, 2, 1):
            named = words[place + 1 : place + 1 + length]
            day = read_past_day(" ".join(one.plain for one in named), today) if len(named) == length else None
            if day is not None:
                _use([word, *named], "since")
                return day
    return None


def read_day(words: list[Word], today: date, is_name: Callable[[str], bool]) -> date | None:
    """The day of the evening, where the line says it: yesterday, last night, Tue, on 14 Nov, 2026-03-12.

    is_name: whether a word stands in the plan, so that a sun gear is no Sunday.
    """
    for place, word in enumerate(words):
        if word.used:
            continue
        weekday = word.plain in _DAY_NAMES or (_stands_alone(words, place) and not is_name(word.plain))
        for length in (4, 3, 2, 1):
            named = words[place : place + length]
            if len(named) < length or any(one.used for one in named):
                continue
            day = _day_of(named, today, weekday=weekday)
            if day is not None:
                if place and words[place - 1].plain == "last":
                    named = [words[place - 1], *named]
                _use([*named, *(one for one in words[place + length :][:1] if one.plain in _PARTS_OF_A_DAY)], "day")
                return day
    return None


def read_day_in_figures(words: list[Word], today: date) -> date | None:
    """14/11 at either end of the line; asked when the work is found, since 14/30 may be an item and its operation."""
    for word in words[:1] + words[-1:]:
        day = read_past_day(word.plain, today) if not word.used and _FIGURES.fullmatch(word.plain) else None
        if day is not None:
            word.used = "day"
            return day
    return None


def _stands_alone(words: list[Word], place: int) -> bool:
    """Whether a word may be a short name of a day by where it stands: at either end of the line, or marked off."""
    at_an_end = place in (0, len(words) - 1) or words[place].text[-1] in ".:,"
    return words[place].plain in _SHORT_DAYS and (at_an_end or words[place - 1].plain in ("on", "last"))


def _day_of(named: list[Word], today: date, *, weekday: bool) -> date | None:
    """The day that exactly these words name, in an evening's line."""
    texts = [one.plain for one in named]
    if texts[0] in ("yesterday", "last") and texts in (["yesterday"], ["last", "night"]):
        return today - timedelta(days=1)
    if weekday and len(texts) == 1:
        day = read_past_day(texts[0], today)
        on_today = _DAYS.index(texts[0][:3]) == today.weekday()
        return today if on_today else day
    dated = named[1:] if weekday else named
    parted = any(one.text[-1] in ",;:" and len(behind.plain) < 4 for one, behind in pairwise(dated))
    # 3 may be scrap.
    if parted or "may" in [one.text for one in dated]:
        return None
    told = " ".join(one.plain for one in dated)
    has_figures = any(char.isdecimal() for char in told)
    in_figures = _FIGURES.fullmatch(told)
    if not has_figures or (in_figures and not (weekday or in_figures[3] or in_figures[6])):
        return None
    return read_past_day(told, today)


def _use(words: list[Word], use: str) -> None:
    for word in words:
        word.used = use


def read_past_day(text: str, today: date) -> date | None:
    """A day up to today as people name it; a month is its first day. None for anything else.

    >>> read_past_day("12 march", date(2026, 3, 1)), read_past_day("november", date(2026, 11, 25))
    (datetime.date(2025, 3, 12), datetime.date(2026, 11, 1))
    >>> read_past_day("14/11", date(2026, 11, 25)), read_past_day("3/8", date(2026, 11, 25))
    (datetime.date(2026, 11, 14), None)
    """
    words = text.replace(",", " ").split()
    if not words:
        return None
    if text == "yesterday":
        return today - timedelta(days=1)
    if len(words) == 1 and text in (*_SHORT_DAYS, *_DAY_NAMES):
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
    if len(words) == 1 and (found := _FIGURES.fullmatch(words[0])):
        return _in_figures(int(found[1]), int(found[2] or found[5]), found[3] or found[6] or "", today)
    named = [word for word in words if word in (*_MONTHS, *_MONTH_NAMES, "sept")]
    others = [re.sub(r"(?<=\d)(?:st|nd|rd|th)$|\.$", "", word) for word in words if word not in named]
    if len(named) != 1 or not all(one.isascii() and one.isdecimal() and len(one) in (1, 2, 4) for one in others):
        return None
    month = _MONTHS.index(named[0][:3]) + 1
    days = [int(one) for one in others if len(one) < 3]
    years = [int(one) for one in others if len(one) == 4]
    if len(days) > 1 or len(years) > 1:
        return None
    return _last_of(days[0] if days else 1, month, years[0] if years else None, today)


def _in_figures(day: int, month: int, year: str, today: date) -> date | None:
    if not year and day < month and month in _PARTS_OF_AN_INCH:
        return None
    return _last_of(day, month, (2000 + int(year) if len(year) == 2 else int(year)) if year else None, today)


def _last_of(day: int, month: int, year: int | None, today: date) -> date:
    """A day of a year, or without one the last such day."""
    found = date(year or today.year, month, day)
    return found if year or found <= today else date(today.year - 1, month, day)
