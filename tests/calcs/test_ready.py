"""Will it be ready by a day."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.forecast import forecast
from calcs.forecast.ready import MOST_TIMES, Ready, ready_by
from calcs.parts.plan import BuildPlan, Closure, MilestonePlan, OperationPlan, PartPlan, Stint

TODAY = date(2026, 3, 1)
SEED = 7


def plan(**facts: object) -> BuildPlan:
    parts = tuple(
        PartPlan(key, f"part {key}", "", 1, 0, (OperationPlan(key, "turning", 30, 300),), number=str(key))
        for key in range(1, 31)
    )
    stints = tuple(Stint(day, day, 150) for day in (TODAY - timedelta(days=3 * n) for n in range(60)) if day.day % 5)
    first = MilestonePlan(1, "first turn", frozenset(range(1, 11)))
    return replace(BuildPlan(parts, stints, milestones=(first,)), **facts)  # type: ignore[arg-type]


def asked(by: date, of: BuildPlan | None = None, milestone: int | None = None) -> Ready:
    found = ready_by(of or plan(), TODAY, by, SEED, milestone, draws=1000)
    assert found is not None
    return found


@pytest.mark.parametrize(("name", "chance"), [("p10", 0.1), ("p50", 0.5), ("p80", 0.8), ("p90", 0.9)])
def test_the_dates_of_the_forecast_have_the_chances_that_they_are_named_for(name, chance):
    finish_on = forecast(plan(), TODAY, SEED, draws=1000).finish_on
    assert finish_on is not None
    assert asked(getattr(finish_on, name)).chance == pytest.approx(chance, abs=0.012)


def test_the_pace_for_an_even_chance_put_in_gives_one():
    by = TODAY + timedelta(days=120)
    found = asked(by)
    assert found.pace_for_even_chance is not None
    times = found.pace_for_even_chance / found.pace
    faster = plan(stints=tuple(replace(one, minutes=one.minutes * times) for one in plan().stints))
    assert asked(by, faster).chance == pytest.approx(0.5, abs=0.02)


@settings(max_examples=12, deadline=None)
@given(st.integers(1, 900), st.integers(0, 400))
def test_a_later_day_is_never_less_likely_and_never_asks_for_more(days, more):
    soon, late = asked(TODAY + timedelta(days=days)), asked(TODAY + timedelta(days=days + more))
    assert soon.chance <= late.chance
    if soon.pace_for_even_chance is not None:
        assert late.pace_for_even_chance is not None
        assert late.pace_for_even_chance <= soon.pace_for_even_chance * 1.02
        assert soon.pace_for_four_in_five is None or soon.pace_for_four_in_five >= soon.pace_for_even_chance
        assert late.hours_to_leave_out is not None
        assert 0 <= late.hours_to_leave_out <= (soon.hours_to_leave_out or 0) + 2


def test_a_milestone_is_likelier_than_the_whole_build():
    by = TODAY + timedelta(days=90)
    assert asked(by, milestone=1).chance > asked(by).chance


def test_nothing_need_be_left_out_where_the_chance_is_even_already():
    assert asked(TODAY + timedelta(days=3000)).hours_to_leave_out == 0


def test_a_shop_that_is_closed_until_the_day_has_no_pace_that_would_do():
    by = TODAY + timedelta(days=30)
    closed = plan(closures=(Closure(TODAY, by),))
    found = asked(by, closed)
    assert (found.chance, found.pace_for_even_chance, found.hours_to_leave_out) == (0, None, None)


def test_without_a_log_no_day_can_be_told_of():
    assert ready_by(plan(stints=()), TODAY, TODAY + timedelta(days=30), SEED, draws=200) is None


@pytest.mark.parametrize(("by", "milestone"), [(TODAY - timedelta(days=1), None), (TODAY, 99)])
def test_a_past_day_and_an_unknown_milestone_are_refused(by, milestone):
    with pytest.raises(ValueError, match=r"\."):
        ready_by(plan(), TODAY, by, SEED, milestone, draws=200)


def test_no_pace_is_named_that_nobody_goes_at():
    found = asked(TODAY + timedelta(days=1))
    assert found.pace_for_even_chance is None or found.pace_for_even_chance <= MOST_TIMES * found.pace
