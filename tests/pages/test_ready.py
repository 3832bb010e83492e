"""Will it be ready by a day: asked on its page and on the command line."""

import json
import re
from datetime import date, timedelta
from io import StringIO
from typing import Any

import numpy as np
import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.models import Build, Milestone
from builds.queries.forecast.build_forecast import forecast_of, seed_of
from builds.queries.forecast.ready import chance_of_wish
from calcs.forecast.simulate import simulate
from tests.factories import TODAY, make_build, make_entry, make_part

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def on_a_known_day(monkeypatch: pytest.MonkeyPatch, today: date) -> None:
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *args, **kwargs: today)


def worked_build(**facts: Any) -> Build:
    build = make_build(**facts)
    milestone = Milestone.objects.create(build=build, name="First turn", position=1)
    for n in range(4):
        route = ({"kind": "turning", "setup_minutes": 30, "minutes_per_unit": 240.0},)
        part = make_part(build, str(n + 1), f"Part {n + 1}", quantity=12, spares=1, operations=route)
        if n < 2:
            milestone.parts.add(part)
        for week in range(20):
            make_entry(build, TODAY - timedelta(weeks=week, days=n), 150, part=part, operation=part.operations.get())
    return build


def page(client: Client, build: Build, status: int = 200, **query: str) -> str:
    response = client.get(reverse("builds:ready", args=[build.slug]), query)
    assert response.status_code == status
    return " ".join(response.content.decode().split())


def said(build: Build, *options: str) -> str:
    out = StringIO()
    call_command("forecast", build.slug, *options, stdout=out)
    return out.getvalue()


def day(weeks: int) -> str:
    return (TODAY + timedelta(weeks=weeks)).isoformat()


def test_a_plain_visit_asks_for_a_day(signed_in: Client) -> None:
    html = page(signed_in, worked_build())
    assert "What chance has it?" in html
    assert "An even chance takes" not in html


def test_a_plain_visit_answers_for_the_wished_finish(signed_in: Client) -> None:
    html = page(signed_in, worked_build(wished_finish_on=TODAY + timedelta(weeks=10)))
    assert "Asked for the wished finish of the build." in html
    assert "An even chance takes" in html


def test_the_answer_for_the_wished_finish_is_kept_and_that_for_another_day_is_its_own(signed_in: Client) -> None:
    build = worked_build(wished_finish_on=TODAY + timedelta(weeks=10))
    fresh = page(signed_in, build).partition("<main")[2]
    with CaptureQueriesContext(connection) as captured:
        again = page(signed_in, build).partition("<main")[2]
    # The session, the user, the build.
    assert len(captured) == 3
    assert again == fresh
    assert "Asked for the wished finish of the build." not in page(signed_in, build, by=day(20))


def test_a_day_has_its_chance_and_what_it_would_take(signed_in: Client) -> None:
    html = page(signed_in, worked_build(), by=day(4))
    assert re.search(r"(Hardly a chance|Even chance|About \d chances? in (10|5))", html)
    assert "at the pace of your log: 10 h a week." in html
    assert "An even chance takes" in html
    assert "4 chances in 5 take" in html
    assert "4 spares are still to make" in html
    assert "What no milestone needs" in html
    assert "Part 4" in html


def test_a_milestone_is_asked_for_by_itself(signed_in: Client) -> None:
    build = worked_build()
    milestone = build.milestones.get()
    html = page(signed_in, build, by=day(500), milestone=str(milestone.pk))
    assert "That is for First turn" in html
    assert "As good as certain" in html
    assert "which you keep already" in html


@pytest.mark.parametrize(
    ("query", "sentence"),
    [
        ({"by": "never"}, "never"),
        ({"by": ""}, "This is needed"),
        ({"by": "2020-01-01"}, "That day is past. Give one that is still to come."),
        ({"by": "2030-01-01", "milestone": "99999"}, "99999"),
    ],
)
def test_nonsense_is_refused_in_a_sentence_and_kept_in_its_field(
    signed_in: Client, query: dict[str, str], sentence: str
) -> None:
    assert sentence in page(signed_in, worked_build(), **query)


def test_a_build_without_a_log_says_why_no_day_can_be_asked_about(signed_in: Client) -> None:
    build = make_build()
    make_part(build)
    assert "so no day can be asked about" in page(signed_in, build, by=day(10))


def test_a_finished_build_has_no_day_open(signed_in: Client) -> None:
    build = make_build(state="finished", finished_on=TODAY)
    make_part(build)
    assert "The build is finished" in page(signed_in, build, by=day(10))


def test_the_command_gives_the_same_figures_in_words_and_plain() -> None:
    build = worked_build()
    figures = json.loads(said(build, "--by", day(4), "--json"))["by"]
    assert figures["date"] == day(4)
    assert set(figures) == {"date", "chance", "pace_for_even_chance", "pace_for_four_in_five", "hours_to_leave_out"}
    assert 0 <= figures["chance"] <= 1
    assert figures["pace_for_even_chance"] < figures["pace_for_four_in_five"]
    assert "chance in 10" in said(build, "--by", day(4))
    assert "by" not in json.loads(said(build, "--json"))


def test_the_command_knows_milestones_by_name() -> None:
    build = worked_build()
    assert "That is for First turn" in said(build, "--by", day(40), "--milestone", "first turn")
    with pytest.raises(CommandError, match="There are: First turn"):
        said(build, "--by", day(40), "--milestone", "second turn")
    with pytest.raises(CommandError, match="--by"):
        said(build, "--milestone", "first turn")
    with pytest.raises(CommandError, match="is not a date"):
        said(build, "--by", "soon")


RANGES = {
    "Less than 1 chance in 10.": (0.0, 0.1),
    "Less than an even chance.": (0.1, 0.5),
    "More than an even chance.": (0.5, 0.8),
    "More than 4 chances in 5.": (0.8, 0.9),
    "More than 9 chances in 10.": (0.9, 1.0),
}


def test_the_plan_says_between_which_chances_the_wished_finish_lies() -> None:
    build = worked_build()
    asked = forecast_of(build, TODAY)
    days = simulate(asked.snapshot.build_plan(), TODAY, seed_of(build), draws=4000).days
    assert asked.finish_on is not None
    assert days is not None
    said_of_it = set()
    for one in vars(asked.finish_on).values():
        for wished in (one - timedelta(days=1), one):
            asked.snapshot.build.wished_finish_on = wished
            words = chance_of_wish(asked)
            least, most = RANGES[words]
            assert least - 0.001 <= np.mean(np.ceil(days[0]) <= (wished - TODAY).days) <= most + 0.001
            said_of_it.add(words)
    assert said_of_it == set(RANGES)


def test_the_plan_leads_from_the_wished_finish_to_what_it_would_take(signed_in: Client) -> None:
    build = worked_build(wished_finish_on=TODAY + timedelta(weeks=500))
    html = " ".join(signed_in.get(f"/builds/{build.slug}/").content.decode().split())
    assert re.search(r'href="/builds/beam-engine/ready/">Ready by \d+ \w+ 2036\?</a> More than 9 chances in 10\.', html)


def test_the_plan_says_nothing_of_a_wish_that_is_none(signed_in: Client) -> None:
    build = worked_build()
    wish = {"wished_finish_on": TODAY + timedelta(weeks=9)}
    for facts in (
        {"wished_finish_on": None},
        {"wished_finish_on": TODAY - timedelta(days=1)},
        {**wish, "state": "resting"},
        {**wish, "state": "finished", "finished_on": TODAY},
    ):
        Build.objects.filter(pk=build.pk).update(**facts)
        assert chance_of_wish(forecast_of(Build.objects.get(), TODAY)) == ""
    assert "Ready by" not in signed_in.get(f"/builds/{build.slug}/").content.decode()
