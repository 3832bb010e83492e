"""What finished parts took against what the model foresees for them."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.forecast.observations import rate_observations
from calcs.forecast.overrun import ALWAYS_LOG_SD, EXCESS_AT_FIRST, MOST_EXCESS, Overrun, overrun, weighed
from calcs.forecast.rates import fit_rates
from calcs.parts.plan import OperationPlan, PartPlan
from calcs.parts.yields import ShopYield, shop_belief

SURE = shop_belief({"turning": (10_000, 0)})
LOSSY = shop_belief({"turning": (8_000, 2_000)})


def part(key: int, minutes: float = 70.0, good: int = 4, scrap: int = 0, setups: int = 1) -> PartPlan:
    operation = OperationPlan(
        key, "turning", 30, 10, good=good, scrap=scrap, bench_minutes_counted=minutes, setups_done=setups
    )
    return PartPlan(key, "stud", "", 4, 0, (operation,))


def found(parts: list[PartPlan], shop: ShopYield = SURE) -> Overrun:
    return overrun(parts, fit_rates(list(rate_observations(parts)), ("turning",)), shop)


def test_without_finished_parts_there_is_doubt_and_a_little_more_to_do():
    nothing = found([part(1, good=2)])
    assert nothing.log_mean == EXCESS_AT_FIRST
    assert nothing.log_sd > ALWAYS_LOG_SD


def test_parts_that_took_what_was_foreseen_take_the_little_more_away():
    many = found([part(key) for key in range(60)])
    assert abs(many.log_mean) < 0.02
    assert many.log_sd < found([]).log_sd


def test_blanks_to_spare_are_expected_of_the_next_parts_too():
    # Each at its planned pace, and two pieces more than were needed.
    spare = found([part(key, minutes=90, good=6) for key in range(60)])
    few = found([part(key, minutes=90, good=6) for key in range(3)])
    assert spare.log_mean > 0.1
    assert EXCESS_AT_FIRST < few.log_mean < spare.log_mean


def test_batches_opened_again_without_being_logged_as_such_are_not_counted_twice():
    # One piece of five is lost and made anew, with a set-up of its own: 2 × 30 + 5 × 10 minutes. Where the log has one
    # batch only, the second set-up stands in the ratio, and the forecast would add it once more.
    logged = found([part(key, minutes=110, scrap=1, setups=2) for key in range(60)], LOSSY)
    unlogged = found([part(key, minutes=110, scrap=1) for key in range(60)], LOSSY)
    assert abs(logged.log_mean) < 0.03
    assert unlogged.log_mean < -0.15


def test_hours_count_and_not_parts():
    small_ones_doubled = [(20.0, 10.0)] * 10 + [(1000.0, 1000.0)] * 10
    assert weighed(small_ones_doubled).log_mean < weighed([(1500.0, 1000.0)] * 20).log_mean / 4


def test_a_part_with_an_unknown_time_says_nothing():
    operation = OperationPlan(1, "turning", 30, 10, good=4, bench_minutes_counted=500, times_unknown=True)
    assert found([PartPlan(1, "stud", "", 4, 0, (operation,))]) == found([])


@settings(max_examples=30, deadline=None)
@given(st.floats(0.1, 1e5), st.integers(1, 30))
def test_a_hole_in_the_log_never_shifts_by_more_than_a_habit_could(took, parts):
    assert abs(weighed([(took, 10.0)] * parts).log_mean) <= math.log(MOST_EXCESS)


def test_more_parts_leave_less_doubt_but_never_none():
    doubts = [weighed([(11.0, 10.0)] * parts).log_sd for parts in (0, 1, 5, 50, 5000)]
    assert doubts == sorted(doubts, reverse=True)
    assert doubts[-1] == pytest.approx(ALWAYS_LOG_SD, rel=0.01)
