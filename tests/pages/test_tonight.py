"""Tonight: on its page and on the command line."""

import json
from datetime import date
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse

from builds.models import Build
from tests import factories
from tests.factories import TODAY, make_build, make_entry, make_machine, make_part

pytestmark = pytest.mark.django_db

TURNED = {"kind": "turning", "setup_minutes": 10.0, "minutes_per_unit": 10.0}


@pytest.fixture(autouse=True)
def on_a_known_day(monkeypatch: pytest.MonkeyPatch, today: date) -> None:
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *args, **kwargs: today)


def open_build(parts: int = 7, **facts: Any) -> Build:
    build = make_build(**facts)
    for n in range(1, parts + 1):
        make_part(build, str(n), f"Stud {n}", quantity=n, operations=(TURNED,))
    return build


def page(client: Client, build: Build, status: int = 200, **query: str) -> str:
    response = client.get(reverse("builds:tonight", args=[build.slug]), query)
    assert response.status_code == status
    return " ".join(response.content.decode().split())


def said(build: Build, *options: str) -> list[str]:
    out = StringIO()
    call_command("tonight", build.slug, *options, stdout=out)
    return out.getvalue().splitlines()


def test_five_are_shown_and_the_rest_is_folded(signed_in: Client) -> None:
    shown, below = page(signed_in, open_build(), time="3 h").split("</ol>", 1)
    _head, *folds = below.split("<details")
    assert shown.count('class="tonight__offer"') == 5
    assert len(folds) == 1
    assert "2 more that fit" in folds[0]
    assert folds[0].count('class="tonight__offer"') == 2


def test_the_time_at_hand_is_read_as_people_write_it_and_stays_in_the_address(signed_in: Client) -> None:
    build = open_build()
    assert "Tonight: 1 h 30 min" in page(signed_in, build)
    html = page(signed_in, build, time="2:30")
    assert "Tonight: 2 h 30 min" in html
    assert 'href="?time=2%20h%2030%20min" aria-current="true"' in html


@pytest.mark.parametrize(("typed", "refusal"), [("soup", "not understood"), ("0", "Give a time"), ("30 h", "a day")])
def test_what_is_no_time_is_refused_with_what_was_typed(signed_in: Client, typed: str, refusal: str) -> None:
    html = page(signed_in, open_build(), status=422, time=typed)
    assert refusal in html
    assert f'value="{typed}"' in html
    assert "Tonight: 1 h 30 min" in html


def test_a_usual_evening_of_the_log_is_what_is_asked_about_first(signed_in: Client) -> None:
    build = open_build()
    part = build.parts.first()
    assert part is not None
    make_entry(build, TODAY, 120, part=part, operation=part.operations.get())
    assert "Tonight: 2 h" in page(signed_in, build)


def test_a_tap_opens_the_bench_on_just_that_operation(signed_in: Client) -> None:
    build = make_build()
    part = make_part(build, "1", quantity=4, operations=(TURNED, {**TURNED, "kind": "drilling"}))
    first, second = part.operations.all()
    make_entry(build, TODAY, part=part, operation=first, good=2)
    make_entry(build, TODAY, part=part, operation=second, good=1)
    address = f"{reverse('builds:bench', args=[build.slug])}?part={part.pk}&amp;operation={first.pk}"
    assert f'href="{address}"' in page(signed_in, build)
    for operation in (first, second):
        bench = signed_in.get(reverse("builds:bench", args=[build.slug]), {"part": part.pk, "operation": operation.pk})
        assert f'value="o{operation.pk}" checked' in " ".join(bench.content.decode().split())


def test_an_onlooker_is_led_to_the_part(client: Client) -> None:
    user = factories.make_user("guest")
    user.builder.looks_on = True
    user.builder.save()
    client.force_login(user, backend="builds.permissions.PeopleBackend")
    build = open_build(1)
    html = page(client, build)
    part = build.parts.get()
    assert f'href="{reverse("builds:part", args=[build.slug, part.pk])}"' in html
    assert reverse("builds:bench", args=[build.slug]) not in html


def test_where_nothing_can_be_begun_it_says_what_holds(signed_in: Client) -> None:
    lathe = make_machine(out_of_order_since_on=TODAY)
    build = make_build()
    make_part(build, "1", operations=({**TURNED, "machine": lathe},))
    make_part(build, "2", waiting_for="post", waiting_since_on=TODAY)
    make_part(build, "3", operations=())
    html = page(signed_in, build)
    assert "1 operation is for a machine that is out of order" in html
    assert "1 operation is of a part that waits" in html
    assert "1 part has no operation yet" in html


@pytest.mark.parametrize(
    ("facts", "parts", "sentence"),
    [
        ({"state": "finished", "finished_on": TODAY}, 2, "The build is finished, so nothing is left to do."),
        ({}, 0, "Nothing is left to do in the plan as it stands."),
    ],
)
def test_a_build_without_work_says_so(signed_in: Client, facts: Any, parts: int, sentence: str) -> None:
    assert sentence in page(signed_in, open_build(parts, **facts))


def test_a_build_that_rests_says_so_and_still_offers(signed_in: Client) -> None:
    html = page(signed_in, open_build(1, state="resting"))
    assert "The build rests." in html
    assert "tonight__offer" in html


def test_without_any_time_planned_the_work_is_named_and_no_time(signed_in: Client) -> None:
    build = make_build()
    make_part(build, "1", operations=({"kind": "turning"},))
    html = page(signed_in, build)
    assert "1 with no time planned" in html
    assert "chances in 10" not in html.split("<main")[1].split("What fits into that?")[0]
    [line] = [json.loads(line) for line in said(build, "--json")]
    assert (line["pieces"], line["minutes"], line["chance_it_fits"]) == (None, None, None)


def test_where_nothing_fits_it_says_so_and_shows_what_can_be_begun(signed_in: Client) -> None:
    build = make_build()
    make_part(build, "1", operations=({**TURNED, "minutes_per_unit": 600.0},))
    html = page(signed_in, build, time="30 min")
    assert "Nothing fits into 30 min with 4 chances in 5." in html
    assert "tonight__offer" in html


def test_the_command_prints_one_object_a_line_in_the_order_of_the_page(signed_in: Client) -> None:
    build = open_build()
    lines = [json.loads(line) for line in said(build, "--minutes", "180", "--json")]
    assert [set(line) for line in lines] == 7 * [
        {"part", "operation", "pieces", "minutes", "chance_it_fits", "why", "milestone"}
    ]
    first = lines[0]
    assert set(first["minutes"]) == {"p10", "p50", "p90"}
    assert 0.8 <= first["chance_it_fits"] <= 1
    html = page(signed_in, build, time="3 h")
    places = [html.index(f"{line['part']} Stud {line['part']}<") for line in lines]
    assert places == sorted(places)


def test_the_command_says_the_same_in_words(today: date) -> None:
    said_in_words = said(open_build(1), "--minutes", "120")
    assert said_in_words[0] == "Beam engine, 2 h at hand on 2026-11-25: what fits, and its chance"
    assert said_in_words[1].startswith("  1 Stud 1, 10 turning · ")


def test_the_command_asks_about_an_earlier_day() -> None:
    build = make_build()
    part = make_part(build, "1", quantity=2, operations=(TURNED,))
    make_entry(build, TODAY, part=part, operation=part.operations.get(), good=1)
    assert json.loads(said(build, "--json", "--as-of", "2026-11-24", "--minutes", "600")[0])["pieces"] == 2
    assert json.loads(said(build, "--json", "--minutes", "600")[0])["pieces"] == 1


@pytest.mark.parametrize(
    ("options", "refusal"),
    [
        (("--minutes", "0"), "--minutes"),
        (("--as-of", "soon"), "not a date"),
        (("--as-of", "2027-01-01"), "not come yet"),
    ],
)
def test_the_command_refuses_with_a_sentence(options: tuple[str, ...], refusal: str) -> None:
    with pytest.raises(CommandError, match=refusal):
        said(open_build(1), *options)
