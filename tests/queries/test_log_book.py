"""The log book: filters, days, sums and pages."""

from datetime import date, timedelta
from typing import Any

import pytest

from builds.models import Build, Entry
from builds.queries.log.logbook import ENTRIES_A_PAGE, LogFilter, log_page
from builds.services.log import entries as log
from tests import factories

DAY = date(2026, 3, 2)


@pytest.fixture
def build(db: None) -> Build:
    """A log with something for every filter to find and something for it to leave."""
    build = factories.make_build()
    ada, ben = factories.make_builder("Ada"), factories.make_builder("Ben")
    part = factories.make_part(build)
    factories.make_entry(build, DAY, 10, part=part, builder=ada, note="Bored the CYLINDER")
    factories.make_entry(build, DAY, 20, part=part, builder=ben, scrap=1, scrap_reason="cylinder split")
    factories.make_entry(build, DAY + timedelta(days=1), 40, activity="tidying", builder=ben, unattended_minutes=5)
    factories.make_entry(build, DAY + timedelta(days=2), None, activity="buying")
    removed = factories.make_entry(build, DAY + timedelta(days=2), 80, activity="tidying", note="twice")
    log.remove_entry(entry=removed, by=None)
    other = factories.make_build("Launch engine")
    factories.make_entry(other, DAY, 160, activity="tidying", note="cylinder")
    return build


def found(build: Build, **wanted: Any) -> tuple[int, int]:
    """How many entries, and their minutes."""
    page = log_page(build, LogFilter(**wanted))
    assert sum(len(day.entries) for day in page.days) == page.entries
    return page.entries, page.minutes


def test_each_filter_finds_its_own(build: Build) -> None:
    ben, part = build.entries.get(bench_minutes=20).builder, build.parts.get()

    assert found(build) == (4, 70)
    assert found(build, builder=ben) == (2, 60)
    assert found(build, part=part) == (2, 30)
    assert found(build, activity="any") == (2, 40)
    assert found(build, activity="tidying") == (1, 40)
    assert found(build, since=DAY + timedelta(days=1)) == (2, 40)
    assert found(build, until=DAY) == (2, 30)
    assert found(build, since=DAY + timedelta(days=2), until=DAY) == (0, 0)
    assert found(build, words="cylinder") == (2, 30)
    assert found(build, words="100%_") == (0, 0)
    assert found(build, removed=True) == (1, 80)
    assert found(build, builder=ben, activity="tidying", since=DAY) == (1, 40)


def test_the_newest_day_comes_first_and_its_minutes_are_summed(build: Build) -> None:
    page = log_page(build, LogFilter())

    assert [(day.on - DAY, day.minutes) for day in page.days] == [
        (timedelta(days=2), 0),
        (timedelta(days=1), 40),
        (timedelta(days=0), 30),
    ]
    assert page.unattended_minutes == 5


def test_a_days_minutes_are_those_of_the_entries_it_shows_removed_ones_by_themselves(build: Build) -> None:
    removed, kept = log_page(build, LogFilter(removed=True)), log_page(build, LogFilter())

    assert sum(day.minutes for day in removed.days) == removed.minutes == 80
    assert sum(day.minutes for day in kept.days) == kept.minutes


@pytest.mark.parametrize(
    ("asked", "given"), [(1, 1), ("2", 2), ("", 1), ("x", 1), ("-1", 2), ("0", 2), ("9999", 2), (None, 1), ("1.5", 1)]
)
def test_a_page_number_that_makes_no_sense_gives_the_nearest(build: Build, asked: Any, given: int) -> None:
    Entry.objects.bulk_create(
        Entry(build=build, worked_on=DAY - timedelta(days=1), activity="other", bench_minutes=1)
        for _ in range(ENTRIES_A_PAGE)
    )

    page = log_page(build, LogFilter(), asked)

    assert page.page.number == given
    assert page.entries == ENTRIES_A_PAGE + 4
    assert page.minutes == 70 + ENTRIES_A_PAGE


def days_of_pages(build: Build) -> list[list[tuple[int, int]]]:
    """Page by page: how many days before DAY, and how many entries of that day it shows."""
    number = log_page(build, LogFilter()).page.paginator.num_pages
    pages = [log_page(build, LogFilter(), n + 1) for n in range(number)]
    return [[((DAY - day.on).days, len(day.entries)) for day in page.days] for page in pages]


@pytest.mark.parametrize(
    ("entries_by_day", "pages"),
    [
        ([ENTRIES_A_PAGE - 1, 2, 3], [[(0, ENTRIES_A_PAGE - 1)], [(1, 2), (2, 3)]]),
        ([ENTRIES_A_PAGE - 2, 2, 1], [[(0, ENTRIES_A_PAGE - 2), (1, 2)], [(2, 1)]]),
        ([1, ENTRIES_A_PAGE + 2, 1], [[(0, 1)], [(1, ENTRIES_A_PAGE)], [(1, 2), (2, 1)]]),
        ([ENTRIES_A_PAGE], [[(0, ENTRIES_A_PAGE)]]),
    ],
)
def test_a_page_holds_whole_days_and_only_a_longer_day_is_parted(
    db: None, entries_by_day: list[int], pages: list[list[tuple[int, int]]]
) -> None:
    build = factories.make_build()
    Entry.objects.bulk_create(
        Entry(build=build, worked_on=DAY - timedelta(days=before), activity="other", bench_minutes=1)
        for before, number in enumerate(entries_by_day)
        for _ in range(number)
    )

    assert days_of_pages(build) == pages


@pytest.mark.parametrize("size", [1, 3])
def test_a_page_of_the_log_takes_three_queries(db: None, django_assert_num_queries: Any, size: int) -> None:
    build = factories.make_build()
    for n in range(size):
        part = factories.make_part(build, str(n))
        batch = factories.make_batch(part)
        factories.make_entry(build, part=part, batch=batch, builder=factories.make_builder(f"Builder {n}"), good=1)

    with django_assert_num_queries(3):
        page = log_page(build, LogFilter())
        for day in page.days:
            assert [f"{e.builder}{e.part}{e.operation}{e.batch.number}" for e in day.entries if e.batch]


def test_an_empty_log_is_a_page_without_days(db: None) -> None:
    page = log_page(factories.make_build(), LogFilter())

    assert (page.days, page.entries, page.minutes, page.unattended_minutes) == ((), 0, 0, 0)
