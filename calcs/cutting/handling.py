"""Loading, gauging and deburring: time that is no cutting, kept apart from it and in sight."""

from __future__ import annotations

from dataclasses import replace

from calcs.cutting.results import Cut
from calcs.messages import _
from calcs.units.argument_checks import Quantity, optional, ratio
from calcs.units.figures import format_plain
from calcs.units.kinds import TIME
from calcs.units.registry import registry
from calcs.working.builder import in_time
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Step, Working


def with_handling(cut: Cut, factor: float = 1.0, each: Quantity | None = None) -> Cut:
    """Return the cut with its time × factor + a time for each piece, both written down after the cutting time.

    factor: 1 (cutting alone) to 100. each: time in addition. ValueError outside that.

    >>> from calcs.cutting import SetUp, turning
    >>> Q = registry().Quantity
    >>> cut = turning(Q(50, "mm"), Q(100, "mm"), Q(0.2, "mm"), SetUp(spindle_speed=1000))
    >>> round(with_handling(cut, 1.5, Q(1, "min")).minutes, 3)
    1.75
    """
    times, more = ratio(factor, _("handling factor"), 1, 100), optional(each, TIME, _("time of handling"))
    minutes = cut.minutes * times + more
    formula = _("t × handling factor (loading, gauging, deburring)")
    numbers = f"{format_in_full(cut.minutes)} × {format_plain(times)}"
    if more:
        formula = _("t × handling factor (loading, gauging, deburring) + handling")
        numbers = f"{numbers} + {format_in_full(more)}"
    step = Step(_("t with handling"), formula, numbers, minutes, "min", "", in_time(minutes))
    working = Working(cut.working.title, (*cut.working.steps, step))
    return replace(cut, time=registry().Quantity(minutes, "minute"), working=working)
