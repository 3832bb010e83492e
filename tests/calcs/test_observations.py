"""What the log of a build teaches, and what is still open of it."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from scipy.special import stdtr, stdtrit

from calcs.forecast.imputation import impute, imputed_operations, imputed_part
from calcs.forecast.observations import (
    growth_of_plan,
    hours_added,
    rate_observations,
    shop_share,
)
from calcs.forecast.tails import FARTHEST, FREEDOM, beyond, chance_above, point_below
from calcs.parts.plan import WHOLE_PART, BuildPlan, OperationPlan, PartPlan
from calcs.parts.remaining import GIVEN, MEASURED, MISSING, nothing_left, open_part, open_parts, with_unnamed_hours
from calcs.parts.yields import yield_counts
from calcs.working.result import Step, Working

START = date(2025, 1, 1)
TURNED = OperationPlan(1, "turning", 30, 10, good=3, scrap=1, bench_minutes_counted=90, bench_minutes_open=25)
BORED = OperationPlan(2, "boring", 20, 15)


def part(*operations: OperationPlan, **facts: object) -> PartPlan:
    return replace(PartPlan(1, "bush", "cylinder", 4, 0, operations), **facts)  # type: ignore[arg-type]


def test_an_operation_half_done_is_compared_up_to_its_last_count():
    [seen] = rate_observations([part(TURNED, BORED)])
    assert (seen.key, seen.kind, seen.planned_minutes, seen.actual_minutes, seen.pieces) == (1, "turning", 70, 90, 4)


def test_all_minutes_count_once_nothing_more_has_to_go_through():
    through = replace(TURNED, good=4, scrap=0)
    [seen] = rate_observations([part(through, BORED)])
    assert (seen.planned_minutes, seen.actual_minutes, seen.pieces) == (70, 115, 4)


def test_pieces_counted_only_at_the_end_have_passed_the_operation_before():
    uncounted = replace(TURNED, good=0, scrap=0, bench_minutes_counted=0)
    first, second = rate_observations([part(uncounted, replace(BORED, good=4, bench_minutes_counted=70))])
    assert (first.key, first.planned_minutes, first.actual_minutes, first.pieces) == (1, 70, 25, 4)
    assert (second.key, second.planned_minutes, second.pieces) == (2, 80, 4)


def test_nothing_is_learned_where_a_time_or_a_figure_is_unknown():
    assert list(rate_observations([part(replace(TURNED, times_unknown=True))])) == []
    assert list(rate_observations([part(replace(TURNED, minutes_per_piece=None))])) == []
    assert list(rate_observations([part(replace(TURNED, unattended_share=1.0))])) == []
    assert list(rate_observations([part(BORED)])) == []


def test_a_finished_part_logged_without_operations_speaks_as_a_whole():
    [seen] = rate_observations([part(TURNED, BORED, marked_finished=True, bench_minutes_elsewhere=300)])
    assert (seen.kind, seen.planned_minutes, seen.actual_minutes) == ("", 30 + 40 + 20 + 60, 415)


def test_spares_are_part_of_what_was_planned_for_a_finished_part():
    # Eight and four spare at ten minutes, 120 minutes logged: just as planned.
    turned = OperationPlan(1, "turning", 0, 10, bench_minutes_open=120)
    with_spares = part(turned, quantity=8, spares=4, marked_finished=True)
    [seen] = rate_observations([with_spares])
    assert (seen.planned_minutes, seen.actual_minutes, seen.pieces) == (120, 120, 12)
    elsewhere = replace(with_spares, operations=(replace(turned, bench_minutes_open=0),), bench_minutes_elsewhere=120.0)
    [whole] = rate_observations([elsewhere])
    assert (whole.planned_minutes, whole.actual_minutes, whole.pieces) == (120, 120, 12)


def test_minutes_logged_on_a_part_are_taken_off_only_while_no_piece_is_counted():
    # What a count has been made of is known to be pieces had, and the time elsewhere belongs to those.
    uncounted = replace(TURNED, good=0, scrap=0, bench_minutes_counted=0.0, bench_minutes_open=0.0)
    assert open_part(part(uncounted, BORED, bench_minutes_elsewhere=200.0)).elsewhere_minutes == 200
    assert open_part(part(TURNED, BORED, bench_minutes_elsewhere=200.0)).elsewhere_minutes == 0


def test_minutes_logged_on_a_part_of_one_operation_are_that_operations():
    found = open_part(part(BORED, bench_minutes_elsewhere=200.0))
    assert (found.elsewhere_minutes, found.operations[0].open_minutes) == (0, 200)
    assert found.logged_minutes == 200


def test_two_set_ups_are_planned_twice():
    [seen] = rate_observations([part(replace(TURNED, setups_done=2), BORED)])
    assert seen.planned_minutes == 100


def test_a_part_is_finished_by_its_counts_or_by_hand():
    assert not nothing_left(part(TURNED))
    assert nothing_left(part(replace(TURNED, good=4)))
    assert not nothing_left(part(replace(TURNED, good=4), spares=1))
    assert nothing_left(part(marked_finished=True))
    assert not nothing_left(part())
    assert nothing_left(part(quantity=0))


def test_yields_are_counted_by_kind_and_pieces_of_one_operation_share_its_fate():
    counts = yield_counts(
        [part(replace(TURNED, good=1, scrap=0), BORED), part(replace(TURNED, key=3, good=1, scrap=2))]
    )
    three_alike = 3 / (1 + 2 * 0.2)
    assert counts["turning"] == pytest.approx((1 + three_alike / 3, three_alike * 2 / 3))
    assert counts["boring"] == (0, 0)


def test_one_bad_operation_condemns_its_kind_less_than_many_do():
    many = [part(replace(TURNED, key=key, good=1, scrap=0)) for key in range(12)]
    one_bad = yield_counts([*many, part(replace(TURNED, key=99, good=8, scrap=12))])["turning"]
    all_bad = yield_counts([*many, *(part(replace(TURNED, key=key, good=2, scrap=3)) for key in range(90, 94))])[
        "turning"
    ]
    share = [good / (good + scrap) for good, scrap in (one_bad, all_bad)]
    assert share[0] > share[1]
    assert share[0] > 0.8


@given(st.floats(0, 3000), st.floats(0, 3000), st.floats(1, 500))
def test_shop_time_follows_the_log(operation_hours, shop_hours, more):
    before, after = shop_share(operation_hours, shop_hours), shop_share(operation_hours, shop_hours + more)
    assert after.summary().mean > before.summary().mean
    summary = before.summary()
    # Reference library: scipy.stats.beta.
    assert summary.low == pytest.approx(stats.beta(before.a, before.b).ppf(0.1), rel=1e-6, abs=1e-12)
    assert summary.high == pytest.approx(stats.beta(before.a, before.b).ppf(0.9), rel=1e-6)


additions = st.lists(st.floats(0.1, 60), max_size=12)


@given(additions, st.floats(0, 5000))
def test_growth_of_the_plan_follows_the_log(added, worked):
    growth = growth_of_plan(added, worked)
    # Reference library: scipy.stats.gamma.
    expected = stats.gamma(growth.shape, scale=1 / growth.rate)
    assert growth.summary().mean == pytest.approx(expected.mean())
    assert growth.summary().high == pytest.approx(expected.ppf(0.9), rel=1e-6)
    assert growth_of_plan([*added, growth.lump], worked).summary().mean > growth.summary().mean


def test_one_large_lump_says_less_of_the_future_than_many_small_ones():
    often, once = growth_of_plan([4.0] * 20, 200), growth_of_plan([80.0], 200)
    assert once.summary().mean < often.summary().mean
    assert once.lump > often.lump
    work, cost, chances = np.full(2000, 100.0), np.ones(2000), (np.arange(2000) + 0.5) / 2000
    even = {growth: growth.hours_to_come(np.full(2000, 0.2), work, cost, chances) for growth in (often, once)}
    assert even[often].mean() == pytest.approx(25, rel=0.01)
    # What comes in lumps may well not come at all while little is left.
    assert (even[once] < 1).mean() > 0.2 > 0.02 > (even[often] < 1).mean()


@given(st.floats(0, 500), st.floats(0, 500), st.floats(0, 0.5))
def test_more_work_never_brings_in_less(work, more, growing):
    growth, chances = growth_of_plan([3.0, 5.0], 100), (np.arange(50) + 0.5) / 50
    ones = np.ones(50)
    before = growth.hours_to_come(growing * ones, work * ones, ones, chances)
    after = growth.hours_to_come(growing * ones, (work + more) * ones, ones, chances)
    assert (after >= before - 1e-9).all()


def test_only_what_came_in_after_work_began_is_growth():
    day = START + timedelta(days=30)
    added = [replace(BORED, added_on=when) for when in (None, START, day, day + timedelta(days=90))]
    plan = BuildPlan((part(*added),), started_on=START)
    assert plan.started_on is not None
    assert hours_added(plan, plan.started_on, day) == pytest.approx((80 / 60,))
    assert hours_added(plan, day, day) == ()


def test_a_figure_is_given_measured_or_missing():
    measured = replace(TURNED, minutes_per_piece=None, bench_minutes_counted=48)
    missing = replace(BORED, minutes_per_piece=None)
    [opened] = open_parts([part(measured, BORED, missing)])
    assert [one.figure for one in opened.operations] == [MEASURED, GIVEN, MISSING]
    assert [one.pieces for one in opened.operations] == [1, 4, 4]
    assert opened.operations[0].planned_minutes == 12
    assert opened.operations[2].planned_minutes == 20


def test_bench_and_unattended_minutes_are_split():
    opened = open_part(part(replace(BORED, unattended_share=0.75)))
    assert opened is not None
    assert (opened.operations[0].planned_minutes, opened.operations[0].planned_unattended_minutes) == (20, 60)


def test_blanks_beyond_need_and_finished_parts_are_no_work():
    assert open_part(part(replace(BORED, good=4))) is None
    assert open_part(part(BORED, quantity=0)) is None
    assert open_parts([part(BORED, marked_finished=True)]) == ()


@given(st.lists(st.floats(1, 10000), min_size=1, max_size=30))
def test_a_borrowed_range_is_centred_on_the_parts_and_never_narrow(minutes):
    imputed = impute(minutes)
    assert imputed is not None
    assert np.log(min(minutes)) - 1e-9 <= imputed.log_mean <= np.log(max(minutes)) + 1e-9
    assert imputed.log_sd > 0.3


def test_nothing_to_borrow_from_is_nothing():
    assert impute([]) is None
    assert impute([0.0]) is None
    assert imputed_part([part(), part(replace(BORED, minutes_per_piece=None))]) is None
    assert imputed_operations([part(replace(BORED, minutes_per_piece=None))]) == {}


def test_operations_borrow_from_their_kind_and_from_all():
    imputed = imputed_operations([part(BORED, TURNED)])
    assert set(imputed) == {"boring", "turning", ""}
    # One set-up of 20 min is lent beside 15 min a piece: shared out over four pieces it would be too little for one.
    assert np.exp(imputed["boring"].log_mean) == pytest.approx(15)
    assert imputed["boring"].setup_minutes == 20


def test_the_closed_form_of_the_tails_has_the_degrees_of_freedom_of_the_rates():
    # Reference library: scipy.special.
    points = np.concatenate([np.linspace(-500, 500, 2001), np.linspace(-6, 6, 2001)])
    chances = stdtr(FREEDOM, -points)
    assert chance_above(points) == pytest.approx(chances, rel=1e-9)
    assert point_below(chances) == pytest.approx(-stdtrit(FREEDOM, chances), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(("freedom", "close"), [(FREEDOM, 1e-6), (3.0, 2e-3), (5.3, 2e-3), (30.0, 2e-3)])
def test_draws_beyond_a_point_follow_students_tail(freedom, close):
    # Reference library: scipy.stats.t.
    student, chances = stats.t(freedom), (np.arange(2000) + 0.5) / 2000
    for least in (-3.0, 0.0, 2.5, 12.0):
        drawn = np.sort(beyond(np.full(2000, least), student.ppf(chances), freedom))
        expected = student.isf(student.sf(least) * (1 - chances))
        farthest = max(least + 3.0, FARTHEST)
        assert drawn == pytest.approx(np.minimum(expected, farthest), rel=close, abs=close)


def test_a_working_reads_as_lines():
    steps = (
        Step("speed", "1000 × v ÷ (π × d)", "1000 × 25 ÷ (π × 20)", 397.887, "rev/min", "common practice"),
        Step("chosen", "", "", "the next lower one", ""),
    )
    assert Working("Spindle speed", steps).as_text() == (
        "Spindle speed\n"
        "  speed = 1000 × v ÷ (π × d) = 1000 × 25 ÷ (π × 20) = 397.9 rev/min (common practice)\n"
        "  chosen = the next lower one"
    )


def test_large_results_are_written_out():
    assert Step("chips", "", "", 1234567.8, "mm³").as_text() == "chips = 1,234,568 mm³"
    assert Step("share", "", "", 0.123456, "").as_text() == "share = 0.1235"


MAKING = OperationPlan(9, WHOLE_PART, 0, 60)


def test_hours_on_a_finished_part_of_one_operation_are_that_operations_own():
    whole = part(MAKING, marked_finished=True, bench_minutes_elsewhere=300)
    [seen] = rate_observations([whole])
    assert (seen.key, seen.kind, seen.actual_minutes) == (9, WHOLE_PART, 300)


def test_hours_of_pieces_not_told_apart_stay_with_the_part():
    some = replace(MAKING, good=1, bench_minutes_counted=50)
    assert with_unnamed_hours(part(some, bench_minutes_elsewhere=90)).bench_minutes_elsewhere == 90
