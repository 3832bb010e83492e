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


def caught_up(client: Client, shop: dict[str, Any], *lines: tuple[str, str], log: bool = True) -> str:
    """The page once days and lines were written, read, and logged or sent to be."""
    sent = fields_of(client.get(shop["url"]).content.decode())
    for place, (day, line) in enumerate(lines):
        sent |= {f"form-{place}-worked_on": day, f"form-{place}-line": line}
    read = client.post(shop["url"], sent).content.decode()
    return client.post(shop["url"], fields_of(read) | {"log": "yes"}).content.decode() if log else read


def minutes_logged() -> list[tuple[date, int | None]]:
    return list(Entry.objects.kept().order_by("worked_on", "pk").values_list("worked_on", "bench_minutes"))


@time_machine.travel(EVENING)
def test_meter_readings_count_from_what_the_log_and_the_lines_before_hold_up_to_their_day(
    signed_in: Client, shop: dict[str, Any]
) -> None:
    part = shop["build"].parts.first()
    factories.make_entry(shop["build"], date(2026, 2, 1), minutes=600, part=part)
    # Later than the pages of the notebook: no meter of March knows of it.
    factories.make_entry(shop["build"], date(2026, 10, 1), minutes=6000, part=part)
    caught_up(
        signed_in,
        shop,
        ("2026-03-02", "crosshead milling to date 13 h"),
        ("2026-03-04", "2h tidying"),
        ("2026-03-05", "crosshead milling, time unknown, 1 good"),
        ("2026-03-08", "rings turning, meter 18 h"),
    )
    assert minutes_logged()[1:-1] == [
        (date(2026, 3, 2), 180),
        (date(2026, 3, 4), 120),
        (date(2026, 3, 5), None),
        (date(2026, 3, 8), 180),
    ]


@time_machine.travel(EVENING)
def test_a_meter_that_runs_back_is_refused_beside_its_line_and_nothing_is_logged(
    signed_in: Client, shop: dict[str, Any]
) -> None:
    lines = ("2026-03-02", "crosshead milling to date 13 h"), ("2026-03-04", "crosshead milling to date 12 h")
    page = caught_up(signed_in, shop, *lines)
    assert "The log stands at 13 h already" in page
    assert fields_of(page)["form-1-time"] == "to date 12 h"
    assert not Entry.objects.exists()


@time_machine.travel(EVENING)
def test_meter_readings_that_are_sent_twice_are_logged_once(signed_in: Client, shop: dict[str, Any]) -> None:
    lines = ("2026-03-02", "crosshead milling 2h"), ("2026-03-04", "crosshead milling to date 5 h")
    sent = fields_of(caught_up(signed_in, shop, *lines, log=False)) | {"log": "yes"}
    for _press in range(2):
        assert signed_in.post(shop["url"], sent).status_code == 302
    assert minutes_logged() == [(date(2026, 3, 2), 120), (date(2026, 3, 4), 180)]


@time_machine.travel(EVENING)
def test_a_batch_that_a_line_names_stays_in_its_note(signed_in: Client, shop: dict[str, Any]) -> None:
    factories.make_batch(shop["build"].parts.get(name="Piston ring"), number=2)
    page = caught_up(signed_in, shop, ("2026-03-02", "batch 2 rings lapping 1h"), log=False)
    assert fields_of(page)["form-0-note"] == "batch 2"
