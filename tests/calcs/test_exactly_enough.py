"""Figures of a sum have the digits that its result takes, and no more."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.units.figures import format_significant
from calcs.working.builder import in_time
from calcs.working.exactly_enough import evaluate, exactly_enough, format_in_full
from calcs.working.result import Step

sizes = st.floats(1e-3, 1e4)


def half_a_digit(shown: str) -> float:
    return 0.5 * 10.0 ** -len(shown.replace(",", "").partition(".")[2])


@given(sizes, sizes, sizes)
def test_a_sum_can_be_done_again_from_what_is_printed(a: float, b: float, c: float) -> None:
    value = a * b / c
    shown = format_significant(value, "mm")
    numbers = exactly_enough(f"{format_in_full(a)} × {format_in_full(b)} ÷ {format_in_full(c)}", f"{shown} mm")
    again = evaluate(numbers)
    assert again is not None
    assert abs(again - float(shown.replace(",", ""))) <= half_a_digit(shown) * (1 + 1e-6) + 1e-9 * value


@given(st.floats(1e-2, 1e4))
def test_a_time_in_two_units_says_the_same_in_both(minutes: float) -> None:
    whole, _, other = in_time(minutes).replace(",", "").partition(" = ")
    if other:
        size, unit = other.split()
        again = float(whole.split()[0]) * (60 if unit == "s" else 1 / 60)
        assert abs(again - float(size)) <= half_a_digit(size) * (1 + 1e-6)


def test_no_more_digits_than_it_takes() -> None:
    assert exactly_enough("12.345678901 × 3", "37 min") == "12.3 × 3"
    assert Step("t", "", "7.4999999999 × 36", 270.0, "min").numbers == "7.5 × 36"


@pytest.mark.parametrize("numbers", ["0.613434 × 1.25", "1,000,000 × 2", "15.40625 × 2"])
def test_what_was_given_stays_as_it_was_given(numbers: str) -> None:
    assert exactly_enough(numbers, "1 mm") == numbers


@pytest.mark.parametrize("text", ["", "__import__('os')", "1 ÷ 0", "bar × 2", "2 × (3", "9 ** 9 ** 9 ** 9"])
def test_what_is_no_sum_comes_to_nothing(text: str) -> None:
    assert evaluate(text) is None


def test_money_and_units_are_left_out() -> None:
    assert evaluate("2.5 h × €24.00 an hour") == 60.0
    assert evaluate("3 × 2 × 1.50 EUR") == 9.0
