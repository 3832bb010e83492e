"""Finish dates, hours left and chances in words that claim no more than is known.

A day is named only when less than ten weeks are left, a month when less than a year is, a half-year beyond.
A date is never named without its chance.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from calcs.forecast.result import FinishDates, Spread
from calcs.messages import _, gettext_noop, ngettext
from calcs.typed.durations import format_hours

DAY_WITHIN = timedelta(weeks=10)
MONTH_WITHIN = timedelta(days=365)
MONTHS = (
    gettext_noop("January"),
    gettext_noop("February"),
    gettext_noop("March"),
    gettext_noop("April"),
    gettext_noop("May"),
    gettext_noop("June"),
    gettext_noop("July"),
    gettext_noop("August"),
    gettext_noop("September"),
    gettext_noop("October"),
    gettext_noop("November"),
    gettext_noop("December"),
)

EVEN_CHANCE = gettext_noop("even chance")
FOUR_IN_FIVE = gettext_noop("4 chances in 5")
"""Of a range from the 10 to the 90 per cent point, and of what stays under the 80 per cent point."""
ONE_IN_TEN = gettext_noop("1 chance in 10")
NINE_IN_TEN = gettext_noop("9 chances in 10")
BEYOND_HORIZON = gettext_noop("more than sixty years away")


@dataclass(frozen=True)
class Period:
    """A day, a month or a half-year, with the words for it; `first` and `last` are its ends, both included."""

    words: str
    first: date
    last: date

    @property
    def placed(self) -> str:
        """The words as they stand after "finished": on a day, in a month or a half-year."""
        return _("on {day}", day=self.words) if self.first == self.last else _("in {period}", period=self.words)

    @property
    def end(self) -> str:
        """The words as they stand after "finished by": a day, or the end of a month or a half-year."""
        return self.words if self.first == self.last else _("the end of {period}", period=self.words)


def chance_in_words(chance: float) -> str:
    """Return a chance, 0 to 1, in words that say no more than a forecast knows.

    >>> [chance_in_words(chance) for chance in (0.004, 0.14, 0.5, 0.83, 0.995)]
    ['hardly a chance', 'about 1 chance in 10', 'even chance', 'about 4 chances in 5', 'as good as certain']
    """
    if chance < 0.02:
        return _("hardly a chance")
    if chance > 0.98:
        return _("as good as certain")
    tenths = max(1, min(9, round(10 * chance)))
    if tenths == 5:
        return _(EVEN_CHANCE)
    if tenths == 8:
        return _("about {chance}", chance=_(FOUR_IN_FIVE))
    return ngettext("about {n} chance in 10", "about {n} chances in 10", tenths)


def exact_chance(chance: float) -> str:
    """Return a chance, 0 to 1, that arithmetic alone gives. What is nearly none or nearly all is not told as such.

    >>> [exact_chance(chance) for chance in (0.001, 0.1, 0.5, 0.874, 0.999)]
    ['under 1 chance in 100', '1 chance in 10', 'even chance', '87 chances in 100', 'over 99 chances in 100']
    """
    named = {0.1: ONE_IN_TEN, 0.5: EVEN_CHANCE, 0.8: FOUR_IN_FIVE, 0.9: NINE_IN_TEN}.get(round(chance, 6))
    if named is not None:
        return _(named)
    hundredths = max(1, min(99, round(100 * chance)))
    words = ngettext("{n} chance in 100", "{n} chances in 100", hundredths)
    if 0 < chance < 0.005:
        return _("under {chance}", chance=words)
    return _("over {chance}", chance=words) if 0.995 <= chance < 1 else words


def month_in_words(day: date) -> str:
    """Return the month that a day lies in.

    >>> month_in_words(date(2027, 3, 9))
    'March 2027'
    """
    return _("{month} {year}", month=_(MONTHS[day.month - 1]), year=day.year)


def day_in_words(day: date) -> str:
    """Return a day, such as "9 March 2027"."""
    return _("{day} {month}", day=day.day, month=month_in_words(day))


def period_of(day: date, as_of: date) -> Period:
    """Return the period to name for a date, the coarser the further off. ValueError for a day before `as_of`.

    >>> today = date(2026, 11, 25)
    >>> [period_of(day, today).words for day in (date(2026, 12, 3), date(2027, 3, 9), date(2028, 8, 1))]
    ['3 December 2026', 'March 2027', 'the second half of 2028']
    """
    if day < as_of:
        raise ValueError("A finish lies today or later, not on a day that is past.")
    if day - as_of < DAY_WITHIN:
        return Period(day_in_words(day), day, day)
    if day - as_of < MONTH_WITHIN:
        first = day.replace(day=1)
        next_month = (first + timedelta(days=31)).replace(day=1)
        return Period(month_in_words(day), first, next_month - timedelta(days=1))
    if day.month <= 6:
        return Period(_("the first half of {year}", year=day.year), date(day.year, 1, 1), date(day.year, 6, 30))
    return Period(_("the second half of {year}", year=day.year), date(day.year, 7, 1), date(day.year, 12, 31))


def finish_range(finish: FinishDates, as_of: date) -> str:
    """Return the range that holds the finish with 4 chances in 5, in a few words.

    >>> today = date(2026, 11, 25)
    >>> finish_range(FinishDates(date(2027, 8, 2), date(2028, 4, 1), date(2029, 1, 9), date(2029, 9, 1)), today)
    'between August 2027 and the second half of 2029'
    >>> finish_range(FinishDates(date(2028, 7, 2), date(2028, 8, 1), date(2028, 9, 9), date(2028, 12, 1)), today)
    'in the second half of 2028'
    """
    if finish.p10 is None:
        return _(BEYOND_HORIZON)
    early = period_of(finish.p10, as_of)
    if finish.p90 is None:
        return _("{when} or later", when=early.placed)
    late = period_of(finish.p90, as_of)
    if late.first <= early.first:
        return late.placed
    return _("between {early} and {late}", early=early.words, late=late.words)


def finish_sentences(finish: FinishDates, as_of: date) -> tuple[str, ...]:
    """Return the finish in whole sentences, every date with its chance.

    >>> today = date(2026, 11, 25)
    >>> dates = FinishDates(date(2027, 8, 2), date(2028, 4, 1), date(2029, 1, 9), date(2029, 9, 1))
    >>> print("\\n".join(finish_sentences(dates, today)))
    There is an even chance that it is finished by the end of the first half of 2028.
    It is fairly safe, 4 chances in 5, that it is finished by the end of the first half of 2029.
    There is at most 1 chance in 10 that it is finished before August 2027.
    There is at most 1 chance in 10 that it is later than the second half of 2029.
    """
    if finish.p90 is not None and finish.p90 <= as_of:
        return (_("Nothing is left to do."),)
    if finish.p50 is None:
        even = _("The even chance reaches further than sixty years from now.")
    else:
        even = _("There is an even chance that it is finished by {end}.", end=period_of(finish.p50, as_of).end)
    chance = _(FOUR_IN_FIVE)
    if finish.p80 is None:
        safe = _("{chance} reach further than sixty years from now.", chance=chance)
    else:
        end = period_of(finish.p80, as_of).end
        safe = _("It is fairly safe, {chance}, that it is finished by {end}.", chance=chance, end=end)
    return (even, safe, *_early(finish.p10, as_of), *_late(finish.p90, as_of))


def _early(day: date | None, as_of: date) -> list[str]:
    chance = _(ONE_IN_TEN)
    if day is None:
        return [_("There is at most {chance} that it is finished within sixty years.", chance=chance)]
    period = period_of(day, as_of)
    # A period that has begun already cannot be undercut, so there is nothing to say about coming in before it.
    if period.first <= as_of:
        return []
    return [_("There is at most {chance} that it is finished before {period}.", chance=chance, period=period.words)]


def _late(day: date | None, as_of: date) -> list[str]:
    chance = _(ONE_IN_TEN)
    if day is None:
        return [_("There is more than {chance} that it takes over sixty years.", chance=chance)]
    period = period_of(day, as_of).words
    return [_("There is at most {chance} that it is later than {period}.", chance=chance, period=period)]


def hours_range(hours: Spread) -> str:
    """Return the hours that hold with 4 chances in 5, rounded outwards to two figures.

    >>> hours_range(Spread(1320.0, 1043.0, 1300.0, 1555.0, 1688.0))
    'between 1,000 and 1,700 hours'
    >>> hours_range(Spread(0.0, 0.0, 0.0, 0.0, 0.0))
    'no hours'
    """
    low, high = range_ends(hours)
    if high <= 0:
        return _("no hours")
    if low == high:
        return ngettext("about {n} hour", "about {n} hours", low)
    return _("between {low} and {high} hours", low=f"{low:,}", high=f"{high:,}")


def hours_left_in_words(hours: Spread) -> str:
    """Return the even chance of the hours with their range beside it.

    >>> hours_left_in_words(Spread(1320.0, 1043.0, 1274.0, 1555.0, 1688.0))
    'about 1,300 h, between 1,000 and 1,700 hours'
    """
    low, high = range_ends(hours)
    if low == high or high <= 0:
        return hours_range(hours)
    even = format_hours(nearest_two_figures(hours.p50) * 60)
    return _("about {even}, {range}", even=even, range=hours_range(hours))


def nearest_two_figures(hours: float) -> float:
    """Return hours rounded to two figures; below ten as they are, since they are shown with one decimal.

    >>> [nearest_two_figures(hours) for hours in (722.0, 47.3, 5.13, 1366.0)]
    [720.0, 47.0, 5.13, 1400.0]
    """
    if abs(hours) < 10:
        return hours
    unit = 10.0 ** (math.floor(math.log10(abs(hours))) - 1)
    return round(hours / unit) * unit


def range_ends(hours: Spread) -> tuple[int, int]:
    """Return the two ends that `hours_range` says, in hours."""
    return two_figures(hours.p10, math.floor), two_figures(hours.p90, math.ceil)


def two_figures(hours: float, towards: Callable[[float], int]) -> int:
    """Round to two figures, and to whole hours below a hundred."""
    if hours < 100:
        return towards(hours)
    unit = int(10 ** (math.floor(math.log10(hours)) - 1))
    return towards(hours / unit) * unit
