"""The drawings that show why the forecast may be trusted: equal scales, and a top that one wild month does not set."""

import math
from dataclasses import replace
from datetime import date, timedelta

import pytest

from builds.charts.drawing import NARROW, WIDE, Layout
from builds.charts.forecast.replay import BEYOND, _finish_band, _finish_row, _hours_band
from builds.charts.rates import Points, _draw
from builds.queries.forecast.replay import MonthForecast
from calcs.forecast.result import FinishDates, Spread

FIRST = date(2020, 1, 31)


@pytest.mark.parametrize("layout", [WIDE, NARROW])
@pytest.mark.parametrize(
    "points",
    [
        Points((1.0, 2.0), (1.3, 2.6), 1.3, 1.1, 1.6),
        Points((0.02, 300.0), (0.05, 280.0), 0.8, 0.5, 1.2),
        Points((5.0, 5.0), (5.0, 5.0), 1.0, 0.4, 2.5),
    ],
)
def test_a_step_planned_is_as_long_as_a_step_taken(layout: Layout, points: Points) -> None:
    figure = _draw(layout, points)
    [axes] = figure.axes
    box = axes.get_window_extent()

    assert axes.get_xlim() == axes.get_ylim()
    assert box.width == pytest.approx(box.height)
    low, high = axes.get_xlim()
    assert all(low < math.log10(one) < high for one in (*points.planned, *points.actual))


def foreseen(month: int, late: date | None, hours: float = 100.0) -> MonthForecast:
    as_of = FIRST + timedelta(days=30 * month)
    finish = FinishDates(as_of + timedelta(days=100), as_of + timedelta(days=200), None, late)
    left = Spread(hours, hours / 2, hours, hours, 2 * hours)
    return MonthForecast(as_of, 10.0 * month, left, finish, None, (), ())


def test_one_wild_month_does_not_flatten_the_others() -> None:
    usual = FIRST + timedelta(days=2000)
    months = [foreseen(n, usual if n else date(2079, 1, 1), 10_000.0 if n == 0 else 100.0) for n in range(24)]

    assert _finish_band(months).top == usual.toordinal()
    assert _hours_band(months).top == pytest.approx(1.5 * (10 * 23 + 200), rel=0.05)


def test_a_late_end_beyond_the_horizon_runs_off_the_drawing_and_is_told() -> None:
    months = [foreseen(n, None) for n in range(24)]

    band = _finish_band(months)

    assert min(band.high) >= band.top
    assert _finish_row(months[0])[3] == BEYOND


def test_todays_range_is_always_in_the_drawing() -> None:
    months = [foreseen(n, FIRST + timedelta(days=900)) for n in range(23)]
    last = FIRST + timedelta(days=2500)

    assert _finish_band([*months, foreseen(23, last)]).top == last.toordinal()


def test_the_even_chance_stays_on_a_drawing_of_few_months() -> None:
    even, late = FIRST + timedelta(days=2600), FIRST + timedelta(days=9000)
    months = [replace(foreseen(n, late), finish_on=FinishDates(even, even, late, late)) for n in range(13)]

    band = _finish_band(months)

    assert even.toordinal() <= band.top < late.toordinal()
