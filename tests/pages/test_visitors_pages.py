"""The page in large print, the sign and the talk sheet: who is told what, and with which code."""

import re
from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from builds.models import Exhibit
from builds.queries.visitors.headings import PANELS
from builds.services.plan.visitors import keep_exhibit
from tests.factories import TODAY, make_build, make_builder, make_entry, make_part

pytestmark = pytest.mark.django_db

UNTOLD = "The board does not tell this."


@pytest.fixture(autouse=True)
def on_a_known_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *args, **kwargs: TODAY)


@pytest.fixture
def engine() -> Any:
    """A build on the board, with a name and a note that no visitor may read."""
    build = make_build(on_board=True, subject="a mill engine", for_visitors="It drove looms.", scale="1:12")
    part = make_part(
        build, name="Piston ring", quantity=4, note="paid 40", for_visitors="It keeps the steam in.",
        operations=({"kind": "turning", "minutes_per_unit": 20.0},),
    )  # fmt: skip
    make_entry(
        build, date(2026, 11, 20), 150, part=part, operation=part.operations.get(), good=1, scrap=3,
        scrap_reason="broke at the gap", builder=make_builder("Wilhelmina"), note="ask her",
    )  # fmt: skip
    return build


def hide(build: Any, **shown: Any) -> None:
    keep_exhibit(
        exhibit=Exhibit(build=build, hours_shown=False, scrap_shown=False, **shown),
        for_visitors="It drove looms.", on_board=build.on_board, date_on_board=False, by=None,
    )  # fmt: skip


def page(client: Client, address: str, **asked: Any) -> str:
    answer = client.get(address, **asked)
    assert answer.status_code == 200, address
    return answer.content.decode()


# ---- the page in large print ----------------------------------------------------------------------------------------
def test_anybody_reads_the_facts_of_a_build_on_the_board_and_of_no_other(client: Client, engine: Any) -> None:
    html = page(client, f"/board/{engine.slug}/facts/")
    for told in ("It drove looms.", "2½ hours so far.", "Of 4 begun, 1 came out good.", "broke at the gap"):
        assert told in html
    for secret in ("Wilhelmina", "ask her", "paid 40"):
        assert secret not in html
    make_build("Boiler")
    assert client.get("/board/boiler/facts/").status_code == 404


def test_nobody_is_shown_the_facts_of_a_build_off_the_board_a_builder_neither(signed_in: Client) -> None:
    assert signed_in.get(f"/board/{make_build().slug}/facts/").status_code == 404


def test_each_panel_has_its_heading_and_each_drawing_its_words(client: Client, engine: Any) -> None:
    html = page(client, f"/board/{engine.slug}/facts/")
    headings = re.findall(r'<h2 id="(\w+)">(.*?)</h2>', html)
    assert headings
    assert headings == [(key, str(PANELS[key])) for key, _heading in headings]
    drawings = re.split(r"(?=<(?:svg|img|div\s+class=\"piecerow\")[\s>])", html)[1:]
    assert len(drawings) == 2
    for drawing in drawings:
        tag = drawing[: drawing.index(">")]
        hidden = 'aria-hidden="true"' in tag
        assert re.search(r'(?:alt|aria-label)="[^"]+"', tag) or hidden
        assert not hidden or re.search(r'</div>\s*<p class="piecerow__words">[^<]+</p>', drawing)


def test_what_is_hidden_is_nowhere_in_the_source(client: Client, engine: Any) -> None:
    hide(engine)
    html = page(client, f"/board/{engine.slug}/facts/")
    for hidden in ("hours", "scrap", "broke at the gap", "chances in 5", "lost", "half of 20"):
        assert hidden not in html, hidden


def test_the_page_is_not_made_again_for_who_has_it(client: Client, engine: Any) -> None:
    address = f"/board/{engine.slug}/facts/"
    etag = client.get(address).headers["ETag"]
    with CaptureQueriesContext(connection) as asked:
        again = client.get(address, headers={"If-None-Match": etag})
    assert (again.status_code, len(asked)) == (304, 1)
    with CaptureQueriesContext(connection) as asked:
        page(client, address)
    assert len(asked) == 1


@pytest.mark.parametrize("page_of", ["/board/{}/facts/", "/builds/{}/placard/"])
def test_the_address_says_the_language_else_the_build_else_the_browser(
    signed_in: Client, engine: Any, page_of: str
) -> None:
    def language(asked: str = "") -> str:
        html = page(signed_in, page_of.format(engine.slug) + asked, HTTP_ACCEPT_LANGUAGE="en")
        signed_in.cookies.pop("django_language", None)
        return re.findall(r'<html lang="([\w-]+)"', html)[0]

    assert (language(), language("?language=de"), language("?language=xx")) == ("en-gb", "de", "en-gb")
    hide(engine, language="de")
    assert (language(), language("?language=en-gb"), language()) == ("de", "en-gb", "de")


# ---- the sign -------------------------------------------------------------------------------------------------------
def test_the_sign_has_a_code_only_where_a_phone_gets_to_the_page(signed_in: Client, engine: Any, settings: Any) -> None:
    settings.ALLOWED_HOSTS = ["shop.example", "127.0.0.1"]
    address = f"/builds/{engine.slug}/placard/"
    html = page(signed_in, address, HTTP_HOST="shop.example")
    assert "<svg" in html
    assert f'href="http://shop.example/board/{engine.slug}/facts/"' in html
    assert "only this machine knows the address" in page(signed_in, address, HTTP_HOST="127.0.0.1:8000")
    assert "<svg" not in page(signed_in, address, HTTP_HOST="127.0.0.1:8000")
    hide(make_build("Boiler"))
    html = page(signed_in, "/builds/boiler/placard/", HTTP_HOST="shop.example")
    assert "visitors do not see the board" in html
    assert "<svg" not in html


def test_a_sign_is_laid_out_for_the_paper_asked_for(signed_in: Client, engine: Any) -> None:
    for asked, paper in (("letter", "letter"), ("a4-upright", "a4-upright"), ("papyrus", "a5"), ("", "a5")):
        html = page(signed_in, f"/builds/{engine.slug}/placard/?paper={asked}")
        assert f'class="placard placard--{paper} placard--letters' in html
        assert f'<a href="?paper={paper}" aria-current="page">' in html


def test_what_visitors_are_not_told_is_not_on_the_sign(signed_in: Client, engine: Any) -> None:
    address = f"/builds/{engine.slug}/placard/"
    assert "2½ hours so far · 0 of 1 part made" in page(signed_in, address)
    hide(engine)
    html = page(signed_in, address)
    assert "hours" not in html
    assert "0 of 1 part made" in html


# ---- the board ------------------------------------------------------------------------------------------------------
def test_the_board_shows_the_code_of_the_page_where_a_phone_gets_to_it(
    client: Client, engine: Any, settings: Any
) -> None:
    settings.ALLOWED_HOSTS = ["shop.example", "127.0.0.1"]
    code = f'href="http://shop.example/board/{engine.slug}/facts/"'
    assert code in page(client, f"/board/{engine.slug}/", HTTP_HOST="shop.example")
    assert 'data-panel="code"' not in page(client, f"/board/{engine.slug}/", HTTP_HOST="127.0.0.1:8000")


def test_a_builder_finds_the_sign_and_the_talk_sheet_from_the_board_and_a_visitor_neither(
    signed_in: Client, engine: Any
) -> None:
    ways = [f'href="/builds/{engine.slug}/{where}/"' for where in ("visitors", "placard", "talk")]
    assert all(way in page(signed_in, f"/board/{engine.slug}/") for way in ways)
    assert not any(way in page(Client(), f"/board/{engine.slug}/") for way in ways)


# ---- the talk sheet -------------------------------------------------------------------------------------------------
def test_the_talk_sheet_marks_what_the_board_keeps_to_itself(signed_in: Client, engine: Any) -> None:
    address = f"/builds/{engine.slug}/talk/"
    assert UNTOLD not in page(signed_in, address)
    hide(engine)
    html = page(signed_in, address)
    assert html.count(UNTOLD) == 3
    for told in ("2½ hours so far.", "Of 4 begun, 1 came out good.", "even chance"):
        assert told in html


def test_the_talk_sheet_is_kept_by_revision(signed_in: Client, engine: Any) -> None:
    address = f"/builds/{engine.slug}/talk/"
    page(signed_in, address)
    with CaptureQueriesContext(connection) as asked:
        page(signed_in, address)
    # Who reads, and the build.
    assert len(asked) == 3
    hide(engine)
    assert UNTOLD in page(signed_in, address)


def test_all_three_are_found_from_the_page_for_visitors(signed_in: Client, engine: Any) -> None:
    html = page(signed_in, f"/builds/{engine.slug}/visitors/")
    for address in (f"/board/{engine.slug}/facts/", f"/builds/{engine.slug}/placard/", f"/builds/{engine.slug}/talk/"):
        assert f'href="{address}"' in html
        page(signed_in, address)
