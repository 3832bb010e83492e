"""The page that looks back: while it is worked out, with script and without, and with little to go by."""

import re
from datetime import date, timedelta
from typing import Any

import pytest
from django.core.cache import cache
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.models import Build, Milestone
from builds.queries.background import background
from builds.queries.forecast.replay import DRAWS, replay_at_hand
from builds.queries.forecast.replay_work import month_by_month, replay_of
from builds.views.forecast.replay import LOOKS
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


@pytest.fixture
def only_noted(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What the background is asked for; another thread would not see what a test has not committed."""
    asked: list[str] = []
    monkeypatch.setattr(background, "ask", lambda key, job: asked.append(key))
    return asked


def page(client: Client, build: Build, look: int | None = None, **how: Any) -> str:
    asked = {} if look is None else {"look": look}
    response = client.get(reverse("builds:replay", args=[build.slug]), asked, **how)
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
    replay_of(build, TODAY)

    html = page(signed_in, build)

    assert "The finish, as it was foreseen month by month" in html
    assert "Hours in all, as they were foreseen month by month" in html
    assert "First run, reached on 5 Nov 2026" in html
    assert "Every range is meant to hold with 4 chances in 5." in html
    assert "1,000 simulated" in html
    assert " style=" not in html


def test_a_page_works_nothing_out_itself_and_looks_again_every_two_seconds(
    signed_in: Client, only_noted: list[str]
) -> None:
    build = worked_build(months=20)
    first = page(signed_in, build)
    assert re.search(r"0 of \d+ months are worked out", first)
    assert 'hx-trigger="load delay:2s"' in first
    assert f'hx-get="{reverse("builds:replay", args=[build.slug])}?look=1"' in first
    assert re.search(r'<p class="form__doing without-js">\s*<a [^>]*>Look again</a>', first)
    steps = month_by_month(build, TODAY)
    next(steps)
    next(steps)

    second = page(signed_in, build, look=1, headers={"HX-Request": "true", "HX-Target": "course"})
    assert re.search(r"2 of \d+ months are worked out", second)
    assert "?look=2" in second
    assert "<html" not in second
    assert len(set(only_noted)) == 1

    for _month in steps:
        pass
    rest = page(signed_in, build, look=2, headers={"HX-Request": "true", "HX-Target": "course"})
    assert rest.strip().startswith('<div class="main__rest" id="course">')
    assert "<html" not in rest
    without_script = page(signed_in, build)
    assert "Look again" not in without_script
    assert "The finish, as it was foreseen month by month" in without_script
    assert len(only_noted) == 2


def test_a_page_left_open_stops_looking_and_keeps_the_link(signed_in: Client, only_noted: list[str]) -> None:
    build = worked_build()

    assert f"?look={LOOKS}" in page(signed_in, build, look=LOOKS - 1)
    last = page(signed_in, build, look=LOOKS)
    assert "hx-trigger" not in last[last.index('id="course"') :]
    assert "aria-busy" not in last
    assert re.search(r'<p class="form__doing">\s*<a [^>]*>Look again</a>', last)


@pytest.mark.django_db(transaction=True)
def test_it_is_worked_out_in_the_background_once_with_the_same_figures(
    signed_in: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    import calcs.forecast

    real, days = calcs.forecast.forecast, list[date]()

    def noted(plan: Any, as_of: date, **how: Any) -> Any:
        if how.get("draws") == DRAWS:
            days.append(as_of)
        return real(plan, as_of, **how)

    monkeypatch.setattr(calcs.forecast, "forecast", noted)
    build = worked_build()
    for _visit in range(3):
        page(signed_in, build)
    background.wait(60)

    behind = replay_at_hand(build, TODAY)
    assert len(days) == len(set(days)) > 3
    assert "The finish, as it was foreseen month by month" in page(signed_in, build)
    cache.clear()
    assert replay_of(build, TODAY) == behind


def test_a_log_without_figures_says_what_is_missing(signed_in: Client) -> None:
    build = make_build()
    for weeks in (4, 9, 14):
        make_entry(build, TODAY - timedelta(weeks=weeks), 90, activity="other")
    replay_of(build, TODAY)

    assert "There is nothing to look back on yet" in page(signed_in, build)


def test_parts_and_months_take_no_queries_of_their_own(signed_in: Client) -> None:
    def queries(parts: int, months: int) -> int:
        build = worked_build(parts, months)
        replay_of(build, TODAY)
        page(signed_in, build)
        with CaptureQueriesContext(connection) as captured:
            page(signed_in, build)
        return len(captured)

    assert queries(2, 3) == queries(5, 10)


def test_it_is_for_those_who_signed_in(client: Client) -> None:
    assert client.get(reverse("builds:replay", args=[make_build().slug])).status_code == 302
