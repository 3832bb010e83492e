"""Pages that are the same as before are not made again, and none is shown that is not the same."""

import os
import re
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.cache import cache
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.models import Build, Machine, Shop
from builds.queries.cache_store import program_version
from builds.services.plan.records import edit_build
from builds.services.shop.items import keep, remove
from builds.views.kept import TOKENS_PLACE
from tests.factories import TODAY, make_build, make_entry, make_material, make_part, make_user

pytestmark = pytest.mark.django_db

PAGES = ("page", "log", "forecast", "forecast_piece/working", "rates", "repeats")
EVERY_PAGE = (*PAGES, "board")
TOKEN = re.compile(r'("x-csrftoken": "|name="csrfmiddlewaretoken" value=")\w+')


@pytest.fixture(autouse=True)
def day(monkeypatch: pytest.MonkeyPatch) -> list[date]:
    """The day that the pages take for today, which a test may change."""
    days = [TODAY]
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *args, **kwargs: days[0])
    return days


@pytest.fixture
def build(db: None) -> Build:
    build = make_build(on_board=True)
    for n in range(8):
        route = ({"kind": "turning", "setup_minutes": 20, "minutes_per_unit": 30.0},)
        part = make_part(build, str(n), f"Ring {n}", quantity=2, material=brass(), operations=route)
        if n < 5:
            make_entry(
                build, date(2026, 3, 1) + timedelta(days=n), 90, part=part, operation=part.operations.get(), good=2
            )
    return build


def brass() -> Any:
    from builds.models import Material

    return Material.objects.filter(name="Brass").first() or make_material("Brass")


def to(name: str, build: Build) -> str:
    """The address of a page; a piece of the forecast stands behind a slash."""
    name, _slash, piece = name.partition("/")
    return reverse(f"builds:{name}", args=[build.slug, piece] if piece else [build.slug])


def tag(client: Client, url: str, **headers: str) -> str:
    """The page's etag, asked for as a browser does that holds a token already."""
    client.get(url)
    etag: str = client.get(url, headers=headers)["ETag"]
    return etag


def status(client: Client, url: str, etag: str, **headers: str) -> int:
    return client.get(url, headers={"If-None-Match": etag, **headers}).status_code


@pytest.mark.parametrize("name", EVERY_PAGE)
def test_a_page_that_is_the_same_is_told_so_from_one_row(signed_in: Client, build: Build, name: str) -> None:
    url = to(name, build)
    etag = tag(signed_in, url)
    with CaptureQueriesContext(connection) as captured:
        answer = signed_in.get(url, headers={"If-None-Match": etag})
    assert answer.status_code == 304
    assert answer.content == b""
    assert answer["ETag"] == etag
    # The session, the user, the build.
    assert len(captured) == 3
    assert {"Cookie", "HX-Request"} <= set(answer["Vary"].split(", "))
    assert "private" in answer["Cache-Control"]


def test_a_visitors_board_that_is_the_same_takes_one_query(client: Client, build: Build) -> None:
    url = to("board", build)
    etag = tag(client, url)
    with CaptureQueriesContext(connection) as captured:
        assert status(client, url, etag) == 304
    assert len(captured) == 1


@pytest.mark.parametrize("name", EVERY_PAGE)
def test_a_page_that_is_kept_reads_nothing_more(signed_in: Client, build: Build, name: str) -> None:
    url = to(name, build)
    fresh = signed_in.get(url).content.decode()
    with CaptureQueriesContext(connection) as captured:
        kept = signed_in.get(url).content.decode()
    assert len(captured) == 3
    assert TOKEN.sub(r"\1", kept) == TOKEN.sub(r"\1", fresh)


@pytest.mark.parametrize("name", EVERY_PAGE)
def test_a_page_is_made_anew_after_a_line_of_the_log(signed_in: Client, build: Build, name: str) -> None:
    url = to(name, build)
    etag, before = tag(signed_in, url), signed_in.get(url).content.decode()
    part = build.parts.get(number="6")
    make_entry(build, date(2026, 9, 4), 600, part=part, operation=part.operations.get(), good=2, note="Went well")
    after = signed_in.get(url, headers={"If-None-Match": etag})
    assert after.status_code == 200
    cache.clear()
    assert TOKEN.sub(r"\1", after.content.decode()) == TOKEN.sub(r"\1", signed_in.get(url).content.decode())
    assert TOKEN.sub(r"\1", after.content.decode()) != TOKEN.sub(r"\1", before)


@pytest.mark.parametrize("name", EVERY_PAGE)
def test_a_page_is_made_anew_the_next_day(signed_in: Client, build: Build, day: list[date], name: str) -> None:
    url = to(name, build)
    etag = tag(signed_in, url)
    day[0] += timedelta(days=1)
    assert status(signed_in, url, etag) == 200


def test_the_board_of_the_next_day_says_so(client: Client, build: Build, day: list[date]) -> None:
    url = to("board", build)
    client.get(url)
    day[0] = date(2027, 1, 2)
    assert "2 Jan 2027" in client.get(url).content.decode()


@pytest.mark.parametrize("name", EVERY_PAGE)
def test_a_material_by_another_name_is_shown_by_it(signed_in: Client, build: Build, name: str) -> None:
    url, material = to(name, build), brass()
    etag = tag(signed_in, url)
    material.name = "Gunmetal"
    keep(item=material)
    answer = signed_in.get(url, headers={"If-None-Match": etag})
    assert answer.status_code == 200
    assert "Brass" not in answer.content.decode()
    if name == "board":
        assert "Made of gunmetal." in answer.content.decode()


def test_every_change_to_what_serves_the_shop_raises_its_revision(db: None) -> None:
    lathe = keep(item=Machine(name="Lathe", kind="lathe"))
    assert Shop.objects.get().revision == 1
    keep(item=lathe)
    remove(item=lathe)
    assert Shop.objects.get().revision == 3


def test_a_refused_change_leaves_the_shop_as_it_was(build: Build) -> None:
    with pytest.raises(Exception, match="stays"):
        remove(item=brass())
    assert not Shop.objects.exists()


@pytest.mark.parametrize("name", EVERY_PAGE)
def test_the_evening_look_comes_with_the_next_page(signed_in: Client, build: Build, name: str) -> None:
    url = to(name, build)
    etag = tag(signed_in, url)
    signed_in.cookies["theme"] = "evening"
    answer = signed_in.get(url, headers={"If-None-Match": etag})
    assert answer.status_code == 200
    assert 'data-theme="evening"' in answer.content.decode()


@pytest.mark.parametrize("name", EVERY_PAGE)
def test_a_page_in_another_language_is_another_page(signed_in: Client, build: Build, name: str, settings: Any) -> None:
    settings.LANGUAGES = [("en-gb", "English"), ("de", "German")]
    settings.LANGUAGES_OF_VISITORS = []
    url = to(name, build)
    etag = tag(signed_in, url)
    answer = signed_in.get(url, headers={"If-None-Match": etag, "Accept-Language": "de"})
    assert answer.status_code == 200
    assert '<html lang="de"' in answer.content.decode()


@pytest.mark.parametrize("name", PAGES)
def test_nobody_is_told_that_somebody_elses_page_is_theirs(signed_in: Client, build: Build, name: str) -> None:
    url = to(name, build)
    etag = tag(signed_in, url)
    other = Client()
    other.force_login(make_user("bea"), backend="builds.permissions.PeopleBackend")
    assert tag(other, url) != etag
    assert status(other, url, etag) == 200
    assert status(Client(), url, etag) == 302


@pytest.mark.parametrize("name", PAGES)
def test_a_page_without_a_token_to_open_its_forms_is_never_the_same(signed_in: Client, build: Build, name: str) -> None:
    url = to(name, build)
    assert "ETag" not in signed_in.get(url)
    etag = tag(signed_in, url)
    del signed_in.cookies["csrftoken"]
    assert status(signed_in, url, etag) == 200


@pytest.mark.parametrize("name", PAGES)
def test_what_waits_to_be_said_is_said_once(signed_in: Client, build: Build, name: str) -> None:
    url = to(name, build)
    etag = tag(signed_in, url)
    signed_in.post("/shop/materials/", {"name": "Bronze"})
    answer = signed_in.get(url, headers={"If-None-Match": etag})
    assert "The material is kept." in answer.content.decode()
    assert "ETag" not in answer
    assert "The material is kept." not in signed_in.get(url).content.decode()


def test_the_forms_of_a_kept_page_open_for_whoever_reads_it(build: Build) -> None:
    for name in ("ada", "bea"):
        client = Client(enforce_csrf_checks=True)
        client.force_login(make_user(name), backend="builds.permissions.PeopleBackend")
        html = client.get(to("rates", build)).content.decode()
        form = html[html.index(f'action="{to("apply_rates", build)}"') :]
        token = re.search(r'csrfmiddlewaretoken" value="(\w+)"', form)
        assert token
        seen = re.search(r'name="seen" value="(\d+)"', form)
        assert seen
        data = {"csrfmiddlewaretoken": token[1], "seen": "0"}
        assert client.post(to("apply_rates", build), data).status_code == 302
        assert int(seen[1]) == Build.objects.get(pk=build.pk).revision


def test_what_stands_for_a_token_is_this_shops_own_and_cannot_be_typed(settings: Any) -> None:
    """A name of it would be shown as the reader's token."""
    again = "import django; django.setup(); from builds.views.kept import TOKENS_PLACE; print(TOKENS_PLACE)"
    of_another_key, of_this_key = (
        subprocess.run(
            [sys.executable, "-c", again],
            cwd=settings.BASE_DIR,
            env={**os.environ, "DJANGO_SETTINGS_MODULE": "builds.settings", "SECRET_KEY": key},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for key in ("another key of some other shop, long enough", settings.SECRET_KEY)
    )
    assert of_this_key == TOKENS_PLACE != of_another_key
    assert settings.SECRET_KEY not in TOKENS_PLACE


def test_a_board_taken_down_is_gone_for_visitors_at_once(client: Client, build: Build) -> None:
    url = to("board", build)
    etag = tag(client, url)
    build.on_board = False
    edit_build(build=build, by=None)
    assert status(client, url, etag) == 404


def test_a_builder_and_a_visitor_have_each_their_own_board(signed_in: Client, build: Build) -> None:
    url = to("board", build)
    assert status(signed_in, url, tag(Client(), url)) == 200


def test_a_part_of_a_page_is_not_taken_for_the_page(signed_in: Client, build: Build) -> None:
    url = to("rates", build)
    etag = tag(signed_in, url)
    assert status(signed_in, url, etag, **{"HX-Request": "true", "HX-Target": "rates-table"}) == 200
    assert status(signed_in, f"{url}?by=material", etag) == 200


def test_what_is_looked_for_in_the_log_is_looked_for_every_time(signed_in: Client, build: Build) -> None:
    make_entry(build, date(2026, 9, 4), 60, activity="tidying", note="Swept below the lathe")
    url = to("log", build)
    assert "Swept below the lathe" in signed_in.get(url).content.decode()
    assert "Swept below the lathe" in signed_in.get(url, {"words": "swept"}).content.decode()
    assert "Swept below the lathe" not in signed_in.get(url, {"words": "drilled"}).content.decode()


def test_a_forecast_of_an_earlier_day_is_kept_apart(signed_in: Client, build: Build) -> None:
    url = to("forecast", build)
    plain = signed_in.get(url).content.decode()
    earlier = signed_in.get(url, {"as_of": "2026-03-03"}).content.decode()
    asked = signed_in.get(url, {"evenings": "2"}).content.decode()
    assert "As it looked on 3 Mar 2026" in earlier
    assert "As it looked on 3" not in plain
    assert "2 evenings more a week" in asked
    assert "2 evenings more a week" not in signed_in.get(url).content.decode()
    assert signed_in.get(url, {"as_of": "2026-03-03"}).content.decode().count("As it looked on 3 Mar 2026") == 1


def test_another_version_of_the_program_shows_nothing_that_was_kept(settings: Any, tmp_path: Path) -> None:
    settings.BASE_DIR, settings.DEBUG = tmp_path, True
    (tmp_path / "templates").mkdir()
    template = tmp_path / "templates" / "page.html"
    template.write_text("one")
    before = program_version()
    assert program_version() == before
    template.write_text("two")
    assert program_version() != before
