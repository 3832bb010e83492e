"""When milestones are reached: the work they need, and the other work that goes on until then."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.forecast import forecast
from calcs.forecast.ready import ready_by
from calcs.forecast.result import MilestoneForecast
from calcs.forecast.working import next_milestone, working_of
from calcs.parts.plan import BuildPlan, MilestonePlan, OperationPlan, PartPlan, Stint

TODAY = date(2026, 3, 1)
SEED = 7
DRAWS = 600


def part(key: int, *passed: int) -> PartPlan:
    """A part of one piece and three operations of two hours each, so many pieces past each of them."""
    goods = (*passed, 0, 0, 0)[:3]
    route = tuple(OperationPlan(10 * key + n, "fitting", 0, 120, good=good) for n, good in enumerate(goods))
    return PartPlan(key, f"part {key}", "", 1, 0, route, number=str(key))


def evenings(*parts: int, first: int = 0, number: int = 60) -> tuple[Stint, ...]:
    """Evenings on these parts in turn, the oldest `first` + `number` times three days ago."""
    days = [TODAY - timedelta(days=3 * n) for n in range(first, first + number)]
    return tuple(Stint(day, day, 150, part=parts[n % len(parts)], operation=None) for n, day in enumerate(days))


def plan(**facts: object) -> BuildPlan:
    """Thirty parts, of which the first milestone needs 1 to 5 and the second 6 to 10; the log is of part 1."""
    ahead = (MilestonePlan(1, "turns over", frozenset(range(1, 6))), MilestonePlan(2, "runs", frozenset(range(6, 11))))
    found = BuildPlan(tuple(part(key) for key in range(1, 31)), evenings(1), milestones=ahead)
    return replace(found, **facts)  # type: ignore[arg-type]


def milestones(**facts: object) -> tuple[MilestoneForecast, ...]:
    return forecast(plan(**facts), TODAY, SEED, DRAWS).milestones


def even_days(one: MilestoneForecast) -> int:
    assert one.finish_on is not None
    assert one.finish_on.p50 is not None
    return (one.finish_on.p50 - TODAY).days


def test_hours_that_went_elsewhere_move_a_milestone_away_and_leave_its_hours_as_they_are() -> None:
    towards, elsewhere = milestones(stints=evenings(1))[0], milestones(stints=evenings(20))[0]
    assert towards.towards.mean > 0.8
    assert elsewhere.towards.mean < 0.3
    assert even_days(elsewhere) > 2 * even_days(towards)
    assert elsewhere.hours_left == towards.hours_left


def test_what_went_towards_a_reached_milestone_is_expected_of_the_next() -> None:
    before = MilestonePlan(9, "frame stands", frozenset({20}), reached_on=TODAY)
    some, all_of_it = (milestones(stints=evenings(*on), reached=(before,))[0] for on in ((20, 21, 22), (20,)))
    assert some.towards.mean == pytest.approx(0.4, abs=0.08)
    assert all_of_it.towards.mean > 0.8
    assert (some.towards.reached, all_of_it.towards.reached) == (1, 1)


def test_a_log_that_names_no_parts_leaves_what_is_usual() -> None:
    nameless = tuple(replace(one, kind="shop") for one in evenings(1))
    [first, _second] = milestones(stints=nameless)
    assert 0.55 < first.towards.mean < 0.8
    assert first.towards.high - first.towards.low > 0.4


def test_what_a_small_milestone_was_given_of_the_rest_is_not_taken_for_what_a_large_one_will_get() -> None:
    """Half of the hours went into a fifth of what was open, so more than a third of them were given on purpose."""
    before = MilestonePlan(9, "frame stands", frozenset({20}), reached_on=TODAY)
    small, large = (
        milestones(stints=evenings(20, 21), reached=(before,), milestones=(MilestonePlan(1, "next", frozenset(keys)),))[
            0
        ]
        for keys in (range(1, 4), range(1, 28))
    )
    assert small.towards.mean < 0.6
    assert large.towards.mean > 0.85


def test_the_share_for_the_second_milestone_is_of_what_both_need() -> None:
    first, second = milestones(stints=evenings(1, 7, 20, 21))
    assert first.towards.mean < 0.4
    assert second.towards.mean == pytest.approx(0.52, abs=0.06)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(1, 30), min_size=1, max_size=6), st.integers(0, 40), st.booleans())
def test_milestones_come_in_their_order_and_never_after_the_whole_build(on, first, reached):
    past = (
        (MilestonePlan(9, "frame stands", frozenset({30}), reached_on=TODAY - timedelta(days=60)),) if reached else ()
    )
    found = forecast(plan(stints=evenings(*on, first=first), reached=past), TODAY, SEED, 200)
    for name in ("p10", "p50", "p80", "p90"):
        days = [getattr(one.finish_on, name) or date.max for one in (*found.milestones, found)]
        assert days == sorted(days)


def test_a_milestone_that_needs_everything_is_reached_with_the_whole_build() -> None:
    found = forecast(plan(milestones=(MilestonePlan(1, "all", frozenset(range(1, 31))),)), TODAY, SEED, DRAWS)
    assert found.milestones[0].finish_on == found.finish_on


def test_an_operation_stands_for_the_work_up_to_and_with_it() -> None:
    whole, two, one = (
        milestones(milestones=(milestone,))[0].hours_left.p50
        for milestone in (
            MilestonePlan(1, "whole", frozenset({1})),
            MilestonePlan(1, "two", frozenset(), up_to=((1, 11),)),
            MilestonePlan(1, "one", frozenset(), up_to=((1, 10),)),
        )
    )
    assert one < two < whole
    assert two == pytest.approx(whole * 2 / 3, rel=0.1)


def test_of_several_operations_of_a_part_the_furthest_counts_and_the_whole_part_most() -> None:
    far, both, within = (
        milestones(milestones=(MilestonePlan(1, "so far", whole, up_to=up_to),))[0].hours_left
        for whole, up_to in (
            (frozenset[int](), ((1, 11),)),
            (frozenset[int](), ((1, 10), (1, 11))),
            (frozenset({1}), ((1, 10),)),
        )
    )
    assert far == both
    assert within == milestones(milestones=(MilestonePlan(1, "whole", frozenset({1})),))[0].hours_left


def test_an_operation_that_later_ones_show_to_be_passed_asks_for_nothing_more() -> None:
    parts = (part(1, 0, 0, 1), part(2, 0, 1), *(part(key) for key in range(3, 31)))
    ahead = MilestonePlan(1, "first turn", frozenset(), up_to=((1, 12), (2, 20)))
    [found] = milestones(parts=parts, milestones=(ahead,))
    assert found.hours_left.p90 == 0
    assert found.finish_on is not None
    assert found.finish_on.p90 == TODAY


def test_hours_on_operations_after_the_named_one_went_elsewhere() -> None:
    ahead = (MilestonePlan(1, "first turn", frozenset(), up_to=((1, 11),)),)
    before, after = (
        milestones(milestones=ahead, stints=tuple(replace(one, operation=key) for one in evenings(1)))[0].towards.mean
        for key in (10, 12)
    )
    assert after < 0.3 < 0.8 < before


def test_the_chance_of_a_milestones_date_is_the_share_of_its_draws() -> None:
    found = milestones(stints=evenings(1, 20))[0]
    for name, chance in (("p10", 0.1), ("p50", 0.5), ("p90", 0.9)):
        ready = ready_by(plan(stints=evenings(1, 20)), TODAY, getattr(found.finish_on, name), SEED, 1, DRAWS)
        assert ready is not None
        assert ready.chance == pytest.approx(chance, abs=0.02)


def test_an_evening_more_moves_a_milestone_by_days() -> None:
    evening = Stint(TODAY, TODAY, 150, part=20)
    before, after = milestones(stints=evenings(1, 20))[0], milestones(stints=(*evenings(1, 20), evening))[0]
    assert abs(even_days(after) - even_days(before)) <= 0.08 * even_days(before)


def test_the_working_says_how_much_goes_into_the_next_milestone() -> None:
    found = forecast(plan(stints=evenings(1, 1, 20)), TODAY, SEED, DRAWS)
    text = working_of(found).as_text()
    assert "of ten hours about 6 go into what “turns over” needs." in text
    assert "So the log has it so far" in text
    past = (MilestonePlan(9, "frame stands", frozenset({1}), reached_on=TODAY),)
    text = working_of(forecast(plan(stints=evenings(1, 1, 20), reached=past), TODAY, SEED, DRAWS)).as_text()
    assert "So it went towards the milestones reached so far." in text


def test_a_milestone_with_nothing_left_is_not_the_next_one() -> None:
    done = tuple(replace(one, marked_finished=one.key < 6) for one in plan().parts)
    found = next_milestone(forecast(plan(parts=done), TODAY, SEED, DRAWS))
    assert found is not None
    assert found.name == "runs"
