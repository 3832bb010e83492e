"""What finished parts took beyond the pieces they needed."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.forecast.overrun import ALWAYS_LOG_SD, EXCESS_AT_FIRST, MOST_EXCESS, overrun
from calcs.parts.plan import OperationPlan, PartPlan
from calcs.parts.yields import shop_belief

SURE = shop_belief({"turning": (10_000, 0)})


def part(key: int, good: int, setups: int = 1, quantity: int = 4) -> PartPlan:
    operation = OperationPlan(key, "turning", 30, 10, good=good, bench_minutes_counted=200, setups_done=setups)
    return PartPlan(key, "stud", "", quantity, 0, (operation,))


def test_without_finished_parts_there_is_doubt_and_a_little_more_to_do():
    found = overrun([part(1, good=2)], SURE)
    assert found.log_mean == EXCESS_AT_FIRST
    assert found.log_sd > ALWAYS_LOG_SD


def test_parts_that_took_what_they_needed_shift_nothing():
    found = overrun([part(key, good=4) for key in range(40)], SURE)
    assert found.log_mean == pytest.approx(EXCESS_AT_FIRST * 15 / 55, abs=0.001)
    assert found.log_sd < overrun([], SURE).log_sd


def test_blanks_to_spare_and_set_ups_again_are_expected_of_the_next_parts_too():
    spare = overrun([part(key, good=6) for key in range(40)], SURE)
    again = overrun([part(key, good=4, setups=2) for key in range(40)], SURE)
    assert spare.log_mean > 0.1
    assert again.log_mean > 0.1
    few = overrun([part(key, good=6) for key in range(4)], SURE)
    assert EXCESS_AT_FIRST < few.log_mean < spare.log_mean / 2


def test_a_loss_that_the_yields_foresee_is_not_counted_twice():
    lossy = shop_belief({"turning": (5_000, 5_000)})
    parts = [part(key, good=6) for key in range(40)]
    assert overrun(parts, lossy).log_mean < overrun(parts, SURE).log_mean


@given(st.integers(1, 1000), st.integers(1, 30))
def test_a_hole_in_the_log_never_shifts_by_more_than_a_habit_could(good, parts):
    found = overrun([part(key, good=good, quantity=1) for key in range(parts)], SURE)
    assert abs(found.log_mean) <= math.log(MOST_EXCESS)
