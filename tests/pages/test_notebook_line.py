"""The notebook line on the bench: read into the form, shown, and logged only then."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
import time_machine
from django.test import Client

from builds.models import Entry
from tests import factories
from tests.pages.test_bench_page import EVENING, evening


@pytest.fixture(autouse=True)
def in_the_evening() -> Iterator[None]:
    with time_machine.travel(EVENING):
        yield


@pytest.fixture
def rings(make_build: Any, make_part: Any) -> dict[str, Any]:
    build = make_build()
    make_part(build, "3", "Crosshead", operations=[{"kind": "milling"}, {"kind": "boring"}])
    ring = make_part(build, quantity=12, operations=[{"kind": "turning"}, {"kind": "lapping"}])
    return {"lapping": ring.operations.get(kind="lapping"), "url": f"/builds/{build.slug}/bench/evening/"}


def field(page: str, name: str) -> str:
    found = re.search(rf'<input[^>]*name="{name}"[^>]*>', page)
    value = re.search(r'value="([^"]*)"', found[0]) if found else None
    return value[1] if value else ""


def test_a_line_is_shown_as_the_filled_form_and_logged_only_when_that_is_sent(
    signed_in: Client, rings: dict[str, Any]
) -> None:
    line = "2h30 rings lapping 3 good 1 scrap cracked, lovely light"
    sent = evening({"token": "t1"}, line=line, log="yes")
    answer = signed_in.post(rings["url"], sent)
    page = answer.content.decode()
    assert answer.status_code == 200
    assert not Entry.objects.exists()
    assert [field(page, f"form-0-{name}") for name in ("time", "good", "scrap")] == ["2h30", "3", "1"]
    assert field(page, "form-0-scrap_reason") == "cracked"
    assert re.search(rf'<option value="o{rings["lapping"].pk}" selected', page)
    assert "lovely light</textarea>" in page
    assert "Nothing is logged yet" in page
    assert field(page, "line") == field(page, "line_read") == line

    filled = {"other": f"o{rings['lapping'].pk}", "time": "2h30", "good": "3", "scrap": "1", "token": "t1"}
    signed_in.post(rings["url"], evening(filled, line=line, line_read=line, log="yes"))
    entry = Entry.objects.get()
    assert (entry.operation, entry.bench_minutes, entry.good, entry.scrap) == (rings["lapping"], 150, 3, 1)


def test_another_line_takes_the_place_of_the_one_read_before_and_what_was_typed_stays(
    signed_in: Client, rings: dict[str, Any]
) -> None:
    before = "2h30 rings lapping 3 good"
    filled = {"time": "2h30", "good": "3", "note": "my own words", "token": "t1"}
    sent = evening(filled, line="rings lapping 1h 1 scrap, chatter", line_read=before)
    page = signed_in.post(rings["url"], sent).content.decode()
    assert [field(page, f"form-0-{name}") for name in ("time", "good", "scrap")] == ["1h", "", "1"]
    assert re.search(r"my own words\s+chatter</textarea>", page)


def test_what_is_not_in_the_plan_is_said_and_nothing_is_chosen(signed_in: Client, rings: dict[str, Any]) -> None:
    page = signed_in.post(rings["url"], evening({"token": "t1"}, line="whittled a boat 2h")).content.decode()
    assert "nothing that is in the plan" in page
    assert "whittled a boat</textarea>" in page
    assert not re.search(r'name="form-0-work"[^>]*checked', page)


def test_a_part_that_is_done_gives_way_to_an_open_one_of_the_same_name(
    signed_in: Client, rings: dict[str, Any], make_part: Any
) -> None:
    build = rings["lapping"].part.build
    done = make_part(build, "2", "Oil ring", operations=[{"kind": "lapping"}])
    factories.make_entry(build, part=done, operation=done.operations.get(), good=1)
    page = signed_in.post(rings["url"], evening({"token": "t1"}, line="ring lapping 1h")).content.decode()
    assert re.search(rf'<option value="o{rings["lapping"].pk}" selected', page)


@pytest.mark.parametrize("line", ["x" * 5000, "<script>", "½" * 300, "\u0000 9/0 h", "1 " * 190])
def test_nonsense_is_kept_and_stores_nothing(signed_in: Client, rings: dict[str, Any], line: str) -> None:
    answer = signed_in.post(rings["url"], evening({"token": "t1"}, line=line))
    assert answer.status_code == 200
    assert not Entry.objects.exists()
    assert "<script>" not in answer.content.decode().split("<form", 1)[1]


def test_a_batch_of_the_part_is_chosen_and_any_other_stands_in_the_note(
    signed_in: Client, rings: dict[str, Any]
) -> None:
    batch = factories.make_batch(rings["lapping"].part, number=2)
    factories.make_batch(rings["lapping"].part, number=1)
    page = signed_in.post(rings["url"], evening({"token": "t1"}, line="batch 2 rings lapping 1h")).content.decode()
    assert re.search(rf'<option value="{batch.pk}" selected', page)
    assert "batch 2 of" in page.split("Read as:")[1].split("</p>")[0]
    page = signed_in.post(rings["url"], evening({"token": "t1"}, line="batch 7 rings lapping 1h")).content.decode()
    assert not re.search(rf'<option value="{batch.pk}" selected', page)
    assert "batch 7</textarea>" in page


def test_another_day_that_a_line_names_is_said_and_stands_open_in_its_field(
    signed_in: Client, rings: dict[str, Any]
) -> None:
    page = signed_in.post(rings["url"], evening({"token": "t1"}, line="Tue rings lapping 1h")).content.decode()
    assert field(page, "worked_on") == "2026-11-24"
    assert "Tuesday 24 November, " in page.split("Read as:")[1].split("</p>")[0]
    assert re.search(r'<details class="fold" open>\s*<summary>\s*<span><span data-evening>', page)
    page = signed_in.post(rings["url"], evening({"token": "t1"}, line="rings lapping 1h")).content.decode()
    assert re.search(r'<details class="fold">\s*<summary>\s*<span><span data-evening>', page)
