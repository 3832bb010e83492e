"""The last evenings that stand beside the form of the bench."""

from datetime import date, timedelta
from typing import Any

import pytest

from builds.models import Build
from builds.queries.log.evenings import EVENINGS_SHOWN, LINES_SHOWN, evenings_before
from builds.services.log.entries import remove_entry
from tests import factories

TONIGHT = date(2026, 11, 25)


def log(build: Build, days_ago: int, minutes: int | None = 30, **details: Any) -> Any:
    return factories.make_entry(build, TONIGHT - timedelta(days=days_ago), minutes, activity="tidying", **details)


def test_the_last_two_days_with_work_are_told_newest_first_without_tonight(db: None) -> None:
    build = factories.make_build()
    for days_ago, minutes in ((0, 15), (2, 60), (2, 45), (5, None), (9, 30), (12, 90)):
        log(build, days_ago, minutes)
    remove_entry(entry=log(build, 1), by=None)
    log(factories.make_build("Launch engine"), 1)

    found = evenings_before(build, TONIGHT)

    assert [((TONIGHT - one.on).days, one.minutes, len(one.entries)) for one in found] == [
        (2, 105, 2),
        (5, 0, 1),
    ]
    assert [entry.bench_minutes for entry in found[0].entries] == [45, 60]


def test_a_long_day_says_how_many_entries_are_not_shown_and_counts_their_minutes(db: None) -> None:
    build = factories.make_build()
    for _ in range(LINES_SHOWN + 2):
        log(build, 1, 10)
    log(build, 2, 20)

    found = evenings_before(build, TONIGHT)

    assert [(one.minutes, len(one.entries), one.unshown) for one in found] == [
        (10 * (LINES_SHOWN + 2), LINES_SHOWN, 2),
        (20, 0, 1),
    ]


@pytest.mark.parametrize("days", [1, 3, 6])
def test_the_last_evenings_take_two_queries(db: None, django_assert_num_queries: Any, days: int) -> None:
    build = factories.make_build()
    part = factories.make_part(build)
    for days_ago in range(1, days + 1):
        factories.make_entry(build, TONIGHT - timedelta(days=days_ago), part=part, operation=part.operations.first())

    with django_assert_num_queries(2):
        told = [f"{entry.part} {entry.operation}" for one in evenings_before(build, TONIGHT) for entry in one.entries]
        assert len(told) == min(days, EVENINGS_SHOWN)


def test_a_new_build_has_no_evenings_yet(db: None) -> None:
    assert evenings_before(factories.make_build(), TONIGHT) == ()
