"""Finish dates and hours left in words that claim no more than is known.

A day is named only when less than ten weeks are left, a month when less than a year is, a half-year beyond.
A date is never named without its chance.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from calcs.forecast.result import FinishDates, Spread

DAY_WITHIN = timedelta(weeks=10)
MONTH_WITHIN = timedelta(days=365)
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


@dataclass(frozen=True)
class Period:
    """A day, a month or a half-year, with the words for it; `first` and `last` are its ends, both included."""

    words: str
    first: date
    last: date
    preposition: str

    @property
    def placed(self) -> str:
        """The words as they stand after "finished": on a day, in a month or a half-year."""
        return f"{self.preposition} {self.words}"


def period_of(day: date, as_of: date) -> Period:
    """Return the period to name for a date, the coarser the further off. ValueError for a day before `as_of`.

    >>> today = date(2026, 11, 25)
    >>> [period_of(day, today).words for day in (date(2026, 12, 3), date(2027, 3, 9), date(2028, 8, 1))]
    ['3 December 2026', 'March 2027', 'the second half of 2028']
    """
    if day < as_of:
        raise ValueError("A finish is foreseen for today or later, not for a day that is past.")
    if day - as_of < DAY_WITHIN:
        return Period(f"{day.day} {MONTHS[day.month - 1]} {day.year}", day, day, "on")
    if day - as_of < MONTH_WITHIN:
        first = day.replace(day=1)
        next_month = (first + timedelta(days=31)).replace(day=1)
        return Period(f"{MONTHS[day.month - 1]} {day.year}", first, next_month - timedelta(days=1), "in")
    if day.month <= 6:
        return Period(f"the first half of {day.year}", date(day.year, 1, 1), date(day.year, 6, 30), "in")
    return Period(f"the second half of {day.year}", date(day.year, 7, 1), date(day.year, 12, 31), "in")


def finish_range(finish: FinishDates, as_of: date) -> str:
    """Return the range that holds the finish eight times in ten, in a few words.

    >>> today = date(2026, 11, 25)
    >>> finish_range(FinishDates(date(2027, 8, 2), date(2028, 4, 1), date(2029, 1, 9), date(2029, 9, 1)), today)
    'between August 2027 and the second half of 2029'
    >>> finish_range(FinishDates(date(2028, 7, 2), date(2028, 8, 1), date(2028, 9, 9), date(2028, 12, 1)), today)
    'in the second half of 2028'
    """
    if finish.p10 is None:
        return "more than sixty years away"
    early = period_of(finish.p10, as_of)
    if finish.p90 is None:
        return f"{early.placed} or later"
    late = period_of(finish.p90, as_of)
    if late.first <= early.first:
        return late.placed
    return f"between {early.words} and {late.words}"


def finish_sentences(finish: FinishDates, as_of: date) -> tuple[str, ...]:
    """Return the finish in whole sentences, every date with its chance.

    >>> today = date(2026, 11, 25)
    >>> dates = FinishDates(date(2027, 8, 2), date(2028, 4, 1), date(2029, 1, 9), date(2029, 9, 1))
    >>> print("\\n".join(finish_sentences(dates, today)))
    There is an even chance that it is finished by the end of the first half of 2028.
    It is fairly safe, four chances in five, that it is finished by the end of the first half of 2029.
    There is at most one chance in ten that it is finished before August 2027.
    There is at most one chance in ten that it is later than the second half of 2029.
    """
    if finish.p90 is not None and finish.p90 <= as_of:
        return ("Nothing is left to do.",)
    return (
        _by("There is an even chance that it is finished by", finish.p50, as_of, "Even chances"),
        _by(
            "It is fairly safe, four chances in five, that it is finished by", finish.p80, as_of, "Four chances in five"
        ),
        *_early(finish.p10, as_of),
        *_late(finish.p90, as_of),
    )


def _by(words: str, day: date | None, as_of: date, chance: str) -> str:
    if day is None:
        return f"{chance} reach further than sixty years from now."
    period = period_of(day, as_of)
    end = period.words if period.preposition == "on" else f"the end of {period.words}"
    return f"{words} {end}."


def _early(day: date | None, as_of: date) -> list[str]:
    if day is None:
        return ["There is at most one chance in ten that it is finished within sixty years."]
    period = period_of(day, as_of)
    # A period that has begun already cannot be undercut, so there is nothing to say about coming in before it.
    if period.first <= as_of:
        return []
    return [f"There is at most one chance in ten that it is finished before {period.words}."]


def _late(day: date | None, as_of: date) -> list[str]:
    if day is None:
        return ["There is more than one chance in ten that it takes over sixty years."]
    return [f"There is at most one chance in ten that it is later than {period_of(day, as_of).words}."]


def hours_range(hours: Spread) -> str:
    """Return the hours that hold eight times in ten, rounded outwards to two figures.

    >>> hours_range(Spread(1320.0, 1043.0, 1300.0, 1555.0, 1688.0))
    'between 1,000 and 1,700 hours'
    >>> hours_range(Spread(0.0, 0.0, 0.0, 0.0, 0.0))
    'no hours'
    """
    low, high = _rounded(hours.p10, math.floor), _rounded(hours.p90, math.ceil)
    if high <= 0:
        return "no hours"
    if low == high:
        return f"about {low:,} hours" if low != 1 else "about 1 hour"
    return f"between {low:,} and {high:,} hours"


def _rounded(hours: float, towards: Callable[[float], int]) -> int:
    """Round to two figures, and to whole hours below a hundred."""
    if hours < 100:
        return towards(hours)
    unit = int(10 ** (math.floor(math.log10(hours)) - 1))
    return towards(hours / unit) * unit
