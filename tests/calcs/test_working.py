"""Workings as they are shown."""

import pytest

from calcs.units.figures import format_plain, format_significant
from calcs.working.result import Step, Working
from calcs.working.serialise import from_plain, to_plain


@pytest.mark.parametrize(
    ("value", "unit", "shown"),
    [
        (1061.03, "rev/min", "1061"),
        (0.1885, "min", "0.19"),
        (0.1885, "", "0.189"),
        (12.345, "min", "12.3"),
        (25.4, "mm", "25.4"),
        (0.0254, "mm", "0.0254"),
        (0.00236, "in", "0.00236"),
        (2.0, "in", "2"),
        (123456.7, "mm³", "123,457"),
        (0.5, "hp", "0.5"),
        (0, "min", "0"),
        (-3.14159, "mm", "−3.142"),
        (-1e-12, "mm", "−0.000000000001"),
        (1e-7, "m", "0.0000001"),
    ],
)
def test_figures_have_the_digits_they_deserve(value, unit, shown):
    assert format_significant(value, unit) == shown


@pytest.mark.parametrize(("value", "shown"), [(0.0625, "0.0625"), (1 / 64, "0.015625"), (100, "100"), (25.4, "25.4")])
def test_figures_that_were_given_are_shown_as_given(value, shown):
    assert format_plain(value) == shown


def test_a_step_shows_what_its_maker_said_and_else_its_figure():
    assert Step("t", "L ÷ vf", "30 ÷ 159", 0.1885, "min", "", "0.19 min = 11 s").as_text() == (
        "t = L ÷ vf = 30 ÷ 159 = 0.19 min = 11 s"
    )
    assert Step("hours", "", "", 1283.4, "h").as_text() == "hours = 1,283 h"


def test_a_working_can_be_kept_and_brought_back():
    working = Working("Time", (Step("t", "", "", 0.1885, "min", "a table", "0.19 min = 11 s"),))
    assert from_plain(Working, to_plain(working)) == working
