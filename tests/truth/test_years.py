"""The years of a build together come to its whole log, and each to what the record file says in another way."""

import csv
import io
import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

import pytest
from pytest_django.plugin import DjangoDbBlocker

from builds.models import Build
from builds.models.choices import Activity
from builds.queries.log.year import YearInShop, read_year, read_years
from builds.services.plan.records import edit_build
from builds.transfer.record.writer import export_text
from calcs.typed.durations import format_hours, format_logged
from tests import factories
from tests.factories import TODAY
from tests.truth.printed_sums import printed_sums
from tests.truth.shown import BUILDS, Shown, read, three_builds

pytestmark = pytest.mark.django_db

UNCOUNTED = {"buying", "tidying", "other"}


@dataclass(frozen=True)
class Told:
    """A build as its pages show it, its record file and its years."""

    shown: Shown
    record: dict[str, Any]
    years: tuple[YearInShop, ...]


def told(shown: Shown) -> Told:
    """Also with an entry over the turn of a year, one whose time is not known, and time that does not count."""
    build = Build.objects.get(pk=shown.build.pk)
    build.activities_counted = [one for one in Activity.values if one not in UNCOUNTED]
    edit_build(build=build, by=None)
    turn = date(TODAY.year, 1, 1)
    factories.make_entry(build, turn + timedelta(days=4), 1001, since_on=turn - timedelta(days=5), activity="finishing")
    factories.make_entry(build, turn + timedelta(days=9), None, activity="finishing")
    factories.make_entry(build, turn + timedelta(days=9), 95, activity="buying")
    return Told(shown, json.loads(export_text(build)), read_years(build, TODAY))


@pytest.fixture(scope="module")
def all_told(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[dict[str, Told]]:
    with three_builds(django_db_blocker) as shown:
        yield {name: told(one) for name, one in shown.items()}


@pytest.fixture(params=BUILDS)
def one(request: pytest.FixtureRequest, all_told: dict[str, Told]) -> Told:
    return all_told[request.param]


def minutes_by_year(record: dict[str, Any]) -> Counter[int]:
    """The build's hours by year, day by day, in exact shares of a minute."""
    exact: dict[int, Fraction] = {}
    for entry in record["entries"]:
        if entry.get("activity") in UNCOUNTED:
            continue
        last = date.fromisoformat(entry["date"])
        first = date.fromisoformat(entry.get("since") or entry["date"])
        days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
        for day in days:
            exact[day.year] = exact.get(day.year, Fraction()) + Fraction(entry.get("bench_minutes") or 0, len(days))
    return Counter({year: round(minutes) for year, minutes in exact.items()})


def test_the_years_come_to_the_whole_log(one: Told) -> None:
    entries, years = one.record["entries"], one.years
    whole = sum(entry.get("bench_minutes") or 0 for entry in entries)
    less = sum(entry.get("bench_minutes") or 0 for entry in entries if entry.get("activity") in UNCOUNTED)

    assert sum(year.hours.account.minutes for year in years) == whole
    assert sum(year.hours.minutes for year in years) == whole - less
    assert sum(month.minutes for year in years for month in year.hours.months) == whole - less
    assert sum(year.scrap for year in years) == sum(entry.get("scrap", 0) for entry in entries)
    assert sum(len(year.photos) for year in years) + years[0].undated == len(one.record.get("photos", []))
    reached = [milestone for milestone in one.record.get("milestones", []) if milestone.get("reached_on")]
    assert sum(len(year.milestones) for year in years) == len(reached)


def test_each_year_comes_to_the_shares_of_its_days(one: Told) -> None:
    shares = minutes_by_year(one.record)
    lumps = sum(bool(entry.get("since")) for entry in one.record["entries"])

    assert set(shares) <= {year.year for year in one.years}
    for year in one.years:
        # A lump over the turn of a year is shared in whole minutes.
        assert year.hours.minutes == pytest.approx(shares[year.year], abs=lumps)


def test_evenings_are_the_days_of_the_record_with_work_of_their_own(one: Told) -> None:
    days: dict[str, list[int | None]] = {}
    for entry in one.record["entries"]:
        minutes = entry.get("bench_minutes")
        if entry.get("since") in (None, entry["date"]) and entry.get("activity") not in UNCOUNTED and minutes != 0:
            days.setdefault(entry["date"], []).append(minutes)

    for year in one.years:
        ours = {day: times for day, times in days.items() if day.startswith(str(year.year))}
        known = [sum(filter(None, times)) for times in ours.values() if None not in times]
        most = max((sum(filter(None, times)) for times in ours.values()), default=0)
        assert len(year.hours.evenings) == len(ours)
        assert year.hours.mean_evening == (pytest.approx(sum(known) / len(known)) if known else None)
        assert (year.hours.longest_evening or (None, 0))[1] == most


def test_parts_and_pieces_come_to_those_of_the_plan(one: Told) -> None:
    parts = one.record["parts"]
    work = {part["number"] for part in parts if part.get("role") == "work on an assembly"}
    last = {part["number"]: part["operations"][-1]["number"] for part in parts if part.get("operations")}
    at_the_end: Counter[int] = Counter()
    for entry in one.record["entries"]:
        part = entry.get("part")
        if part is not None and part not in work and entry.get("operation") == last.get(part):
            at_the_end[int(entry["date"][:4])] += entry.get("good", 0)

    assert {year.year: year.good for year in one.years if year.good} == +at_the_end
    made, _of, _all = one.shown.page().figure("Parts finished")[0].partition(" of ")
    assert made == str(sum(year.details for year in one.years))


def test_every_year_shows_the_same_figures_as_the_record(one: Told) -> None:
    scrap: Counter[int] = Counter()
    for entry in one.record["entries"]:
        scrap[int(entry["date"][:4])] += entry.get("scrap", 0)
    for year in one.years:
        response = one.shown.client.get(f"/builds/{one.shown.build.slug}/years/{year.year}/")
        html = response.content.decode()
        shown = read(html)
        assert [sum_ for sum_ in printed_sums(html) if not sum_.right] == []
        assert shown.figure("Hours")[0] == format_hours(year.hours.minutes)
        assert shown.figure("Pieces scrapped")[0] == str(scrap[year.year])
        if year.hours.account.uncounted_minutes:
            assert f"= {format_logged(year.hours.minutes)} done." in shown.text


def test_the_table_has_a_row_for_each_year(one: Told) -> None:
    response = one.shown.client.get(f"/builds/{one.shown.build.slug}/tables/years.csv")
    rows = list(csv.DictReader(io.StringIO(response.content.decode("utf-8-sig"))))

    assert [int(row["year"]) for row in rows] == [year.year for year in one.years]
    done = sum(year.hours.minutes for year in one.years) / 60
    assert sum(float(row["bench (h)"]) for row in rows) == pytest.approx(done)
    assert sum(int(row["evenings"]) for row in rows) == sum(len(year.hours.evenings) for year in one.years)


def test_read_alone_a_year_is_the_same_as_among_all(one: Told) -> None:
    for year in one.years:
        assert read_year(year.build, year.year, TODAY) == year
