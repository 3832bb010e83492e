"""By how much the even chance of a date moves if a part that waits comes a month from now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from calcs.forecast.result import Forecast
from calcs.forecast.words import day_in_words
from calcs.messages import _, ngettext
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Step, Working

A_MONTH = timedelta(days=30)
WEEKS_FROM = 21
"""From so many days on, a move is told in weeks."""


@dataclass(frozen=True)
class Late:
    """`days` by which the even chance moves, 0 where other work fills the time; with the sum that led to it."""

    days: int
    working: Working

    @property
    def words(self) -> str:
        """The move in a sentence."""
        if not self.days:
            return _("If it came a month from now, the even chance would stay where it is.")
        if self.days < WEEKS_FROM:
            moved = ngettext("{n} day", "{n} days", self.days)
        else:
            moved = ngettext("{n} week", "{n} weeks", round(self.days / 7))
        return _("If it came a month from now, the even chance would move by about {time}.", time=moved)


def late_by(links: Sequence[tuple[str, float]], forecast: Forecast, even: date) -> Late | None:
    """Return what a month of waiting moves; None where there is no pace.

    links: what can only follow the part, the part itself first, with mean bench hours. even: the day with an even
    chance as it stands. The day is the later of two: the even chance as it stands, since the other work goes on, and
    the arrival with all that can only follow it. Held against one that comes today.
    """
    pace = forecast.pace_hours_per_week
    if not pace:
        return None
    chain = forecast.chain
    work = chain.hours_left - chain.growth - chain.shop_time
    hours, more = sum(hours for _name, hours in links), chain.hours_left / work if work > 0 else 1.0
    days = timedelta(days=round(7 * hours * more / pace))
    comes = forecast.as_of + A_MONTH
    now, late = max(even, forecast.as_of + days), max(even, comes + days)
    numbers = " + ".join(format_in_full(one) for _name, one in links)
    formula = _("mean hours of what can only follow it: {names}", names="; ".join(name for name, _hours in links))
    steps = (
        Step(_("hours from then on"), formula, numbers if len(links) > 1 else "", hours, "h"),
        Step(
            _("with what comes along"),
            _("shop time, and what may yet join the plan, in proportion"),
            f"{format_in_full(hours)} × {format_in_full(more)}",
            hours * more,
            "h",
        ),
        Step(
            _("weeks"),
            _("hours ÷ pace"),
            f"{format_in_full(hours * more)} ÷ {format_in_full(pace)}",
            hours * more / pace,
            _("weeks"),
        ),
        Step(_("it comes"), _("30 days from now"), "", day_in_words(comes), ""),
        Step(_("it is done"), _("that day and these weeks"), "", day_in_words(comes + days), ""),
        Step(_("even chance"), _("the later of that day and the even chance as it stands"), "", day_in_words(late), ""),
    )
    return Late((late - now).days, Working(_("if it came a month from now"), steps))
