"""How the forecast moved: the finish as it was foreseen month by month, and the hours in all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from builds.charts.calendar import calendar_axis
from builds.charts.drawing import (
    BLUE,
    INK,
    LONG_DASHED_DOTTED,
    RULE,
    THICK,
    THIN,
    Chart,
    Layout,
    about,
    hatched,
    hours_axis,
    make_chart,
    new_figure,
    rows_at,
)
from builds.charts.forecast.hours_over_time import BEYOND, early_even_late
from builds.charts.labels import end_labels, end_margin
from builds.queries.forecast.replay import MonthForecast, Replay
from builds.templatetags.figures import day as in_full
from builds.templatetags.figures import hours, roughly
from calcs.forecast.words import EVEN_CHANCE, FOUR_IN_FIVE, NINE_IN_TEN, ONE_IN_TEN, period_of
from calcs.messages import _

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# The drawing ends where four fifths of the late ends lie, today's in any case, and not further off than so many times
# the way from the first day to the last, unless the even chances do: one wild month must not flatten all others.
USUAL, FARTHEST = 0.8, 4


@dataclass(frozen=True)
class Band:
    """A range over the day it was made on: low, even chance, high. Dates count days as `date.toordinal` does.

    `done` are the hours done by then (for the hours), nothing for the finish. `top` is where the drawing ends.
    """

    days: tuple[date, ...]
    low: tuple[float, ...]
    middle: tuple[float, ...]
    high: tuple[float, ...]
    done: tuple[float, ...]
    top: float


def finish_over_time(replay: Replay, *, name: str = "finish-over-time") -> Chart | None:
    """The finish foreseen, over the day it was foreseen on. None for fewer than two days with a date."""
    dated = [one for one in replay.course if one.finish_on is not None and one.finish_on.p10 is not None]
    dated = [one for one in dated if one.hours_left is not None and one.hours_left.p90 > 0]
    if len(dated) < 2:
        return None
    return make_chart(
        name=name,
        title=_("The finish, as it was foreseen month by month"),
        description=_finish_in_words(dated),
        heads=(_("As of"), *early_even_late()),
        rows=tuple(_finish_row(one) for one in reversed(dated)),
        data=_finish_band(dated),
        draw=_draw_finish,
    )


def hours_foreseen(replay: Replay, *, name: str = "hours-foreseen") -> Chart | None:
    """Hours done, and on top of them the range of hours left. None for fewer than two days with hours left."""
    known = [one for one in replay.course if one.hours_left is not None]
    if len(known) < 2:
        return None
    return make_chart(
        name=name,
        title=_("Hours in all, as they were foreseen month by month"),
        description=_hours_in_words(known),
        heads=(
            _("As of"),
            _("Hours done"),
            _("Left, low ({chance})", chance=_(ONE_IN_TEN)),
            _("Left, even chance"),
            _("Left, high ({chance})", chance=_(NINE_IN_TEN)),
        ),
        rows=tuple(_hours_row(one) for one in reversed(known)),
        data=_hours_band(known),
        draw=_draw_hours,
    )


def _finish_band(dated: Sequence[MonthForecast]) -> Band:
    first, last = dated[0].as_of, dated[-1].as_of
    span = max(365, (last - first).days)
    top = max(last + timedelta(days=span * FARTHEST), _usual_middle(dated))
    rows = [
        tuple((end or top).toordinal() for end in (one.finish_on.p10, one.finish_on.p50, one.finish_on.p90))
        for one in dated
        if one.finish_on is not None
    ]
    low, middle, high = zip(*rows, strict=True)
    usual = sorted(high)[round(USUAL * (len(high) - 1))]
    end = min(max(usual, high[-1], last.toordinal() + 90), top.toordinal())
    return Band(tuple(one.as_of for one in dated), low, middle, high, (), end)


def _usual_middle(dated: Sequence[MonthForecast]) -> date:
    """A day that the even chances lie before as a rule, so that they stay on a drawing of few months."""
    middles = sorted(one.finish_on.p50 for one in dated if one.finish_on is not None and one.finish_on.p50 is not None)
    return middles[round(USUAL * (len(middles) - 1))] if middles else dated[-1].as_of


def _hours_band(known: Sequence[MonthForecast]) -> Band:
    done = [one.hours_done for one in known]
    left = [one.hours_left for one in known if one.hours_left is not None]
    low, middle, high = (
        tuple(round(had + getattr(one, end), 1) for had, one in zip(done, left, strict=True))
        for end in ("p10", "p50", "p90")
    )
    # The few highest may leave the drawing, so that the rest can be read.
    usual = sorted(high)[max(0, round(0.95 * (len(high) - 1)))]
    top = max(min(max(high), 1.5 * usual), high[-1])
    return Band(tuple(one.as_of for one in known), low, middle, high, tuple(round(had, 1) for had in done), top)


def _finish_in_words(dated: Sequence[MonthForecast]) -> str:
    first, last = _finish_row(dated[0]), _finish_row(dated[-1])
    return _(
        "From {first_even} as the even chance on {first} to {last_even} as the even chance on {last}. Hatching: where "
        "the finish was foreseen, {chance}. The thick line is the day itself: no finish lies below it.",
        first=first[0],
        first_even=first[2],
        last=last[0],
        last_even=last[2],
        chance=_(FOUR_IN_FIVE),
    )


def _finish_row(one: MonthForecast) -> tuple[str, ...]:
    """The day, and the early, the even and the late end of what was foreseen on it."""
    finish = one.finish_on
    ends = (finish.p10, finish.p50, finish.p90) if finish else (None, None, None)
    return (in_full(one.as_of), *(_(BEYOND) if end is None else period_of(end, one.as_of).words for end in ends))


def _hours_in_words(known: Sequence[MonthForecast]) -> str:
    def in_all(one: MonthForecast) -> str:
        left = one.hours_left
        assert left is not None  # noqa: S101 - those without hours were left out
        ends = {"low": about(one.hours_done + left.p10), "high": roughly(one.hours_done + left.p90)}
        return _("{low} to {high} on {day}", **ends, day=in_full(one.as_of))

    return _(
        "From {first} to {last}. The thick line is what was done; the hatching above it, where the hours in all were "
        "foreseen, {chance}. A band that climbs tells of a plan that grew or cost more.",
        first=in_all(known[0]),
        last=in_all(known[-1]),
        chance=_(FOUR_IN_FIVE),
    )


def _hours_row(one: MonthForecast) -> tuple[str, ...]:
    left = one.hours_left
    ends = (left.p10, left.p50, left.p90) if left else (None, None, None)
    return (in_full(one.as_of), hours(one.hours_done), *(roughly(end) for end in ends))


def _field(layout: Layout, band: Band, names: tuple[str, ...]) -> tuple[Figure, Axes]:
    height, right = 280 if layout.narrow else 380, end_margin(layout, names)
    figure, axes = new_figure(layout, height, left=layout.left, right=right, top=24, bottom=layout.calendar)
    last = max(band.days[-1], band.days[0] + timedelta(days=120))
    calendar_axis(axes, layout, band.days[0], last)
    return figure, axes


def _draw_band(axes: Axes, layout: Layout, band: Band) -> None:
    places = [day.toordinal() for day in band.days]
    axes.fill_between(places, band.low, band.high, **hatched(layout), zorder=2)
    axes.plot(places, band.middle, color=BLUE, linewidth=2.4, linestyle=LONG_DASHED_DOTTED, zorder=3)
    rows_at(axes, [*zip(places, band.middle, strict=True)][::-1])


def _draw_finish(layout: Layout, band: Band) -> Figure:
    names = _("the day itself"), _("early"), _(EVEN_CHANCE), _("late")
    figure, axes = _field(layout, band, names)
    first, last = band.days[0].toordinal(), band.days[-1].toordinal()
    axes.set_ylim(first, band.top + 0.03 * (band.top - first))
    _years_up(axes, layout, band.days[0], date.fromordinal(int(band.top)))
    _draw_band(axes, layout, band)
    axes.plot([first, last], [first, last], color=INK, linewidth=THICK, solid_capstyle="butt", zorder=4)
    end_labels(axes, layout, [*zip((last, band.low[-1], band.middle[-1], band.high[-1]), names, strict=True)])
    return figure


def _years_up(axes: Axes, layout: Layout, first: date, last: date) -> None:
    """The years along the upright scale, as many as have room."""
    years = range(first.year + 1, last.year + 1)
    step = max(1, -(-len(years) // (6 if layout.narrow else 9)))
    marked = [year for year in years if (years[-1] - year) % step == 0] if years else []
    axes.set_yticks([date(year, 1, 1).toordinal() for year in marked], [str(year) for year in marked], parse_math=False)
    axes.grid(axis="y", color=RULE, linewidth=THIN)


def _draw_hours(layout: Layout, band: Band) -> Figure:
    names = _("done"), _("low"), _(EVEN_CHANCE), _("high")
    figure, axes = _field(layout, band, names)
    axes.set_ylim(0, max(band.top * 1.04, 1))
    hours_axis(axes, layout, max(band.top, 1))
    _draw_band(axes, layout, band)
    places = [day.toordinal() for day in band.days]
    axes.plot(places, band.done, color=INK, linewidth=THICK, solid_capstyle="butt", zorder=4)
    ends = (band.done[-1], band.low[-1], band.middle[-1], band.high[-1])
    end_labels(axes, layout, [*zip(ends, names, strict=True)])
    return figure
