"""The page that looks back: in slices, with script and without, and with little to go by."""

import re
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.models import Build, Milestone
from tests.factories import TODAY, make_build, make_entry, make_part

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def on_a_known_day(monkeypatch: pytest.MonkeyPatch, today: date) -> None:
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *args, **kwargs: today)


def worked_build(parts: int = 4, months: int = 5) -> Build:
    build = make_build(started_on=date(2025, 1, 1))
    for n in range(parts):
        route = ({"kind": "turning", "setup_minutes": 30, "minutes_per_unit": 60.0},)
        part = make_part(build, str(n + 1), f"Part {n + 1}", quantity=3, operations=route)
        done = n < parts - 1
        day = TODAY - timedelta(days=30 * months * (parts - n) // parts)
        make_entry(build, day, 240, part=part, operation=part.operations.get(), good=3 if done else 1)
    return build


def page(client: Client, build: Build, **how: Any) -> str:
    response = client.get(reverse("builds:replay", args=[build.slug]), **how)
    assert response.status_code == 200
    return response.content.decode()


def test_an_empty_log_has_nothing_to_look_back_on(signed_in: Client) -> None:
    html = page(signed_in, make_build())

    assert "There is nothing to look back on yet" in html
    assert "aria-busy" not in html


def test_it_draws_how_the_finish_and_the_hours_moved(signed_in: Client) -> None:
    build = worked_build()
    milestone = Milestone.objects.create(build=build, name="First run", reached_on=TODAY - timedelta(days=20))
    milestone.parts.set(build.parts.all())

    html = page(signed_in, build)

    assert "The finish, as it was foreseen month by month" in html
    assert "Hours in all, as they were foreseen month by month" in html
    assert "First run, reached on 5 Nov 2026" in html
    assert "Every range is meant to hold with 4 chances in 5." in html
    assert "1,000 draws" in html
    assert " style=" not in html


def test_a_long_log_comes_in_slices_that_end(signed_in: Client) -> None:
    build = worked_build(months=20)
    first = page(signed_in, build)
    assert re.search(r"12 of \d+ months are worked out", first)
    assert 'hx-trigger="load"' in first
    assert "Work out the next months" in first

    rest = page(signed_in, build, headers={"HX-Request": "true", "HX-Target": "course"})
    assert rest.strip().startswith('<div class="replay" id="course">')
    assert "<html" not in rest

    without_script = page(signed_in, build)
    assert "Work out the next months" not in without_script
    assert "The finish, as it was foreseen month by month" in without_script


def test_a_log_without_figures_says_what_is_missing(signed_in: Client) -> None:
    build = make_build()
    for weeks in (4, 9, 14):
        make_entry(build, TODAY - timedelta(weeks=weeks), 90, activity="other")

    assert "There is nothing to look back on yet" in page(signed_in, build)


def test_parts_and_months_take_no_queries_of_their_own(signed_in: Client) -> None:
    def queries(parts: int, months: int) -> int:
        build = worked_build(parts, months)
        page(signed_in, build)
        with CaptureQueriesContext(connection) as captured:
            page(signed_in, build)
        return len(captured)

    assert queries(2, 3) == queries(5, 10)


def test_it_is_for_those_who_signed_in(client: Client) -> None:
    assert client.get(reverse("builds:replay", args=[make_build().slug])).status_code == 302
