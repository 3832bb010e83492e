"""Catching up: days and lines from a notebook, shown whole, logged at once, undone at once."""

import re
from datetime import date
from typing import Any

import pytest
import time_machine
from django.test import Client
from django.utils.datastructures import MultiValueDict

from builds.models import Entry, Event
from builds.models.builder import Builder
from builds.services.undo import undo
from tests import factories
from tests.pages.test_bench_page import EVENING

LINES = {
    0: ("2026-03-02", "2h30 rings lapping 3 good 1 scrap cracked"),
    1: ("2026-03-04", "rings lapping, time unknown, 4 good"),
    3: ("2026-06-30", "~20 h crosshead milling since 12 March"),
}


@pytest.fixture
def shop(make_build: Any, make_part: Any) -> dict[str, Any]:
    build = make_build()
    make_part(build, "3", "Crosshead", operations=[{"kind": "milling"}, {"kind": "boring"}])
    make_part(build, quantity=40, operations=[{"kind": "turning"}, {"kind": "lapping"}])
    return {"build": build, "url": f"/builds/{build.slug}/bench/catch-up/"}


def fields_of(page: str) -> dict[str, str]:
    """The form as a browser would send it."""
    form = page.split('<form class="stack"', 1)[1].split("</form>")[0]
    sent = {}
    for tag in re.findall(r"<input[^>]*>", form):
        name, value = re.search(r'name="([^"]+)"', tag), re.search(r'value="([^"]*)"', tag)
        if name and 'type="checkbox"' not in tag:
            sent[name[1]] = value[1] if value else ""
    for name, inside in re.findall(r'<textarea[^>]*name="([^"]+)"[^>]*>([^<]*)</textarea>', form):
        sent[name] = inside.strip()
    for name, inside in re.findall(r'<select[^>]*name="([^"]+)"[^>]*>(.*?)</select>', form, re.DOTALL):
        chosen = re.search(r'value="([^"]*)" selected', inside)
        sent[name] = chosen[1] if chosen else ""
    return sent


def written(page: str) -> dict[str, str]:
    sent = fields_of(page)
    for place, (day, line) in LINES.items():
        sent |= {f"form-{place}-worked_on": day, f"form-{place}-line": line}
    return sent


@time_machine.travel(EVENING)
def test_lines_are_shown_whole_then_logged_at_once_and_undone_at_once(signed_in: Client, shop: dict[str, Any]) -> None:
    page = signed_in.get(shop["url"]).content.decode()
    # Whatever is pressed, what was not shown yet is not logged.
    shown = signed_in.post(shop["url"], written(page) | {"log": "yes"})
    assert shown.status_code == 200
    assert not Entry.objects.exists()
    sent = fields_of(shown.content.decode())
    assert sent["form-0-time"] == "2h30"
    assert sent["form-3-since_on"] == "2026-03-12"
    # The days go on from the last one that was written.
    assert sent["form-4-worked_on"] == "2026-07-01"
    answer = signed_in.post(shop["url"], sent | {"log": "yes"})
    assert answer.status_code == 302, answer.content.decode()
    first, unknown, lump = Entry.objects.order_by("worked_on")
    assert (first.worked_on, first.bench_minutes, first.good, first.scrap) == (date(2026, 3, 2), 150, 3, 1)
    assert (first.operation.kind, first.scrap_reason) == ("lapping", "cracked")
    assert (unknown.bench_minutes, unknown.good) == (None, 4)
    assert (lump.since_on, lump.bench_minutes, lump.bench_is) == (date(2026, 3, 12), 1200, "rough")
    event = Event.objects.filter(build=shop["build"], type="log").get()
    undo(event=event, by=None)
    assert not Entry.objects.kept().exists()


@time_machine.travel(EVENING)
def test_the_first_day_is_the_one_after_the_last_that_was_logged(signed_in: Client, shop: dict[str, Any]) -> None:
    ada = Builder.objects.get(name="ada")
    factories.make_entry(shop["build"], date(2026, 5, 1), part=shop["build"].parts.first(), builder=ada)
    sent = fields_of(signed_in.get(shop["url"]).content.decode())
    assert [sent[f"form-{place}-worked_on"] for place in (0, 1)] == ["2026-05-02", "2026-05-03"]
    more = fields_of(signed_in.post(shop["url"], sent | {"more": "yes"}).content.decode())
    assert more["form-7-worked_on"] == "2026-05-09"
    assert more["form-TOTAL_FORMS"] == "14"


@time_machine.travel(EVENING)
@pytest.mark.parametrize("change", [{"form-1-worked_on": "2027-01-01"}, {"form-1-worked_on": ""}, {"form-1-time": "x"}])
def test_one_line_that_is_refused_leaves_all_unlogged_and_all_that_was_typed(
    signed_in: Client, shop: dict[str, Any], change: dict[str, str]
) -> None:
    page = signed_in.get(shop["url"]).content.decode()
    sent = fields_of(signed_in.post(shop["url"], written(page)).content.decode())
    answer = signed_in.post(shop["url"], sent | change | {"log": "yes"})
    assert answer.status_code == 422
    assert not Entry.objects.exists()
    assert fields_of(answer.content.decode())["form-0-time"] == "2h30"


@time_machine.travel(EVENING)
@pytest.mark.parametrize("total", ["", "x", "0", "-1", "9999", "1000000"])
def test_nonsense_instead_of_a_count_of_lines_breaks_nothing(
    signed_in: Client, shop: dict[str, Any], total: str
) -> None:
    answer = signed_in.post(shop["url"], MultiValueDict({"form-TOTAL_FORMS": [total], "log": ["yes"]}))
    assert answer.status_code in (200, 302, 422)
    assert not Entry.objects.exists()
