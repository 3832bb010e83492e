"""Past months: what they knew, what is kept of them, and whether their ranges held."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from django.core.cache import cache

from builds.models import Build, Milestone
from builds.queries.forecast import replay_work
from builds.queries.forecast.replay import (
    DRAWS,
    MilestoneRange,
    Month,
    MonthForecast,
    PartRange,
    Progress,
    Replay,
    month_ends,
    progress_of,
    replay_at_hand,
)
from builds.queries.forecast.replay_days import snapshots_of
from builds.queries.forecast.replay_score import Scored, settled_parts
from builds.queries.forecast.replay_work import month_by_month
from builds.queries.snapshot import read_records, read_snapshot, snapshot_of
from calcs.forecast.result import NOTHING, Spread
from tests import factories
from tests.factories import TODAY

FIRST = date(2026, 5, 4)


@pytest.fixture
def build(db: None) -> Build:
    """Ten parts, one finished every three weeks from May on; six are done by now."""
    build = factories.make_build(started_on=FIRST)
    for n in range(10):
        route = [{"kind": "turning", "setup_minutes": 30, "minutes_per_unit": 60.0}]
        part = factories.make_part(build, str(n), f"Part {n}", quantity=4, operations=route)
        if n < 6:
            for evening in range(3):
                day = FIRST + timedelta(weeks=3 * n + evening)
                good = 4 if evening == 2 else 0
                factories.make_entry(build, day, 120, part=part, operation=part.operations.get(), good=good)
    return build


def replay_of(build: Build, today: date) -> Replay:
    """Worked out here and now."""
    found = replay_work.replay_of(build, today)
    assert found is not None
    return found


def worked_out(monkeypatch: pytest.MonkeyPatch) -> list[date]:
    """The days that are worked out are noted here; they are worked out all the same."""
    import calcs.forecast

    real, days = calcs.forecast.forecast, list[date]()

    def noted(plan: Any, as_of: date, **how: Any) -> Any:
        if how.get("draws") == DRAWS:
            days.append(as_of)
        return real(plan, as_of, **how)

    monkeypatch.setattr(calcs.forecast, "forecast", noted)
    return days


def test_the_months_run_from_the_first_work_to_the_last_month_that_is_over(build: Build) -> None:
    ends = month_ends(build, TODAY)

    assert ends == tuple(
        date(2026, month, day) for month, day in [(5, 31), (6, 30), (7, 31), (8, 31), (9, 30), (10, 31)]
    )
    assert month_ends(factories.make_build("Empty"), TODAY) == ()
    assert month_ends(build, date(2026, 5, 31)) == ()


def test_a_month_a_step_and_all_of_it_at_the_end(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    days = worked_out(monkeypatch)
    assert progress_of(build, TODAY) == Progress(0, 6)

    for done, said in enumerate(month_by_month(build, TODAY), 1):
        assert said == progress_of(build, TODAY) == Progress(done, 6)
        assert len(days) == done
        assert replay_at_hand(build, TODAY) is None

    found = replay_at_hand(build, TODAY)
    assert found is not None
    assert [one.as_of for one in found.course] == [*days, TODAY]


def test_what_is_begun_by_one_is_ended_by_another(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    days = worked_out(monkeypatch)
    first = month_by_month(build, TODAY)
    next(first)
    next(first)

    found = replay_of(build, TODAY)

    assert len(days) == 6
    assert list(first)[-1] == Progress(6, 6)
    assert len(days) == 6
    assert replay_of(build, TODAY) == found


def test_an_entry_logged_meanwhile_begins_the_build_anew_with_what_is_kept(
    build: Build, monkeypatch: pytest.MonkeyPatch
) -> None:
    days = worked_out(monkeypatch)
    steps = month_by_month(Build.objects.get(pk=build.pk), TODAY)
    for _month in range(4):
        next(steps)
    factories.make_entry(build, date(2026, 8, 15), 60, activity="tidying")

    rest = list(steps)

    # The fourth month is another one now; the three before it were kept.
    assert [one.done for one in rest] == [1, 2, 3, 4, 5, 6]
    assert days[3:] == [date(2026, month, day) for month, day in [(8, 31), (8, 31), (9, 30), (10, 31)]]
    build.refresh_from_db()
    found = replay_at_hand(build, TODAY)
    assert found is not None
    cache.clear()
    assert replay_of(build, TODAY) == found


def test_a_build_removed_meanwhile_is_left_alone(db: None) -> None:
    build = factories.make_build()
    for month in (7, 8, 9):
        factories.make_entry(build, date(2026, month, 4), 60, activity="tidying")
    steps = month_by_month(build, TODAY)
    next(steps)
    build.entries.all().delete()
    Build.objects.filter(pk=build.pk).delete()

    assert list(steps) == []


def test_day_after_day_is_what_each_day_is_by_itself(build: Build) -> None:
    """Everything that can join, finish or wait on a day does so somewhere in between."""
    parts = list(build.parts.order_by("pk"))
    parts[6].operations.update(added_on=date(2026, 7, 10))
    parts[0].operations.create(number=90, kind="filing", added_on=date(2026, 9, 1))
    build.parts.filter(pk=parts[7].pk).update(finished_on=date(2026, 8, 3))
    build.parts.filter(pk=parts[8].pk).update(waiting_for="post", waiting_since_on=date(2026, 9, 30))
    parts[9].batches.create(number=1, blanks=5, started_on=date(2026, 6, 30))
    factories.make_entry(build, date(2026, 6, 30), 45, part=parts[9])
    factories.make_entry(build, date(2026, 10, 2), 30, activity="tidying")
    records = read_records(build, TODAY)
    days = (*month_ends(build, TODAY), TODAY)

    taken_over = list(snapshots_of(records, days))

    assert taken_over == [snapshot_of(records, day) for day in days]
    assert [one.build_plan() for one in taken_over] == [snapshot_of(records, day).build_plan() for day in days]
    assert [len(one.parts) for one in taken_over] == [9, 9, 10, 10, 10, 10, 10]
    assert taken_over[3].by_part[parts[1].pk] is taken_over[6].by_part[parts[1].pk]


def test_a_new_entry_throws_no_past_month_away(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    before = replay_of(build, TODAY)
    days = worked_out(monkeypatch)
    factories.make_entry(build, TODAY, 60, part=build.parts.get(number="7"), activity="")
    build.refresh_from_db()

    after = replay_of(build, TODAY)

    assert days == []
    assert after.months == before.months


def test_an_entry_of_the_past_changes_its_month_and_those_after(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    replay_of(build, TODAY)
    days = worked_out(monkeypatch)
    factories.make_entry(build, date(2026, 8, 15), 60, activity="tidying")
    build.refresh_from_db()

    replay_of(build, TODAY)

    assert days == [date(2026, 8, 31), date(2026, 9, 30), date(2026, 10, 31)]


def test_what_is_kept_of_another_database_is_not_trusted(build: Build) -> None:
    replay_of(build, TODAY)
    cache.set_many({key.removeprefix(":1:"): {"as_of": 1} for key in list(cache._cache)})  # type: ignore[attr-defined]

    assert replay_at_hand(build, TODAY) is None
    assert len(replay_of(build, TODAY).months) == 6


def test_a_month_knows_only_what_was_in_the_log_by_then(build: Build) -> None:
    full = replay_of(build, TODAY).months[2].forecast

    cache.clear()
    build.entries.filter(worked_on__gt=date(2026, 7, 31)).update(worked_on=TODAY)
    build.revision += 1
    build.save()

    # The parts that were finished within the year are the same ones, so the whole month is.
    assert replay_of(build, TODAY).months[2].forecast == full


def test_closed_days_that_lay_ahead_are_left_out(build: Build) -> None:
    before = replay_of(build, TODAY).months[-1].forecast
    build.closures.create(from_on=TODAY, to_on=TODAY + timedelta(days=300), reason="away")
    build.revision += 1
    build.save()

    assert replay_of(build, TODAY).months[-1].forecast == before


def test_the_parts_settled_are_those_open_then_and_finished_within_the_year(build: Build) -> None:
    then, later = read_snapshot(build, date(2026, 6, 20)), read_snapshot(build, TODAY)

    took = settled_parts(then, later)

    # Part 2 had an evening before that day and two after it; 3 to 5 had all of theirs later.
    names = {one.key: one.hours for one in took}
    by_number = {line.part.number: line.part.pk for line in later.parts}
    assert names == {by_number["2"]: 4.0, by_number["3"]: 6.0, by_number["4"]: 6.0, by_number["5"]: 6.0}


def test_a_part_with_hours_not_known_or_without_a_figure_counts_for_nothing(build: Build) -> None:
    third = build.parts.get(number="3")
    factories.make_entry(build, date(2026, 7, 20), None, part=third, operation=third.operations.get())
    build.parts.get(number="4").operations.update(minutes_per_unit=None)

    took = settled_parts(read_snapshot(build, date(2026, 6, 20)), read_snapshot(build, TODAY))

    assert {one.key for one in took} == {build.parts.get(number=n).pk for n in ("2", "5")}


def test_the_sum_over_the_settled_parts_has_their_common_doubt_in_it(build: Build) -> None:
    """Adding up ends of ranges would be wider, as if the parts' own surprises all fell the same way."""
    month = replay_of(build, TODAY).months[0]
    together, parts = month.forecast.together, month.forecast.parts

    assert together is not None
    assert {one.key for one in parts} == {one.key for one in month.took}
    assert sum(one.low for one in parts) < together.p10
    assert together.p90 < sum(one.high for one in parts)
    assert month.hours_took == sum(one.hours for one in month.took)


def made_up(held: list[tuple[float, float, float]], reached: date | None = None) -> Replay:
    """A replay of months with the part 1 foreseen from the first to the second figure, and the third what it took."""
    months = []
    for n, (low, high, took) in enumerate(held):
        spread = Spread((low + high) / 2, low, (low + high) / 2, high, high)
        milestone = MilestoneRange(5, date(2026, 6, 1), date(2026, 7, 1) if n else None)
        forecast = MonthForecast(
            date(2026, 1 + n, 28), 0.0, NOTHING, None, spread, (PartRange(1, low, high),), (milestone,)
        )
        months.append(Month(forecast, (Scored(1, took),)))
    names = {5: ("First run", reached)} if reached else {}
    return Replay(Build(name="x"), tuple(months), None, names)


def test_how_often_it_held_is_counted() -> None:
    replay = made_up([(1, 3, 2), (1, 3, 3), (1, 3, 3.5), (1, 3, 0.5)])

    assert [month.held for month in replay.months] == [True, True, False, False]
    assert replay.months_held == (2, 4)
    assert replay.parts_held == (0.5, 1)


def test_every_part_is_worth_one_however_long_it_was_open() -> None:
    replay = made_up([(1, 3, 2), (1, 3, 9), (1, 3, 9)])
    second = replace(
        replay.months[0],
        forecast=replace(replay.months[0].forecast, parts=(PartRange(1, 1, 3), PartRange(2, 1, 3))),
        took=(Scored(1, 2.0), Scored(2, 2.0)),
    )
    replay = replace(replay, months=(second, *replay.months[1:]))

    share, parts = replay.parts_held
    assert parts == 2
    assert share == pytest.approx((1 / 3 + 1) / 2)


def test_a_month_without_settled_parts_is_neither_held_nor_missed() -> None:
    replay = made_up([(1, 3, 2)])
    empty = replace(replay.months[0], took=())

    assert empty.held is None
    assert replace(replay, months=(empty,)).months_held == (0, 0)


@pytest.mark.parametrize(
    ("reached", "held"), [(date(2026, 6, 1), 2), (date(2026, 7, 1), 2), (date(2026, 7, 2), 1), (date(2026, 5, 31), 0)]
)
def test_a_milestone_held_where_its_day_lies_in_the_range_both_ends_included(reached: date, held: int) -> None:
    """The first of the two ranges has no late end: it lay beyond what the forecast looks at."""
    [milestone] = made_up([(1, 3, 2), (1, 3, 2)], reached).milestones_held

    assert (milestone.name, milestone.held, milestone.of) == ("First run", held, 2)


def test_a_reached_milestone_is_foreseen_in_the_months_before_it_only(build: Build) -> None:
    milestone = Milestone.objects.create(build=build, name="First run", reached_on=date(2026, 8, 20))
    milestone.parts.set(build.parts.filter(number__in=["0", "1", "2", "3"]))

    [found] = replay_of(build, TODAY).milestones_held

    assert found.of == 3
    assert 0 <= found.held <= 3


def test_what_is_at_hand_takes_two_queries_whatever_the_months(build: Build, django_assert_num_queries: Any) -> None:
    Milestone.objects.create(build=build, name="First run").parts.set(build.parts.all())
    with django_assert_num_queries(2):
        assert replay_at_hand(build, TODAY) is None
        assert progress_of(build, TODAY) == Progress(0, 6)
    replay_of(build, TODAY)
    with django_assert_num_queries(1):
        assert replay_at_hand(build, TODAY) is not None


def test_a_month_takes_one_query(build: Build, django_assert_num_queries: Any) -> None:
    steps = month_by_month(build, TODAY)
    next(steps)
    with django_assert_num_queries(1):
        next(steps)
