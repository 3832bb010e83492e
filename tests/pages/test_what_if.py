"""What if: two ways side by side, nothing stored, and a sentence for everything else."""

import re
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.models import Build, Event
from tests.factories import TODAY, make_build, make_entry, make_part

pytestmark = pytest.mark.django_db

HTMX = {"HX-Request": "true", "HX-Target": "what-if-answer"}


@pytest.fixture(autouse=True)
def on_a_known_day(monkeypatch: pytest.MonkeyPatch, today: date) -> None:
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *args, **kwargs: today)


def worked_build(parts: int = 3, spares: int = 2) -> Build:
    build = make_build()
    for n in range(parts):
        route = ({"kind": "turning", "setup_minutes": 30, "minutes_per_unit": 240.0},)
        part = make_part(build, str(n + 1), f"Part {n + 1}", quantity=12, spares=spares, operations=route)
        for week in range(20):
            day = TODAY - timedelta(weeks=week, days=n)
            make_entry(build, day, 150, part=part, operation=part.operations.get(), good=week % 2)
    return build


def asked(client: Client, build: Build, status: int = 200, **query: Any) -> str:
    response = client.get(reverse("builds:forecast", args=[build.slug]), query)
    assert response.status_code == status
    return response.content.decode()


def test_a_plain_visit_shows_the_question_and_no_other_way(signed_in: Client) -> None:
    html = asked(signed_in, worked_build())

    assert "Evenings more a week" in html
    assert "A usual evening of yours is 2.5 h" in html
    assert "6 spares are still to make" in html
    assert "As it stands" not in html


def test_one_evening_more_brings_the_finish_nearer(signed_in: Client) -> None:
    html = asked(signed_in, worked_build(), evenings="1")

    assert "As it stands" in html
    assert "One evening more a week" in html
    assert re.search(r"The even chance comes about \d+ \w+ nearer\.", html)
    assert html.count('class="spread__bar"') == 2


def test_a_slower_pace_moves_it_off(signed_in: Client) -> None:
    html = asked(signed_in, worked_build(), hours="2")

    assert "2 hours a week kept" in html
    assert re.search(r"The even chance moves about [\d.]+ \w+ off\.", html)


def test_leaving_the_spares_out_leaves_fewer_hours(signed_in: Client) -> None:
    html = asked(signed_in, worked_build(), without_spares="on")
    lows = re.findall(r"About [\d.,]+ h, between ([\d,]+) and [\d,]+ hours left", html)
    hours = [int(low.replace(",", "")) for low in lows]

    assert "No more spares" in html
    assert len(hours) == 2
    assert hours[1] < hours[0]


def test_htmx_gets_the_section_alone(signed_in: Client) -> None:
    response = signed_in.get(reverse("builds:forecast", args=[worked_build().slug]), {"hours": "9.5"}, headers=HTMX)
    html = response.content.decode()

    assert html.strip().startswith('<section class="section" id="what-if"')
    assert "9.5 hours a week kept" in html
    assert "<html" not in html


@pytest.mark.parametrize(
    ("query", "sentence"),
    [
        ({"hours": "abc"}, "Give hours a week as a number"),
        ({"hours": "-5"}, "Give more than none"),
        ({"hours": "0"}, "Give more than none"),
        ({"hours": "1e9"}, "Nobody keeps more than 100 hours"),
        ({"hours": "nan"}, "Give hours a week as a number"),
        ({"evenings": "abc"}, "Give a whole number of evenings"),
        ({"evenings": "-5"}, "Give 0 evenings or more"),
        ({"evenings": "1e9"}, "Give a whole number of evenings"),
        ({"evenings": "9" * 5000}, "Give a whole number of evenings"),
        ({"evenings": "8"}, "A week has seven evenings"),
    ],
)
def test_nonsense_is_refused_in_a_sentence_beside_what_was_typed(
    signed_in: Client, query: dict[str, str], sentence: str
) -> None:
    html = asked(signed_in, worked_build(1), **query)

    assert sentence in html
    assert "As it stands" not in html


def test_without_spares_to_make_it_says_so(signed_in: Client) -> None:
    assert "No spares are left to make" in asked(signed_in, worked_build(spares=0), without_spares="on")


def test_without_a_log_there_is_no_pace_to_change(signed_in: Client) -> None:
    build = make_build()
    make_part(build)

    assert "there is no pace to change" in asked(signed_in, build, evenings="1")


def test_without_a_figure_nothing_can_be_told(signed_in: Client) -> None:
    build = make_build()
    make_part(build, operations=())

    assert "nothing can be told of other ways either" in asked(signed_in, build, hours="5")


def test_nothing_is_stored(signed_in: Client) -> None:
    build = worked_build()
    before = (build.revision, Event.objects.count())

    asked(signed_in, build, evenings="1", hours="4", without_spares="on")
    build.refresh_from_db()

    assert (build.revision, Event.objects.count()) == before


def test_it_is_asked_of_an_earlier_day_too(signed_in: Client) -> None:
    html = asked(signed_in, worked_build(), evenings="1", as_of="2026-10-15")

    assert '<input type="hidden" name="as_of" value="2026-10-15">' in html
    assert "October 2026" in html


def test_parts_take_no_queries_of_their_own(signed_in: Client) -> None:
    def queries(parts: int) -> int:
        build = worked_build(parts)
        asked(signed_in, build, evenings="1")
        with CaptureQueriesContext(connection) as captured:
            asked(signed_in, build, evenings="1")
        return len(captured)

    assert queries(1) == queries(4)


def test_what_the_plan_does_not_hold_is_named(signed_in: Client) -> None:
    build = worked_build()
    make_part(build, "90", "Cladding", operations=())
    mixed = ({"kind": "turning", "minutes_per_unit": 60.0}, {"kind": "fitting"})
    make_part(build, "91", "Bracket", operations=mixed)
    late = ({"kind": "filing", "minutes_per_unit": 90.0, "added_on": date(2026, 9, 1)},)
    make_part(build, "92", "Late catch", operations=late)

    html = asked(signed_in, build)

    assert "1 part has no figure." in html
    assert "90 Cladding</a>" in html
    assert "1 operation has no figure in a part whose other operations have one" in html
    assert "91 Bracket</a>, 20 fitting" in html
    assert "since work began 1 operation joined it, planned at 1.5 h" in html
    assert "of further plan for every hour worked" in html
