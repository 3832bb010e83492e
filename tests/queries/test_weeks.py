"""How the hours fell by week and month."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.models import Build
from builds.queries.forecast.weeks import hours_by_month, weeks_of
from builds.queries.snapshot import BuildSnapshot, LogRow, read_snapshot
from tests import factories

TODAY = factories.TODAY
MONDAY = date(2026, 3, 2)


def snapshot_of(build: Build, *stints: tuple[date, date | None, int]) -> BuildSnapshot:
    for worked_on, since_on, minutes in stints:
        factories.make_entry(build, worked_on, minutes, since_on=since_on, activity="other")
    return read_snapshot(build, MONDAY + timedelta(weeks=8))


def test_weeks_run_from_monday_to_sunday_and_empty_ones_are_there(db: None) -> None:
    sunday = MONDAY + timedelta(days=6)
    snapshot = snapshot_of(
        factories.make_build(), (MONDAY, None, 60), (sunday, None, 30), (sunday + timedelta(days=15), None, 120)
    )

    weeks = weeks_of(snapshot)

    assert weeks.mondays[0] == MONDAY
    assert weeks.hours == (1.5, 0.0, 0.0, 2.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    assert weeks.empty == 7
    assert weeks.mean == pytest.approx(3.5 / 9)
    assert weeks.median == 0.0


def test_a_lump_is_spread_over_its_days(db: None) -> None:
    snapshot = snapshot_of(factories.make_build(), (MONDAY + timedelta(days=13), MONDAY, 14 * 60))

    assert weeks_of(snapshot).hours[:3] == pytest.approx((7.0, 7.0, 0.0))
    assert weeks_of(snapshot).gaps == ()


def test_gaps_of_more_than_two_weeks_are_named_the_longest_first(db: None) -> None:
    days = [0, 15, 31, 51]
    snapshot = snapshot_of(factories.make_build(), *((MONDAY + timedelta(days=day), None, 60) for day in days))

    gaps = weeks_of(snapshot).gaps

    assert [(gap.days, gap.after) for gap in gaps] == [
        (19, MONDAY + timedelta(days=31)),
        (15, MONDAY + timedelta(days=15)),
    ]
    assert len(weeks_of(snapshot, longest_gaps=1).gaps) == 1


def test_shop_time_that_a_build_does_not_count_makes_no_week(db: None) -> None:
    build = factories.make_build(activities_counted=[])

    assert weeks_of(snapshot_of(build, (MONDAY, None, 60))).mondays == ()


def test_without_a_log_there_are_no_weeks_and_no_months(db: None) -> None:
    snapshot = read_snapshot(factories.make_build(), TODAY)

    weeks = weeks_of(snapshot)
    assert (weeks.mondays, weeks.hours, weeks.gaps) == ((), (), ())
    assert (weeks.empty, weeks.mean, weeks.median) == (0, 0.0, 0.0)
    assert hours_by_month(snapshot) == ()


def test_months_are_all_there_with_a_lump_shared_between_them(db: None) -> None:
    snapshot = snapshot_of(
        factories.make_build(started_on=date(2025, 1, 1)),
        (date(2025, 12, 31), None, 60),
        (date(2026, 3, 2), date(2026, 2, 27), 240),
    )

    assert hours_by_month(snapshot) == (
        (date(2025, 12, 1), 1.0),
        (date(2026, 1, 1), 0.0),
        (date(2026, 2, 1), 2.0),
        (date(2026, 3, 1), 2.0),
        (date(2026, 4, 1), 0.0),
    )


rows = st.lists(st.tuples(st.integers(0, 200), st.integers(0, 60), st.integers(0, 900)), max_size=8)


@given(rows=rows)
def test_weeks_and_months_lose_no_minute(rows: list[tuple[int, int, int]]) -> None:
    log = tuple(
        LogRow(
            pk=n,
            worked_on=MONDAY + timedelta(days=day),
            since_on=MONDAY + timedelta(days=day - back) if back else None,
            part_id=None,
            operation_id=None,
            batch_id=None,
            activity="other",
            bench_minutes=minutes,
            bench_is="exact",
            unattended_minutes=0,
            good=0,
            reworked=0,
            scrap=0,
            scrap_reason="",
        )
        for n, (day, back, minutes) in enumerate(rows)
    )
    snapshot = BuildSnapshot(Build(activities_counted=["other"]), MONDAY + timedelta(days=200), (), log, (), (), ())

    total = sum(minutes for *_, minutes in rows) / 60
    assert sum(weeks_of(snapshot).hours) == pytest.approx(total)
    assert sum(hours for _, hours in hours_by_month(snapshot)) == pytest.approx(total)
