"""Several works typed as one time: each gets a line of its own, and nothing is logged before that was looked at."""

import html
import re
from collections.abc import Iterator
from typing import Any

import pytest
import time_machine
from django.test import Client

from builds.models import Entry
from tests.pages.test_bench_page import EVENING, evening


@pytest.fixture(autouse=True)
def in_the_evening() -> Iterator[None]:
    with time_machine.travel(EVENING):
        yield


@pytest.fixture
def crank(make_build: Any, make_part: Any) -> dict[str, Any]:
    build = make_build()
    make_part(build, "3", "Crosshead", operations=[{"kind": "milling"}])
    part = make_part(build, operations=[{"kind": "turning"}, {"kind": "milling"}])
    steps = {one.kind: f"o{one.pk}" for one in part.operations.all()}
    return {**steps, "url": f"/builds/{build.slug}/bench/evening/"}


def fields(page: str) -> dict[str, str]:
    """What stands in the fields of the lines that are typed in or chosen from a list, by name."""
    typed = {}
    for tag, name, behind in re.findall(r'(<(?:input|textarea)[^>]*name="(form-\d+-\w+)"[^>]*>)([^<]*)', page):
        value = re.search(r'value="([^"]*)"', tag)
        if 'type="radio"' not in tag:
            typed[name] = html.unescape(value[1] if value else behind).strip()
    for name, options in re.findall(r'<select[^>]*name="(form-\d+-other)"[^>]*>(.*?)</select>', page, re.DOTALL):
        typed[name] = (re.findall(r'value="([^"]*)" selected', options) or [""])[0]
    return typed


def test_two_works_come_back_as_two_lines_with_all_that_was_typed(signed_in: Client, crank: dict[str, Any]) -> None:
    line = {
        "work": crank["turning"],
        "time": "2h turning + 1h milling",
        "good": "2",
        "note": "good light",
        "token": "t",
    }
    answer = signed_in.post(crank["url"], evening(line, {"time": "20 min", "other": "atidying"}, log="yes"))
    assert answer.status_code == 422
    assert not Entry.objects.exists()
    page = answer.content.decode()
    typed = fields(page)
    assert [typed[f"form-{place}-time"] for place in range(3)] == ["2h", "1h", "20 min"]
    assert [typed[f"form-{place}-note"] for place in range(3)] == ["turning\ngood light", "milling", ""]
    assert (typed["form-0-good"], typed["form-1-good"]) == ("2", "")
    assert [typed[f"form-{place}-other"] for place in range(1, 3)] == [crank["milling"], "atidying"]
    assert "“2h turning + 1h milling” stands on 2 lines now" in page

    sent = {name: value for name, value in typed.items() if value}
    shared = {"form-0-work": crank["turning"], "form-TOTAL_FORMS": 3}
    signed_in.post(crank["url"], evening(**{**sent, **shared}, log="yes"))
    logged = Entry.objects.order_by("pk").values_list("operation__kind", "activity", "bench_minutes", "good", "note")
    assert list(logged) == [
        ("turning", "", 120, 2, "turning\ngood light"),
        ("milling", "", 60, 0, "milling"),
        (None, "tidying", 20, 0, ""),
    ]


def test_three_works_and_more_lines_with_two_are_taken_apart_at_once(signed_in: Client, crank: dict[str, Any]) -> None:
    lines = [{"time": "2h turning, 1h milling, 30 min tidying"}, {"time": "41.75 person-hours building, 4 shopping"}]
    page = signed_in.post(crank["url"], evening(*lines, log="yes")).content.decode()
    typed = fields(page)
    times = ["2h", "1h", "30 min", "41.75 person-hours", "4 person-hours"]
    assert [typed[f"form-{place}-time"] for place in range(5)] == times
    assert "stands on 3 lines" in page
    assert "stands on 2 lines" in page


def test_what_has_no_room_for_another_line_stays_as_it_was_typed(signed_in: Client, crank: dict[str, Any]) -> None:
    lines = [{"time": "2h turning + 1h milling"}, *({"time": "1 h", "other": "atidying"} for _ in range(29))]
    page = signed_in.post(crank["url"], evening(*lines, log="yes")).content.decode()
    assert fields(page)["form-0-time"] == "2h turning + 1h milling"
    assert "Write each on a line of its own" in page
    assert not Entry.objects.exists()


def test_a_work_that_no_operation_of_the_part_is_called_after_is_left_to_be_chosen(
    signed_in: Client, crank: dict[str, Any]
) -> None:
    line = {"work": crank["turning"], "time": "2h turning + 1h shopping"}
    typed = fields(signed_in.post(crank["url"], evening(line, log="yes")).content.decode())
    assert (typed["form-1-other"], typed["form-1-note"]) == ("", "shopping")


def test_lines_are_offered_while_it_is_typed_and_made_by_the_button(signed_in: Client, crank: dict[str, Any]) -> None:
    two = "2h turning + 1h milling"
    offered = signed_in.get("/read/time/", {"lines": "yes", "form-0-time": two}).content.decode()
    assert "Make 2 lines of it" in offered
    assert "<button" not in signed_in.get("/read/time/", {"worked": two}).content.decode()
    assert "<button" not in signed_in.get("/read/time/", {"lines": "yes", "form-0-time": "2h"}).content.decode()
    answer = signed_in.post(crank["url"], evening({"work": crank["turning"], "time": two}, apart="yes"))
    assert answer.status_code == 200
    assert fields(answer.content.decode())["form-1-time"] == "1h"
