"""A year in the shop: what falls into it, what is not known of it, and what is made by when."""

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.models import Build, Photo
from builds.queries.log.year import YearInShop, entries_of_longest, latest_year, read_shop_year, read_year, read_years
from builds.queries.snapshot import read_snapshot
from builds.services.log.entries import remove_entry
from builds.services.plan.records import edit_build, save
from calcs.parts.count import made_on
from tests.factories import TODAY, make_build, make_entry, make_part

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(db: None) -> Build:
    return make_build(started_on=date(2024, 9, 10))


def year(build: Build, number: int = 2026, today: date = TODAY) -> YearInShop:
    found = read_year(build, number, today)
    assert found is not None
    return found


def shop_time(build: Build, day: date, minutes: int | None, **fields: Any) -> None:
    make_entry(build, day, minutes, **{"activity": "other", **fields})


def test_hours_and_evenings_are_those_of_the_year(build: Build) -> None:
    shop_time(build, date(2025, 12, 31), 45)
    shop_time(build, date(2026, 1, 1), 60)
    shop_time(build, date(2026, 1, 1), 90)
    shop_time(build, date(2026, 3, 5), 120)

    hours = year(build).hours

    assert hours.minutes == 270
    assert hours.evenings == {date(2026, 1, 1): 150, date(2026, 3, 5): 120}
    assert hours.mean_evening == 135
    assert hours.longest_evening == (date(2026, 1, 1), 150)
    assert [(month.first.month, month.minutes, month.evenings) for month in hours.months[:3]] == [
        (1, 150, 1),
        (2, 0, 0),
        (3, 120, 1),
    ]


def test_a_running_year_ends_today_and_is_held_against_as_much_of_the_year_before(build: Build) -> None:
    shop_time(build, date(2025, 2, 1), 60)
    shop_time(build, TODAY.replace(year=2025), 120)
    shop_time(build, TODAY.replace(year=2025) + timedelta(days=1), 600)
    shop_time(build, TODAY, 30)

    found = year(build)

    assert found.running
    assert len(found.hours.months) == 11
    assert found.before is not None
    assert found.before.minutes == 180
    assert found.against_before == "2.5 h fewer than by the same day of 2025"
    assert found.evenings_before == "2 by the same day of 2025"
    whole = year(build, 2025)
    assert (whole.running, whole.hours.minutes, whole.before, whole.against_before) == (False, 780, None, "")


def test_the_last_day_of_a_leap_february_is_held_against_the_28th(build: Build) -> None:
    today = date(2024, 2, 29)
    shop_time(build, date(2023, 2, 28), 60)

    before = year(build, 2024, today).before

    assert before is not None
    assert (before.last, before.minutes) == (date(2023, 2, 28), 60)


def test_work_over_the_turn_of_the_year_is_shared_and_is_no_evening(build: Build) -> None:
    shop_time(build, date(2026, 1, 2), 241, since_on=date(2025, 12, 30))

    old, new = year(build, 2025).hours, year(build).hours

    assert (old.minutes, new.minutes) == (120, 121)
    assert (old.lumps, new.lumps) == (1, 1)
    assert (new.evenings, new.mean_evening, new.longest_evening) == ({}, None, None)


def test_an_unknown_time_is_an_evening_whose_length_nobody_knows(build: Build) -> None:
    shop_time(build, date(2026, 1, 1), 60)
    shop_time(build, date(2026, 1, 2), 180)
    shop_time(build, date(2026, 1, 2), None)

    hours = year(build).hours

    assert (hours.minutes, hours.unknown, len(hours.evenings)) == (240, 1, 2)
    assert hours.mean_evening == 60
    assert hours.longest_evening == (date(2026, 1, 2), 180)
    assert hours.longest_is_open


def test_only_unknown_times_make_no_longest_evening(build: Build) -> None:
    shop_time(build, date(2026, 1, 2), None)

    hours = year(build).hours

    assert (len(hours.evenings), hours.mean_evening, hours.longest_evening) == (1, None, None)


def test_shop_time_that_does_not_count_stands_apart(build: Build) -> None:
    build.activities_counted = ["other"]
    edit_build(build=build, by=None)
    shop_time(build, date(2026, 1, 2), 60)
    shop_time(build, date(2026, 1, 2), 300, activity="buying")
    shop_time(build, date(2026, 1, 3), None, activity="buying")

    found = year(build)

    assert (found.hours.minutes, found.hours.account.uncounted_minutes, found.hours.unknown) == (60, 300, 0)
    assert found.hours.longest_evening == (date(2026, 1, 2), 60)
    assert [entry.bench_minutes for entry in entries_of_longest(found)] == [60]


def test_the_longest_evening_is_told_by_its_own_entries(build: Build) -> None:
    shop_time(build, date(2026, 1, 2), 60, note="the lathe ran hot")
    shop_time(build, date(2026, 1, 2), 600, since_on=date(2026, 1, 1))
    shop_time(build, date(2026, 1, 4), 30)

    assert [entry.note for entry in entries_of_longest(year(build))] == ["the lathe ran hot"]


# ---- parts and pieces ----


def rings(build: Build, number: str = "14", **fields: Any) -> Any:
    route = ({"kind": "turning", "minutes_per_unit": 30.0}, {"kind": "lapping", "minutes_per_unit": 20.0})
    return make_part(build, number, operations=route, **{"quantity": 4, **fields})


def count(part: Any, place: int, day: date, good: int, scrap: int = 0, reason: str = "") -> None:
    operation = part.operations.order_by("number")[place]
    make_entry(part.build, day, 60, part=part, operation=operation, good=good, scrap=scrap, scrap_reason=reason)


def test_a_part_is_finished_in_the_year_of_the_last_piece_that_is_needed(build: Build) -> None:
    part = rings(build, spares=2)
    count(part, 0, date(2024, 10, 1), 6)
    count(part, 1, date(2024, 11, 1), 2)
    count(part, 1, date(2025, 2, 1), 1)
    count(part, 1, date(2026, 2, 1), 1)
    count(part, 1, date(2026, 3, 1), 2)

    made = [[(one.part, one.on) for one in found.made] for found in read_years(build, TODAY)]

    assert made == [[], [], [(part, date(2026, 2, 1))]]
    assert [one.on for one in year(build).made] == [date(2026, 2, 1)]
    assert [found.good for found in read_years(build, TODAY)] == [2, 1, 3]


def test_a_part_that_was_said_to_be_finished_is_finished_on_that_day(build: Build) -> None:
    part, later = rings(build), rings(build, "15")
    for one, day in ((part, date(2025, 5, 1)), (later, TODAY + timedelta(days=2))):
        one.finished_on = day
        save(record=one, by=None)

    assert [one.on for one in year(build, 2025).made] == [date(2025, 5, 1)]
    assert year(build).made == ()


def test_what_was_finished_besides_details_is_told_apart(build: Build) -> None:
    for number, role in (("1", ""), ("2", "jig"), ("3", "jig"), ("4", "work on an assembly")):
        part = make_part(build, number, role=role)
        make_entry(build, date(2026, 2, 1), 60, part=part, operation=part.operations.get(), good=1)

    found = year(build)

    assert found.details == 1
    assert found.others_made == "Jigs and tools: 2 · Work on assemblies: 1"
    assert found.good == 3


def test_scrap_is_that_of_the_year_with_its_commonest_reason_first(build: Build) -> None:
    part = rings(build)
    count(part, 0, date(2025, 12, 1), 1, 5, "broke")
    count(part, 0, date(2026, 1, 1), 1, 1, "broke")
    count(part, 1, date(2026, 2, 1), 0, 2, "out of round")
    count(part, 1, date(2026, 2, 2), 0, 3)

    found = year(build)

    assert [(one.name, one.pieces) for one in found.reasons] == [
        ("out of round", 2),
        ("broke", 1),
        ("no reason given", 3),
    ]
    assert (found.scrap, year(build, 2025).scrap) == (6, 5)


counts = st.lists(st.tuples(st.dates(date(2024, 1, 1), date(2026, 11, 25)), st.integers(0, 4)), max_size=8)


@given(counted=counts, quantity=st.integers(1, 9), said_on=st.none() | st.dates(date(2024, 1, 1), date(2026, 11, 25)))
def test_a_part_is_made_from_the_day_on_that_its_count_or_somebody_says(
    counted: list[tuple[date, int]], quantity: int, said_on: date | None
) -> None:
    def made_by(day: date) -> bool:
        had = sum(good for on, good in counted if on <= day)
        return had >= quantity or (said_on is not None and said_on <= day)

    found = made_on(quantity, sorted(counted), said_on)

    assert made_by(TODAY) == (found is not None)
    if found is not None:
        assert made_by(found)
        assert not made_by(found - timedelta(days=1))


def test_it_is_made_on_the_day_from_which_on_every_page_counts_it_as_made(build: Build) -> None:
    one, other, work = (
        rings(build, "1"),
        rings(build, "2", quantity=3),
        make_part(build, "3", role="work on an assembly"),
    )
    days = [date(2024, 10, 1) + timedelta(days=47 * n) for n in range(12)]
    for n, day in enumerate(days):
        count((one, other)[n % 2], (n // 2) % 2, day, 1 + n % 2, n % 3)
    make_entry(build, days[5], 60, part=work, operation=work.operations.get(), good=1)
    other.finished_on = days[9]
    save(record=other, by=None)

    made = {made.part.pk: made.on for found in read_years(build, TODAY) for made in found.made}

    for day in days:
        by_count = {row.part.pk for row in read_snapshot(build, day).parts if row.quantity_made}
        assert by_count == {key for key, on in made.items() if on <= day}


# ---- milestones, photos, post ----


def test_milestones_photos_and_post_stand_on_their_days(build: Build) -> None:
    for name, on in (("First turn", date(2025, 5, 1)), ("First steam", date(2026, 5, 1)), ("Running", None)):
        build.milestones.create(name=name, reached_on=on)
    part = make_part(build, arrived_on=date(2026, 4, 1), ordered_on=date(2026, 3, 1))
    entry = make_entry(build, date(2026, 6, 1), 60, part=part)
    old = Photo.objects.create(build=build, image="a.jpg", taken_on=date(2024, 9, 20))
    logged = Photo.objects.create(build=build, image="b.jpg", entry=entry)
    Photo.objects.create(build=build, image="c.jpg")

    found = year(build)

    assert [one.name for one in found.milestones] == ["First steam"]
    assert (found.photos, found.undated) == ((logged,), 1)
    assert found.arrived == (part,)
    assert year(build, 2024).photos == (old,)


# ---- which years there are ----


def test_a_build_has_the_years_from_its_beginning_up_to_today(build: Build) -> None:
    assert year(build).years == (2024, 2025, 2026)
    assert read_year(build, 2023, TODAY) is None
    assert read_year(build, 2027, TODAY) is None
    assert read_year(build, 0, TODAY) is None
    assert read_year(build, 10**9, TODAY) is None


def test_a_year_with_nothing_in_it_is_empty_and_has_its_neighbours(build: Build) -> None:
    shop_time(build, date(2024, 10, 1), 60)
    shop_time(build, date(2026, 2, 1), 60)

    quiet = year(build, 2025)

    assert quiet.empty
    assert (quiet.earlier, quiet.later) == (2024, 2026)
    assert not year(build, 2024).empty
    assert year(build, 2024).began_this_year
    assert quiet.began_year_before
    assert not year(build).began_year_before


def test_the_latest_year_is_that_of_the_last_entry(build: Build) -> None:
    assert latest_year(build, TODAY) == 2026
    shop_time(build, date(2024, 10, 1), 60)
    assert latest_year(build, TODAY) == 2024


def test_a_first_year_is_as_good_as_any(db: None) -> None:
    build = make_build(started_on=date(1, 1, 1))
    shop_time(build, date(1, 1, 1), 60)

    found = year(build, 1)

    assert (found.hours.minutes, found.before, found.earlier) == (60, None, None)


@pytest.mark.parametrize("size", [1, 4])
def test_a_year_takes_seven_queries(build: Build, django_assert_num_queries: Any, size: int) -> None:
    for n in range(size):
        part = rings(build, str(n))
        count(part, 0, date(2025, 2, 1), 4, 1)
        count(part, 1, date(2026, 2, 1 + n), 4)
        build.milestones.create(name=f"Milestone {n}", reached_on=date(2026, 5, 1))
        entry = part.entries.first()
        Photo.objects.create(build=build, image=f"{n}.jpg", part=part, entry=entry)

    with django_assert_num_queries(7):
        found = year(build)
        assert len(found.made) == len(found.milestones) == len(found.photos) == size
        assert [str(photo.part) for photo in found.photos]
    with django_assert_num_queries(7):
        assert len(read_years(build, TODAY)) == 3
    with django_assert_num_queries(1):
        assert all(str(entry.part) for entry in entries_of_longest(found))


def test_of_the_log_only_two_years_are_read(build: Build) -> None:
    from builds.queries.log.year_records import read_records_of_years

    for before in range(3):
        shop_time(build, date(2026 - before, 5, 1), 60)
    shop_time(build, date(2026, 1, 3), 60, since_on=date(2024, 12, 1))

    [records] = read_records_of_years([build], date(2025, 1, 1), date(2025, 12, 31), TODAY)

    assert [row.worked_on for row in records.rows] == [date(2025, 5, 1), date(2026, 1, 3)]


def test_entries_that_were_removed_or_lie_ahead_are_none(build: Build) -> None:
    shop_time(build, date(2026, 3, 1), 60)
    gone = make_entry(build, date(2026, 3, 2), 60, activity="other")
    remove_entry(entry=gone, by=None)

    assert year(build).hours.minutes == 60
    assert year(build, 2026, date(2026, 2, 28)).hours.minutes == 0


# ---- all builds together ----


def test_the_whole_shops_year_adds_up_its_builds(build: Build) -> None:
    other = make_build("Little pump", started_on=date(2025, 3, 1))
    make_build("Begun and left", started_on=date(2025, 3, 1))
    for one, days in ((build, (5, 6)), (other, (6, 7, 8))):
        for day in days:
            shop_time(one, date(2026, 5, day), 60)
    shop_time(build, date(2025, 5, 1), 30)
    part = make_part(other)
    make_entry(other, date(2026, 6, 1), 45, part=part, operation=part.operations.get(), good=1, scrap=2)

    shop = read_shop_year(2026, TODAY)

    assert shop is not None
    assert [one.build for one in shop.builds] == [other, build]
    assert (shop.minutes, shop.details, shop.good, shop.scrap) == (345, 1, 1, 2)
    # The sixth of May was an evening on both.
    assert (shop.evenings[date(2026, 5, 6)], len(shop.evenings)) == (120, 5)
    assert [(month.minutes, month.evenings) for month in shop.months[4:6]] == [(300, 4), (45, 1)]
    assert [month.minutes for month in shop.months_before[:6]] == [0, 0, 0, 0, 30, 0]
    assert (shop.years, shop.earlier, shop.later) == ((2024, 2025, 2026), 2025, None)


def test_a_shop_without_builds_has_the_running_year_alone(db: None) -> None:
    shop = read_shop_year(2026, TODAY)

    assert shop is not None
    assert (shop.builds, shop.minutes, shop.months, shop.years) == ((), 0, (), (2026,))
    assert read_shop_year(2025, TODAY) is None
    assert read_shop_year(2027, TODAY) is None


@pytest.mark.parametrize("builds", [1, 4])
def test_all_builds_take_eight_queries(db: None, django_assert_num_queries: Any, builds: int) -> None:
    for n in range(builds):
        build = make_build(f"Build {n}")
        count(rings(build), 1, date(2026, 2, 1), 4, 1)
        build.milestones.create(name="First turn", reached_on=date(2026, 5, 1))
        Photo.objects.create(build=build, image="a.jpg", taken_on=date(2026, 5, 1))

    with django_assert_num_queries(8):
        shop = read_shop_year(2026, TODAY)
        assert shop is not None
        assert (len(shop.builds), shop.details) == (builds, builds)
        assert all(len(one.photos) == len(one.milestones) == 1 for one in shop.builds)
