"""The progress board: open to visitors, who must learn no name and read no note."""

import re
from datetime import date, timedelta
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.management.demonstration import load_demonstration
from builds.models import Build, Photo, Shop
from builds.queries.visitors.exhibit import exhibit_of
from builds.services.plan.records import edit_build
from builds.services.plan.visitors import keep_exhibit
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
    assert "0 of 2 parts made" in html
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
    build = board_build()
    html = shown(client, build)
    assert re.findall(r'<a [^>]*href="([^"]*)"', html) == [f"http://testserver{address(build)}facts/"]
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
    assert "Each range holds with 4 chances in 5." in html
    assert "There is an even chance that it is finished by" in html


def test_a_hidden_date_is_nowhere(client: Client) -> None:
    html = shown(client, board_build(date_on_board=False))
    assert "chance" not in html
    assert "2027" not in html
    assert "How far is it to the first run?" not in html


def test_a_board_without_anything_still_stands(client: Client) -> None:
    html = shown(client, make_build(on_board=True))
    assert "Work begins soon" in html
    assert "chance" not in html


def test_a_board_without_hours_counts_its_parts(client: Client) -> None:
    build = make_build(on_board=True)
    make_part(build)
    html = shown(client, build)
    assert "0 of 1 part made" in html
    assert "hours so far" not in html


def test_names_are_shown_as_they_are_written(client: Client) -> None:
    build = make_build("<b>Engine</b> & $x$", on_board=True)
    html = shown(client, build)
    assert "&lt;b&gt;Engine&lt;/b&gt; &amp; $x$" in html
    assert "<b>Engine" not in html


def test_caches_may_keep_a_visitors_board_for_less_than_a_minute(client: Client) -> None:
    build = board_build()
    response = client.get(address(build))
    assert "public" in response["Cache-Control"]
    assert "max-age=20" in response["Cache-Control"]
    assert "Cookie" in response["Vary"]
    again = client.get(address(build), headers={"If-None-Match": response["ETag"]})
    assert again.status_code == 304


def test_no_cache_keeps_what_a_builder_sees(signed_in: Client) -> None:
    assert "private" in signed_in.get(address(board_build()))["Cache-Control"]


def test_the_board_renews_itself_with_and_without_script(client: Client) -> None:
    html = shown(client, board_build())
    assert '<noscript><meta http-equiv="refresh" content="60"></noscript>' in html
    assert 'hx-trigger="every 30s"' in html
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


def test_the_way_names_its_milestones_with_their_ranges_or_without_any_date(client: Client) -> None:
    build = board_build()
    milestone = build.milestones.create(name="First turn on air")
    milestone.parts.add(build.parts.first())
    html = shown(client, build)
    assert "Next: First turn on air" in html
    assert "2027" in html
    build.date_on_board = False
    edit_build(build=build, by=None)
    html = shown(client, build)
    assert "Next: First turn on air" in html
    assert "2027" not in html
    assert "chance" not in html


def hide(build: Any, **fields: Any) -> None:
    exhibit = exhibit_of(build)
    for name, value in fields.items():
        setattr(exhibit, name, value)
    keep_exhibit(exhibit=exhibit, for_visitors="", on_board=True, date_on_board=build.date_on_board, by=None)


def test_hidden_hours_and_scrap_are_nowhere_in_the_page(client: Client) -> None:
    build = board_build()
    part = build.parts.first()
    make_entry(build, date(2026, 10, 20), 60, part=part, operation=part.operations.get(), scrap=3, scrap_reason="Burst")
    html = shown(client, build)
    assert "Of 5 begun, 2 came out good" in html
    assert "Burst" in html or "burst" in html
    assert "6 hours so far" in html
    hide(build, hours_shown=False, scrap_shown=False)
    html = shown(client, build)
    assert [word for word in ("scrap", "urst", "lost", "hour", "vening", "month at the bench") if word in html] == []


def test_names_stand_on_the_board_only_where_they_are_shown(client: Client) -> None:
    build = board_build()
    hide(build, names_shown=True)
    assert "Wilhelmina" in shown(client, build)
    hide(build, names_shown=False)
    assert "Wilhelmina" not in shown(client, build)


def test_everything_hidden_leaves_a_board_that_stands(client: Client) -> None:
    build = make_build(on_board=True, date_on_board=False)
    hide(build, hours_shown=False, scrap_shown=False, photos_shown=False, names_shown=False)
    html = shown(client, build)
    assert "Work begins soon" in html
    assert html.count(f'data-panel="{build.slug} ') == 1


def test_photos_are_shown_with_their_captions_by_their_public_address(client: Client) -> None:
    build = board_build()
    photo = Photo.objects.create(build=build, image="a.jpg", caption="The ring in its jig", for_visitors=True)
    Photo.objects.create(build=build, image="b.jpg", caption="Not for visitors")
    html = shown(client, build)
    assert f'src="{reverse("builds:board_photo", args=[build.slug, photo.pk])}"' in html
    assert 'alt="The ring in its jig"' in html
    assert "Not for visitors" not in html
    hide(build, photos_shown=False)
    assert "<img" not in shown(client, build)


def test_a_shops_own_heading_stands_over_a_panel(client: Client) -> None:
    build = board_build()
    Shop.objects.update_or_create(pk=1, defaults={"headings": {"bench": "Tonight at the lathe"}})
    html = shown(client, build)
    assert "Tonight at the lathe" in html
    assert "What is on the bench?" not in html


def test_one_board_shows_every_build_that_visitors_may_see(client: Client) -> None:
    where = reverse("builds:boards")
    assert "No build is shown to visitors at present." in client.get(where).content.decode()
    make_build("Beam engine", on_board=True)
    make_build("Mill engine", on_board=True)
    make_build("Secret engine")
    response = client.get(where)
    html = response.content.decode()
    assert [name in html for name in ("Beam engine", "Mill engine", "Secret engine")] == [True, True, False]
    with CaptureQueriesContext(connection) as captured:
        assert client.get(where, headers={"If-None-Match": response["ETag"]}).status_code == 304
    assert len(captured) == 1
    Build.objects.filter(name="Mill engine").update(on_board=False)
    assert client.get(where, headers={"If-None-Match": response["ETag"]}).status_code == 200


def language_of_page(response: Any) -> list[str]:
    return re.findall(r'<(?:html|section)[^>]*\blang="([^"]*)"', response.content.decode())


def asked(where: str, **headers: str) -> Any:
    """The answer to a device that has asked for no language before."""
    return Client().get(where, headers=headers)


def test_the_address_names_the_language_else_the_build_else_the_reader(db: None) -> None:
    build = make_build(on_board=True)
    where = address(build)
    assert set(language_of_page(asked(where))) == {"en-gb"}
    assert set(language_of_page(asked(f"{where}?language=de"))) == {"de"}
    assert set(language_of_page(asked(f"{where}?language=tlh"))) == {"en-gb"}
    assert set(language_of_page(asked(where, accept_language="de"))) == {"de"}
    hide(build, language="de")
    assert set(language_of_page(asked(where))) == {"de"}
    assert asked(where)["Content-Language"] == "de"
    assert set(language_of_page(asked(f"{where}?language=en-gb"))) == {"en-gb"}
    make_build("Second engine", on_board=True)
    assert language_of_page(asked(reverse("builds:boards"))) == ["en-gb", "de", "en-gb"]


def test_another_language_is_another_page_for_every_cache(db: None) -> None:
    where = address(make_build(on_board=True))
    assert len({asked(where, accept_language=one)["ETag"] for one in ("en-gb", "de")}) == 2
    assert "Accept-Language" in asked(where)["Vary"]


def test_no_sentence_of_the_demonstrations_board_is_longer_than_25_words(client: Client, today: date) -> None:
    build = load_demonstration(today)
    assert build is not None
    html = re.sub(r"<svg.*?</svg>|<script.*?</script>", "", shown(client, build), flags=re.DOTALL)
    texts = [
        unescape(re.sub(r"<[^>]*>", " ", one)) for one in re.split(r"</?(?:p|li|h\d|figcaption|div)\b[^>]*>", html)
    ]
    sentences = [one for text in texts for one in re.split(r"(?<=[.?:])\s", text)]
    assert len(sentences) > 40
    assert [one for one in sentences if len(one.split()) > 25] == []


TOKENS = (Path(settings.BASE_DIR) / "static/css/tokens.css").read_text()


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb (WCAG 2.2)."""
    shares = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("look", [1, 2], ids=["day", "evening"])
@pytest.mark.parametrize(
    ("ink", "ground"), [("ink", "paper"), ("blue", "paper"), ("on-blue", "blue"), ("ink", "sheet")]
)
def test_what_is_read_on_the_board_stands_out_seven_to_one(ink: str, ground: str, look: int) -> None:
    colours = []
    for name in (ink, ground):
        found = re.search(rf"--{name}: light-dark\((#\w{{6}}), (#\w{{6}})\)", TOKENS)
        assert found is not None
        colours.append(luminance(found[look]))
    assert (max(colours) + 0.05) / (min(colours) + 0.05) >= 7


def test_the_board_uses_no_paler_ink_for_what_is_read() -> None:
    sheet = (Path(settings.BASE_DIR) / "static/css/board.css").read_text()
    inks = set(re.findall(r"(?<![-\w])color: var\(--([\w-]+)\)", sheet))
    assert inks == {"ink", "blue", "on-blue"}
