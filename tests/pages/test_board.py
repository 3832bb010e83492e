"""The progress board: open to visitors, who must learn no name and read no note."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.queries.board import board_of, percent_of
from builds.services.plan.records import edit_build
from tests.factories import make_assembly, make_batch, make_build, make_builder, make_entry, make_material, make_part

pytestmark = pytest.mark.django_db

SECRETS = ("Wilhelmina", "ask her about the left-hand tap", "paid 40 for it", "wait for cousin", "batch of doubt")


@pytest.fixture(autouse=True)
def on_a_known_day(monkeypatch: pytest.MonkeyPatch, today: date) -> None:
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *args, **kwargs: today)


def address(build: Any) -> str:
    return reverse("builds:board", args=[build.slug])


def shown(client: Client, build: Any) -> str:
    response = client.get(address(build))
    assert response.status_code == 200
    return response.content.decode()


def board_build(parts: int = 2, **fields: Any) -> Any:
    """A build with a name and a note in every place that has room for one."""
    build = make_build(
        scale="1:16", subject="a mill engine", for_visitors="It drove looms.", **{"on_board": True, **fields}
    )
    assembly, brass, builder = make_assembly(build), make_material("Brass"), make_builder("Wilhelmina")
    for n in range(parts):
        part = make_part(
            build,
            str(n + 1),
            f"Ring {n + 1}",
            quantity=4,
            assembly=assembly,
            material=brass,
            for_visitors="It keeps the steam in.",
            note="paid 40 for it",
            waiting_for="person",
            waiting_since_on=date(2026, 10, 1),
            waiting_note="wait for cousin",
            operations=({"kind": "turning", "minutes_per_unit": 60.0, "note": "ask her about the left-hand tap"},),
        )
        make_batch(part).__class__.objects.update(note="batch of doubt")
        make_entry(
            build,
            date(2026, 10, 5) + timedelta(days=n),
            150,
            part=part,
            operation=part.operations.get(),
            good=2,
            builder=builder,
            note="Wilhelmina turned these; ask her about the left-hand tap",
        )
    return build


def test_a_visitor_needs_no_sign_in(client: Client) -> None:
    html = shown(client, board_build())
    assert "0 of 2" in html
    assert "5 hours so far" in html
    assert "It keeps the steam in." in html
    assert "It drove looms." in html
    assert "Made of brass." in html


def test_no_name_and_no_note_reach_the_board(signed_in: Client) -> None:
    build = board_build()
    for who in (Client(), signed_in):
        html = shown(who, build)
        assert [secret for secret in SECRETS if secret in html] == []


def test_the_board_leads_to_no_closed_page(client: Client) -> None:
    html = shown(client, board_build())
    assert "<a " not in html
    assert "/photos/" not in html


def test_a_build_that_is_not_on_the_board_is_not_there_for_visitors(client: Client) -> None:
    assert client.get(address(board_build(on_board=False))).status_code == 404


def test_a_builder_sees_what_visitors_do_not_and_is_told_so(signed_in: Client) -> None:
    build = board_build(on_board=False)
    assert "Visitors do not see this board" in shown(signed_in, build)
    build.on_board = True
    edit_build(build=build, by=None)
    assert "Visitors do not see this board" not in shown(signed_in, build)


def test_a_date_stands_beside_its_chance(client: Client) -> None:
    html = shown(client, board_build())
    assert "4 chances in 5:" in html
    assert "There is an even chance that it is finished by" in html


def test_a_hidden_date_is_nowhere(client: Client) -> None:
    html = shown(client, board_build(date_on_board=False))
    assert "chance" not in html
    assert "2027" not in html
    assert "When will it be finished?" not in html


def test_a_board_without_anything_still_stands(client: Client) -> None:
    html = shown(client, make_build(on_board=True))
    assert "Work begins soon" in html
    assert "chance" not in html


def test_a_board_without_hours_counts_its_parts(client: Client) -> None:
    build = make_build(on_board=True)
    make_part(build)
    html = shown(client, build)
    assert "0 of 1" in html
    assert "hours so far" not in html


def test_names_are_shown_as_they_are_written(client: Client) -> None:
    build = make_build("<b>Engine</b> & $x$", on_board=True)
    html = shown(client, build)
    assert "&lt;b&gt;Engine&lt;/b&gt; &amp; $x$" in html
    assert "<b>Engine" not in html


def test_caches_may_keep_a_visitors_board_for_a_minute(client: Client) -> None:
    build = board_build()
    response = client.get(address(build))
    assert "public" in response["Cache-Control"]
    assert "max-age=60" in response["Cache-Control"]
    assert "Cookie" in response["Vary"]
    again = client.get(address(build), headers={"If-None-Match": response["ETag"]})
    assert again.status_code == 304


def test_no_cache_keeps_what_a_builder_sees(signed_in: Client) -> None:
    assert "private" in signed_in.get(address(board_build()))["Cache-Control"]


def test_the_board_renews_itself_with_and_without_script(client: Client) -> None:
    html = shown(client, board_build())
    assert '<noscript><meta http-equiv="refresh" content="300"></noscript>' in html
    assert 'hx-trigger="every 360s"' in html
    assert 'hx-select="#board"' in html


def test_parts_take_no_queries_of_their_own(client: Client) -> None:
    counts = []
    for parts in (1, 3):
        build = board_build(parts) if parts == 1 else _another(parts)
        shown(client, build)
        with CaptureQueriesContext(connection) as captured:
            shown(client, build)
        counts.append(len(captured))
    assert counts[0] == counts[1]


def _another(parts: int) -> Any:
    from builds.models import Material

    Material.objects.filter(name="Brass").update(name="Old brass")
    return board_build(parts)


@pytest.mark.parametrize(("made", "of", "percent"), [(0, 0, 0), (0, 9, 0), (1, 900, 1), (899, 900, 99), (9, 9, 100)])
def test_nearly_all_is_not_drawn_as_all(made: int, of: int, percent: int) -> None:
    assert percent_of(made, of) == percent


def test_hours_are_said_as_a_visitor_would(today: date) -> None:
    build = make_build()
    make_entry(build, minutes=20, activity="other")
    assert board_of(build, today).hours_words == "less than an hour"
    make_entry(build, minutes=40, activity="other")
    assert board_of(build, today).hours_words == "1 hour"
    make_entry(build, minutes=90, activity="other")
    assert board_of(build, today).hours_words == "2½ hours"
    for _ in range(60):
        make_entry(build, minutes=1220, activity="other")
    assert board_of(build, today).hours_words == "1,220 hours"


def test_the_next_milestone_comes_with_its_range_and_chance(client: Client) -> None:
    build = board_build()
    milestone = build.milestones.create(name="First turn on air")
    milestone.parts.add(build.parts.first())
    html = shown(client, build)
    assert "Before that, with the same chance: First turn on air," in html
    build.date_on_board = False
    edit_build(build=build, by=None)
    assert "First turn on air" not in shown(client, build)


def test_materials_are_told_in_plain_words(today: date) -> None:
    build = make_build()
    for number, name in (("1", "Mild steel, bright drawn"), ("2", "PB1 bronze"), ("3", "Mild steel, black")):
        make_part(build, number, material=make_material(name))
    assert board_of(build, today).materials_words == "mild steel and PB1 bronze"


def test_the_repeated_part_shown_is_one_that_visitors_can_understand(today: date) -> None:
    build = make_build()
    for n, words in enumerate(["", "It seals the piston.", "", ""]):
        part = make_part(build, str(n), f"Ring {n}", quantity=5, for_visitors=words)
        make_entry(build, date(2026, 10, 1 + n), 30, part=part, operation=part.operations.get(), good=1)
    board = board_of(build, today)
    assert board.now is not None
    assert board.now.line.part.name == "Ring 3"
    assert [part.line.part.name for part in board.repeated] == ["Ring 1", "Ring 2", "Ring 0"]
