"""From an empty shop to its first evening in the log: by links and forms alone, a screen a step."""

import re
from html.parser import HTMLParser
from typing import Any

import pytest
from django.test import Client

from builds.models import Build, Entry, Part
from builds.services.shop.builders import first_owner_code
from tests.factories import make_entry

pytestmark = pytest.mark.django_db


class Form(HTMLParser):
    """The fields that the first form of a page's content sends, with what stands in them."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.to, self.fields, self._inside, self._select = "", {}, 0, ""
        self.feed(html[html.index("<main") :])

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        given = dict(attributes)
        name, kind = given.get("name") or "", given.get("type")
        if tag == "form" and given.get("method") == "post" and not self._inside:
            self.to, self._inside = given.get("action") or "", 1
        if self._inside != 1:
            return
        if tag == "select":
            self._select = name
        elif tag == "option" and ("selected" in given or self._select not in self.fields):
            self.fields[self._select] = given.get("value") or ""
        elif tag in ("input", "textarea") and name and (kind not in ("radio", "checkbox") or "checked" in given):
            self.fields[name] = given.get("value") or ""

    def handle_endtag(self, tag: str) -> None:
        self._inside += tag == "form" and self._inside == 1
        self._select = "" if tag == "select" else self._select


def send(client: Client, page: Any, **typed: str) -> Any:
    """Send a page's form as a browser would, with something typed, and follow where it leads."""
    form = Form(page.content.decode())
    assert typed.keys() <= form.fields.keys(), form.fields
    answer = client.post(form.to or page.request["PATH_INFO"], {**form.fields, **typed}, follow=True)
    assert answer.status_code == 200, answer.content.decode()
    return answer


def heading(page: Any) -> str:
    return re.search(r"<h1[^>]*>(.*?)</h1>", page.content.decode(), re.DOTALL)[1].strip()  # type: ignore[index]


def test_a_new_shop_is_led_to_its_first_evening_in_five_screens(client: Client, data_dir: Any) -> None:
    welcome = client.get("/", follow=True)
    assert heading(welcome) == "Make the first owner"

    build = send(client, welcome, code=first_owner_code(), username="mo", password="brass and steel")
    assert heading(build) == "Begin your first build"

    part = send(client, build, name="Beam engine")
    assert heading(part) == "The first part"

    bench = send(client, part, number="1", name="Bed", rough="3 h")
    assert "log the first evening" in bench.content.decode()
    bed = Part.objects.get()

    logged = send(client, bench, **{"form-0-time": "2 h"})
    assert "logged" in logged.content.decode()
    assert Entry.objects.get().part == bed
    assert Entry.objects.get().bench_minutes == 120


def test_each_step_says_how_far_it_is_and_has_a_way_past_it(signed_in: Client) -> None:
    first = signed_in.get("/builds/new/").content.decode()
    assert "Step 2 of 4" in first
    assert "Not now" in first
    begun = signed_in.post("/builds/new/", {"name": "Beam engine", "units": "mm", "state": "active"})
    page = signed_in.get(begun.headers["Location"]).content.decode()
    assert "Step 3 of 4" in page
    assert 'href="/builds/beam-engine/parts/take-in/"' in page
    assert "Not now: to the plan" in page


def test_a_shop_with_a_log_is_led_nowhere(signed_in: Client, make_build: Any) -> None:
    make_entry(make_build("One"), activity="tidying")
    assert "Step" not in signed_in.get("/builds/new/").content.decode()
    page = signed_in.post("/builds/new/", {"name": "Two", "units": "mm", "state": "active"}, follow=True)
    assert heading(page) == "The first part"
    assert "Step" not in page.content.decode()
    data = {"number": "1", "name": "Bed", "quantity": "1", "spares": "0"}
    added = signed_in.post("/builds/two/parts/new/", data)
    assert added.headers["Location"] == f"/builds/two/parts/{Part.objects.get(build__slug='two').pk}/"


def test_once_there_are_people_the_sign_in_is_the_first_page(client: Client, user: Any) -> None:
    assert client.get("/sign-in/").status_code == 200
    assert not Build.objects.exists()
