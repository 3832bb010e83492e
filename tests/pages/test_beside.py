"""The part that the plan shows beside it: the one chosen, or the one worked on last."""

from datetime import date
from typing import Any

import pytest
from django.test import Client

from builds.models import Build
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.plan.beside import part_beside, part_worked_on_last
from tests import factories
from tests.factories import TODAY
from tests.truth.shown import Element, read

FIRST, THEN = date(2026, 3, 1), date(2026, 3, 8)


@pytest.fixture
def build(db: None) -> Build:
    """A ring in work, a stud worked on after it, and a cap that nobody has begun."""
    build = factories.make_build()
    route = ({"kind": "sawing", "minutes_per_unit": 10.0}, {"kind": "turning", "minutes_per_unit": 30.0})
    for number, name in (("1", "Ring"), ("2", "Stud"), ("3", "Cap")):
        factories.make_part(build, number, name, quantity=4, operations=route)
    ring, stud = build.parts.get(number="1"), build.parts.get(number="2")
    factories.make_entry(
        build, FIRST, 60, part=ring, operation=ring.operations.get(number=10), good=4, note="Blunt saw"
    )
    factories.make_entry(build, FIRST, 30, part=ring, operation=ring.operations.get(number=20), good=1)
    factories.make_entry(build, THEN, 40, part=stud, operation=stud.operations.get(number=10), good=2)
    return build


def beside(client: Client, build: Build, number: str = "") -> Element:
    asked = f"?part={build.parts.get(number=number).pk}" if number else ""
    return read(client.get(f"/builds/{build.slug}/{asked}").content.decode()).first("aside", id="beside")


def test_the_part_worked_on_last_stands_beside_the_plan(signed_in: Client, build: Build) -> None:
    text = beside(signed_in, build).text
    assert text.startswith("2 Stud")
    assert "Next 10 sawing · 2 to go" in text
    assert "8 Mar 2026" in text


def test_a_chosen_part_says_where_it_stands_and_what_was_noted_last(signed_in: Client, build: Build) -> None:
    shown = beside(signed_in, build, "1")
    assert shown.first("h2").text == "1 Ring"
    assert "Next 20 turning · 3 to go" in shown.text
    assert "Done 1.5 h" in shown.text
    assert "Noted on 1 Mar 2026 Blunt saw" in shown.text
    links = [link.attributes["href"] for link in shown.all("a")]
    key = build.parts.get(number="1").pk
    assert f"/builds/{build.slug}/bench/?part={key}" in links
    assert f"/builds/{build.slug}/parts/{key}/" in links


@pytest.mark.parametrize("asked", ["0", "x", "²", "9" * 19, "9" * 5000, "-1", ""])
def test_an_address_that_names_no_part_shows_the_one_in_work(signed_in: Client, build: Build, asked: str) -> None:
    page = signed_in.get(f"/builds/{build.slug}/", {"part": asked})
    assert read(page.content.decode()).first("aside", id="beside").first("h2").text == "2 Stud"


def test_a_part_of_another_build_is_not_shown(signed_in: Client, build: Build) -> None:
    other = factories.make_part(factories.make_build("Other"), name="Secret")
    assert "Secret" not in signed_in.get(f"/builds/{build.slug}/?part={other.pk}").content.decode()


def test_a_build_without_a_log_asks_to_choose(signed_in: Client) -> None:
    build = factories.make_build("Fresh")
    factories.make_part(build)
    assert "Choose a part" in beside(signed_in, build).text


def test_htmx_gets_the_part_alone_and_the_address_of_the_plan_with_it(signed_in: Client, build: Build) -> None:
    key = build.parts.get(number="3").pk
    asked = {"HX-Request": "true", "HX-Target": "beside"}
    answer = signed_in.get(f"/builds/{build.slug}/parts/{key}/", headers=asked)
    assert answer.headers["HX-Push-Url"] == f"/builds/{build.slug}/?part={key}"
    assert "3 Cap" in answer.content.decode()
    assert "<html" not in answer.content.decode()


def test_a_part_that_waits_for_another_says_so(signed_in: Client, build: Build) -> None:
    ring, cap = build.parts.get(number="1"), build.parts.get(number="3")
    signed_in.post(f"/builds/{build.slug}/parts/{cap.pk}/needs/", {"operation": "", "other": f"p{ring.pk}"})
    assert cap.needs.exists()
    assert "first: 1 Ring" in beside(signed_in, build, "3").text


@pytest.mark.parametrize("more", [0, 3])
def test_it_takes_seven_queries_whatever_the_build_s_size(
    build: Build, django_assert_num_queries: Any, more: int
) -> None:
    for number in range(more):
        factories.make_part(build, f"9{number}")
    build = Build.objects.get(pk=build.pk)
    forecast_of(build, TODAY)
    key = part_worked_on_last(build)
    assert key
    with django_assert_num_queries(7):
        assert part_beside(build, key, TODAY).last


def test_an_assembly_is_folded_where_all_of_it_is_finished(signed_in: Client, build: Build) -> None:
    done, open_one = factories.make_assembly(build, "Done"), factories.make_assembly(build, "Open")
    part = factories.make_part(build, "8", "Pin", assembly=done)
    factories.make_part(build, "9", "Liner", assembly=open_one)
    factories.make_entry(build, FIRST, 30, part=part, operation=part.operations.get(), good=1)
    plan = read(signed_in.get(f"/builds/{build.slug}/").content.decode())
    assert "open" not in plan.first("details", id=f"assembly-{done.pk}").attributes
    assert "open" in plan.first("details", id=f"assembly-{open_one.pk}").attributes
