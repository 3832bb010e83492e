"""What stands on the bench when the clock is started, and beside it while it runs, is logged with it."""

import re
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.test import Client

from builds.models import Clock, Entry
from tests import factories

LONDON = ZoneInfo("Europe/London")
EVENING = "2026-11-25 20:00+00:00"


@pytest.fixture
def bench(signed_in: Client) -> dict[str, Any]:
    build = factories.make_build()
    part = factories.make_part(
        build, quantity=4, operations=[{"kind": "turning", "minutes_per_unit": 30.0}, {"kind": "drilling"}]
    )
    return {"url": f"/builds/{build.slug}/bench/", "turning": f"o{part.operations.get(number=10).pk}", "build": build}


def typed(*lines: dict[str, Any], **more: Any) -> dict[str, Any]:
    data: dict[str, Any] = {"worked_on": "2026-11-25", "form-TOTAL_FORMS": len(lines), "form-INITIAL_FORMS": 0, **more}
    return data | {f"form-{n}-{name}": value for n, line in enumerate(lines) for name, value in line.items()}


def test_a_note_counts_and_a_time_stay_with_the_clock_and_are_logged_with_it(
    signed_in: Client, bench: dict[str, Any]
) -> None:
    line = {"work": bench["turning"], "time": "30m", "good": "2", "scrap": "1", "scrap_reason": "cracked",
            "note": "third ring next"}  # fmt: skip
    other = {"other": "atidying", "time": "15m", "note": "swept", "token": "second"}
    with time_machine.travel("2026-11-25 19:00+00:00", tick=False):
        signed_in.post(bench["url"] + "clock/on/", typed(line, other))
        page = signed_in.get(bench["url"]).content.decode()
    for name, value in (("good", "2"), ("scrap", "1"), ("before", "30m"), ("scrap_reason", "cracked")):
        assert re.search(rf'name="{name}" value="{value}"', page), name
    assert "third ring next</textarea>" in page
    assert "swept</textarea>" in page
    with time_machine.travel("2026-11-25 20:00+00:00", tick=False):
        sent = {"good": "3", "scrap": "1", "scrap_reason": "cracked", "note": "third ring done", "before": "30m"}
        answer = signed_in.post(bench["url"] + "clock/off/", sent)
    assert "logged=1" in answer.headers["Location"]
    entry = Entry.objects.get()
    assert (entry.bench_minutes, entry.good, entry.scrap, entry.note) == (90, 3, 1, "third ring done")


def test_a_clock_over_midnight_logs_one_evening_on_the_day_it_began(signed_in: Client, bench: dict[str, Any]) -> None:
    with time_machine.travel("2026-11-25 22:30+00:00", tick=False):
        signed_in.post(bench["url"] + "clock/on/", typed({"work": bench["turning"]}))
    with time_machine.travel("2026-11-26 01:15+00:00", tick=False):
        assert "2 h 45 min" in signed_in.get(bench["url"]).content.decode()
        # Pressed twice with an oily thumb.
        for _press in range(2):
            signed_in.post(bench["url"] + "clock/off/", {"good": "2"})
        shown = signed_in.get(bench["url"]).content.decode()
    entry = Entry.objects.get()
    assert (entry.worked_on, entry.bench_minutes, entry.good) == (date(2026, 11, 25), 165, 2)
    assert "Logged for Wednesday" in shown
    assert f"/log/{entry.pk}/amend/" in shown
    assert not Clock.objects.exists()


@time_machine.travel(EVENING)
def test_lines_that_the_clock_kept_are_offered_until_they_are_logged(signed_in: Client, bench: dict[str, Any]) -> None:
    other = {"other": "atidying", "time": "15m", "token": "second"}
    signed_in.post(bench["url"] + "clock/on/", typed({"work": bench["turning"]}, other))
    assert Clock.objects.get().typed == {"lines": [{"other": "atidying", "time": "15m", "token": "second"}]}
    signed_in.post(bench["url"] + "evening/", typed(other, log="yes"))
    assert Entry.objects.get().bench_minutes == 15
    assert Clock.objects.get().typed == {}


@time_machine.travel(EVENING, tick=False)
def test_the_start_is_set_back_and_what_is_typed_stays(signed_in: Client, bench: dict[str, Any]) -> None:
    signed_in.post(bench["url"] + "clock/on/", typed({"work": bench["turning"]}))
    answer = signed_in.post(bench["url"] + "clock/start/", {"began_at": "19:15", "note": "boring bar", "good": "1"})
    assert answer.status_code == 302
    clock = Clock.objects.get()
    assert clock.started_at == datetime(2026, 11, 25, 19, 15, tzinfo=LONDON)
    assert clock.typed == {"note": "boring bar", "good": "1"}
    # Before midnight of the day before, where today's moment is still to come; and at stopping as well.
    signed_in.post(bench["url"] + "clock/start/", {"began_at": "23:30"})
    assert Clock.objects.get().started_at == datetime(2026, 11, 24, 23, 30, tzinfo=LONDON)
    signed_in.post(bench["url"] + "clock/off/", {"began_at": "19:30"})
    assert Entry.objects.get().bench_minutes == 30


@time_machine.travel(EVENING, tick=False)
@pytest.mark.parametrize(
    ("to", "sent", "sentence"),
    [
        ("off", {"worked": "a while", "note": "honing"}, "honing</textarea>"),
        ("off", {"before": "unknown", "note": "honing"}, "Give a time such as 45 min"),
        ("start", {"began_at": "late", "note": "honing"}, "Write the time of day as 19:30."),
    ],
)
def test_a_refused_clock_comes_back_with_what_was_typed(
    signed_in: Client, bench: dict[str, Any], to: str, sent: dict[str, str], sentence: str
) -> None:
    signed_in.post(bench["url"] + "clock/on/", typed({"work": bench["turning"]}))
    answer = signed_in.post(f"{bench['url']}clock/{to}/", sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in page
    assert "honing</textarea>" in page
    assert not Entry.objects.exists()


def test_a_clock_that_cannot_start_leaves_the_evening_as_it_was_typed(signed_in: Client, bench: dict[str, Any]) -> None:
    answer = signed_in.post(bench["url"] + "clock/on/", typed({"note": "slotted the port", "good": "2"}))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Say what was worked on." in page
    assert "slotted the port</textarea>" in page
    assert not Clock.objects.exists()


@time_machine.travel(EVENING, tick=False)
def test_a_clock_stopped_by_mistake_runs_on_as_it_was(signed_in: Client, bench: dict[str, Any]) -> None:
    signed_in.post(bench["url"] + "clock/on/", typed({"work": bench["turning"], "note": "facing"}))
    before = Clock.objects.values("build", "part", "operation", "started_at", "builder").get()
    page = signed_in.post(bench["url"] + "clock/discard/", {"note": "facing, then boring"}, follow=True)
    assert not Clock.objects.exists()
    assert "Put it back" in page.content.decode()
    signed_in.post(bench["url"] + "clock/put-back/")
    assert Clock.objects.values("build", "part", "operation", "started_at", "builder").get() == before
    assert Clock.objects.get().typed == {"note": "facing, then boring"}
    assert signed_in.post(bench["url"] + "clock/put-back/").status_code == 404


def test_an_added_line_is_taken_away_and_the_others_stay(signed_in: Client, bench: dict[str, Any]) -> None:
    lines = [{"other": "atidying", "note": f"note {n}", "token": f"t{n}"} for n in range(3)]
    page = signed_in.post(bench["url"] + "evening/", typed(*lines, less="1")).content.decode()
    assert 'name="form-TOTAL_FORMS" value="2"' in page
    assert "note 0</textarea>" in page
    assert "note 2</textarea>" in page
    assert "note 1" not in page
    assert 'value="t2"' in page
    assert not Entry.objects.exists()
    odd = signed_in.post(bench["url"] + "evening/", typed(*lines, less="99")).content.decode()
    assert 'name="form-TOTAL_FORMS" value="3"' in odd
