"""What the figure filters print: unit, digits, and the difference between nothing and not known."""

from datetime import date
from types import SimpleNamespace

import pytest

from builds.templatetags.figures import day, hours, left, minutes, month, percent, pieces
from calcs.forecast.result import NOTHING, Spread


@pytest.mark.parametrize(
    ("value", "text"),
    [(0, "0 h"), (4.46, "4.5 h"), (9.96, "10 h"), (640.4, "640 h"), (1283.0, "1,280 h"), (-3.5, "−3.5 h")],
)
def test_hours_have_no_more_digits_than_they_deserve(value: float, text: str) -> None:
    assert hours(value) == text


@pytest.mark.parametrize("value", [None, "", "many", float("nan"), float("inf")])
def test_what_is_not_known_is_not_shown_as_zero(value: object) -> None:
    assert hours(value) == minutes(value) == percent(value) == "not known"


def test_minutes_are_hours_and_minutes() -> None:
    assert [minutes(n) for n in (0, 45, 120, 150)] == ["0 min", "45 min", "2 h", "2 h 30 min"]
    assert (minutes(67425), minutes(-60000)) == ("1,123 h 45 min", "−1,000 h")


@pytest.mark.parametrize(
    ("share", "text"),
    [(0, "0 %"), (0.001, "under 1 %"), (0.873, "87 %"), (0.998, "over 99 %"), (1, "100 %")],
)
def test_nearly_all_is_not_told_as_all(share: float, text: str) -> None:
    assert percent(share) == text


def test_dates_are_written_out_so_that_no_country_misreads_them() -> None:
    assert day(date(2026, 11, 2)) == "2 Nov 2026"
    assert month(date(2026, 11, 2)) == "November 2026"
    assert day(None) == month(None) == ""


def test_hours_left_say_whether_they_are_known() -> None:
    some = Spread(mean=14.9, p10=8.1, p50=12.3, p80=17.0, p90=21.0)
    assert [left(value) for value in (some, NOTHING, None)] == ["about 12 h left", "none left", "left not known"]


@pytest.mark.parametrize(
    ("counted", "text"),
    [
        ((5, 0, 0), "5 good"),
        ((1200, 2, 1), "1,200 good, 2 of them reworked, 1 scrap"),
        ((0, 0, 3), "0 good, 3 scrap"),
    ],
)
def test_pieces_leave_out_what_did_not_happen(counted: tuple[int, int, int], text: str) -> None:
    good, reworked, scrap = counted
    assert pieces(SimpleNamespace(good=good, reworked=reworked, scrap=scrap)) == text
