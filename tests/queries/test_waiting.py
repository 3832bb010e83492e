"""What waits for what, since when, and what it holds up."""

from datetime import date
from typing import Any

import pytest
from django.test import Client

from builds.models import Build, Milestone
from builds.queries.plan.waiting import WaitingRow, waiting_page
from builds.services.plan import records as plan
from tests import factories
from tests.factories import TODAY

ROUTE = [{"kind": "sawing"}, {"kind": "boring"}]
POST = {"waiting_for": "post", "waiting_since_on": date(2026, 10, 6)}
MATERIAL = {"waiting_for": "material", "waiting_since_on": date(2026, 9, 1)}


@pytest.fixture
def build(db: None) -> Any:
    return factories.make_build()


def rows(build: Build) -> list[WaitingRow]:
    return list(waiting_page(build, TODAY).rows)


def told(row: WaitingRow) -> tuple[str, list[str], list[str]]:
    return row.place.words, [one.words for one in row.missing], [one.words for one in row.blocks]


def test_what_holds_up_the_most_stands_first_and_then_the_longest(build: Any) -> None:
    valve = factories.make_part(build, "1", "Valve", **POST)
    pipe = factories.make_part(build, "2", "Pipe", operations=ROUTE)
    factories.make_part(build, "3", "Stud", **POST)
    factories.make_part(build, "4", "Nut", **MATERIAL)
    factories.make_need(pipe.operations.last(), valve)
    factories.make_need(factories.make_part(build, "5", "Lagging"), pipe)
    factories.make_entry(build, date(2026, 3, 9), part=pipe, operation=pipe.operations.first(), good=1)

    found = rows(build)
    assert [told(row) for row in found] == [
        ("1 Valve", [], ["2 Pipe, 20 boring", "5 Lagging"]),
        ("2 Pipe, 20 boring", ["1 Valve"], ["5 Lagging"]),
        ("4 Nut", [], []),
        ("3 Stud", [], []),
        ("5 Lagging", ["2 Pipe"], []),
    ]
    assert [row.since for row in found] == [
        date(2026, 10, 6), date(2026, 3, 9), date(2026, 9, 1), date(2026, 10, 6), None,
    ]  # fmt: skip


def test_milestones_are_told_that_need_it_or_what_it_holds_up(build: Any) -> None:
    valve, pipe, paint = (factories.make_part(build, number) for number in ("1", "2", "3"))
    factories.make_need(pipe, valve)
    for name, part, reached in (("Air", valve, TODAY), ("Steam", pipe, None), ("Show", paint, None)):
        milestone = Milestone(build=build, name=name, reached_on=reached)
        plan.save_milestone(milestone=milestone, parts=[part], assemblies=[], by=None)
    valve.waiting_for, valve.waiting_since_on = "post", date(2026, 10, 6)
    plan.save(record=valve, by=None)
    assert [milestone.name for milestone in rows(build)[0].milestones] == ["Steam"]


def test_what_is_on_order_waits_since_it_was_ordered(build: Any) -> None:
    factories.make_part(build, "1", "Valve", role="bought", operations=[], ordered_on=date(2026, 11, 1))
    assert [(told(row), row.since) for row in rows(build)] == [(("1 Valve", [], []), date(2026, 11, 1))]


def test_what_is_made_or_finished_waits_no_longer(build: Any) -> None:
    valve = factories.make_part(build, "1", "Valve", **POST)
    factories.make_need(factories.make_part(build, "2", "Pipe"), valve)
    factories.make_entry(build, part=valve, operation=valve.operations.get(), good=1)
    assert rows(build) == []

    factories.make_part(build, "3", "Stud", **POST)
    build.state = "finished"
    plan.edit_build(build=build, by=None)
    assert rows(build) == []


@pytest.mark.parametrize("size", [1, 4])
def test_the_list_takes_eleven_queries(build: Any, django_assert_num_queries: Any, size: int) -> None:
    for n in range(size):
        first = factories.make_part(build, f"a{n}", operations=ROUTE, **POST)
        factories.make_need(factories.make_part(build, f"b{n}"), first)
    milestone = Milestone(build=build, name="Steam")
    plan.save_milestone(milestone=milestone, parts=build.parts.all(), assemblies=[], by=None)
    with django_assert_num_queries(11):
        assert [told(row) for row in rows(build)]


def test_the_page_says_it_and_the_plan_leads_there(signed_in: Client) -> None:
    build = factories.make_build()
    where = f"/builds/{build.slug}/waiting/"
    assert "Nothing waits." in signed_in.get(where).content.decode()

    valve = factories.make_part(build, "1", "Valve", waiting_note="Said four weeks.", **POST)
    factories.make_need(factories.make_part(build, "2", "Pipe"), valve)
    page = signed_in.get(where).content.decode()
    for words in ("the post", "Said four weeks.", "6 Oct 2026", "2 Pipe", "not begun"):
        assert words in page
    assert f'href="{where}"' in signed_in.get(f"/builds/{build.slug}/").content.decode()
