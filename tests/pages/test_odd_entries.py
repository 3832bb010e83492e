"""An odd entry is asked about, with all that was typed kept; one more press logs it with its remark."""

from datetime import date
from typing import Any

import pytest
import time_machine
from django.test import Client

from builds.models import Clock, Entry
from tests import factories
from tests.pages.asking import ON_TOP, press_again, questions
from tests.pages.test_bench_page import evening

EVENING = "2026-11-25 21:30+00:00"


@pytest.fixture
def bench(make_build: Any, make_part: Any) -> dict[str, Any]:
    build = make_build()
    part = make_part(build, quantity=1, operations=[{"kind": "turning", "minutes_per_unit": 30.0}])
    to = f"/builds/{build.slug}/"
    return {
        "build": build,
        "part": part,
        "to": to,
        "log": f"{to}bench/evening/",
        "turning": f"o{part.operations.get().pk}",
    }


def work(bench: dict[str, Any], **fields: str) -> dict[str, str]:
    return {"work": bench["turning"], "time": "2h30", "token": "t1", **fields}


@time_machine.travel(EVENING)
def test_the_question_stands_beside_its_line_and_everything_typed_is_kept(
    signed_in: Client, bench: dict[str, Any]
) -> None:
    lines = work(bench, good="500", note="a long one"), {"other": "atidying", "time": "20m", "token": "t2"}
    answer = signed_in.post(bench["log"], evening(*lines))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert questions(page) == ["500 good of 1 wanted."]
    assert page.index("Line 1") < page.index("500 good of 1 wanted.") < page.index("Line 2")
    assert ON_TOP in page
    assert "It is right, log it" in page
    for kept in ('value="500"', 'value="2h30"', "a long one", 'value="20m"'):
        assert kept in page
    assert Entry.objects.count() == 0


@time_machine.travel(EVENING)
def test_one_more_press_logs_it_and_the_remark_stays(signed_in: Client, bench: dict[str, Any]) -> None:
    data = evening(work(bench, good="500"))
    page = signed_in.post(bench["log"], data).content.decode()
    assert press_again(signed_in, bench["log"], data, page).status_code == 302
    entry = Entry.objects.get()
    assert (entry.good, entry.oddities) == (500, [{"oddity": "more than wanted", "good": 500, "wanted": 1}])
    for address in ("log/", f"parts/{bench['part'].pk}/", "bench/"):
        shown = " ".join(signed_in.get(bench["to"] + address).content.decode().split())
        assert "Odd when it was logged: 500 good of 1 wanted." in shown, address
    again = press_again(signed_in, bench["log"], data, page, follow=True)
    assert "logged once" in again.content.decode()
    assert Entry.objects.count() == 1


@time_machine.travel(EVENING)
def test_a_yes_is_for_what_was_shown_and_no_other_figures(signed_in: Client, bench: dict[str, Any]) -> None:
    page = signed_in.post(bench["log"], evening(work(bench, good="500"))).content.decode()
    other = press_again(signed_in, bench["log"], evening(work(bench, good="600")), page)
    assert other.status_code == 422
    assert questions(other.content.decode()) == ["600 good of 1 wanted."]
    assert Entry.objects.count() == 0
    assert press_again(signed_in, bench["log"], evening(work(bench, good="1")), page).status_code == 302
    assert Entry.objects.get().oddities == []


@time_machine.travel(EVENING)
def test_two_oddities_and_a_right_line_with_one_press(signed_in: Client, bench: dict[str, Any]) -> None:
    data = evening(work(bench, time="13 h", good="9"), worked_on="2025-12-30")
    page = signed_in.post(bench["log"], data).content.decode()
    assert questions(page) == [
        "That is 2 days before the build began. That makes 13 h at the bench on one day. 9 good of 1 wanted."
    ]
    press_again(signed_in, bench["log"], data, page)
    assert len(Entry.objects.get().remarks) == 3


@time_machine.travel(EVENING)
def test_what_is_refused_comes_before_what_is_asked(signed_in: Client, bench: dict[str, Any]) -> None:
    page = signed_in.post(bench["log"], evening(work(bench, good="500", reworked="501"))).content.decode()
    assert "they cannot be more" in page
    assert questions(page) == []


@time_machine.travel(EVENING)
def test_the_first_reading_of_a_meter_is_not_one_evening_in_silence(signed_in: Client, bench: dict[str, Any]) -> None:
    data = evening(work(bench, time="to date 72 h"))
    page = signed_in.post(bench["log"], data).content.decode()
    assert questions(page) == [
        "That is 72 h in one evening. For several days in one line, give the day it began under “Since”."
    ]
    lump = press_again(signed_in, bench["log"], evening(work(bench, time="to date 72 h"), since_on="2026-11-01"), page)
    assert lump.status_code == 302
    assert (Entry.objects.get().bench_minutes, Entry.objects.get().oddities) == (72 * 60, [])


def test_the_machines_date_before_the_last_entry_is_asked_about(signed_in: Client, bench: dict[str, Any]) -> None:
    factories.make_entry(bench["build"], date(2026, 11, 20), activity="tidying")
    with time_machine.travel("2026-01-05 20:00+00:00"):
        data = evening(work(bench), worked_on="2026-01-05")
        page = signed_in.post(bench["log"], data).content.decode()
        assert "319 days before the last entry. If the machine is wrong" in questions(page)[0]
        assert press_again(signed_in, bench["log"], data, page).status_code == 302


# ---- the clock ------------------------------------------------------------------------------------------------------


def test_a_clock_left_running_over_night_is_asked_about_and_stands_still_meanwhile(
    signed_in: Client, bench: dict[str, Any]
) -> None:
    off = bench["to"] + "bench/clock/off/"
    with time_machine.travel("2026-11-24 19:00+00:00", tick=False):
        signed_in.post(bench["to"] + "bench/clock/on/", {"form-0-work": bench["turning"]})
    with time_machine.travel("2026-11-25 08:00+00:00", tick=False):
        asked = signed_in.post(off)
    page = asked.content.decode()
    assert asked.status_code == 422
    assert questions(page) == [
        "The clock ran on over night: 13 h. If you worked less, say beside it how long. "
        "That makes 13 h at the bench on one day."
    ]
    assert ON_TOP in page
    assert Clock.objects.exists()
    assert not Entry.objects.exists()
    with time_machine.travel("2026-11-25 08:20+00:00", tick=False):
        assert press_again(signed_in, off, {}, page).status_code == 302
    entry = Entry.objects.get()
    assert (entry.bench_minutes, entry.worked_on) == (780, date(2026, 11, 24))
    remarks = ["The clock ran on over night: 13 h.", "That makes 13 h at the bench on one day."]
    assert entry.remarks == remarks
    with time_machine.travel("2026-11-25 08:30+00:00", tick=False):
        to = f"{bench['to']}log/{entry.pk}/amend/"
        assert signed_in.post(to, amendment(entry, time="13 h", good="1")).status_code == 302
        assert Entry.objects.get().remarks == remarks
        assert signed_in.post(to, amendment(entry, time="2 h", good="1")).status_code == 302
    assert Entry.objects.get().remarks == []


def test_the_time_really_worked_is_said_beside_a_clock_that_ran_over_night(
    signed_in: Client, bench: dict[str, Any]
) -> None:
    off = bench["to"] + "bench/clock/off/"
    with time_machine.travel("2026-11-24 19:00+00:00", tick=False):
        signed_in.post(bench["to"] + "bench/clock/on/", {"form-0-work": bench["turning"]})
    with time_machine.travel("2026-11-25 08:00+00:00", tick=False):
        page = signed_in.post(off).content.decode()
        assert press_again(signed_in, off, {"worked": "2h15"}, page).status_code == 302
    entry = Entry.objects.get()
    assert (entry.bench_minutes, entry.oddities) == (135, [])


def test_a_clock_that_ran_into_the_small_hours_is_ordinary_work(signed_in: Client, bench: dict[str, Any]) -> None:
    with time_machine.travel("2026-11-24 22:00+00:00", tick=False):
        signed_in.post(bench["to"] + "bench/clock/on/", {"form-0-work": bench["turning"]})
    with time_machine.travel("2026-11-25 01:30+00:00", tick=False):
        assert signed_in.post(bench["to"] + "bench/clock/off/").status_code == 302
    assert Entry.objects.get().bench_minutes == 210


# ---- amending -------------------------------------------------------------------------------------------------------


def amendment(entry: Entry, **fields: Any) -> dict[str, Any]:
    work = f"o{entry.operation_id}" if entry.operation_id else f"a{entry.activity}"
    seen = Entry.objects.get(pk=entry.pk).version
    return {"worked_on": entry.worked_on.isoformat(), "other": work, "time": "1h", "seen": seen, **fields}


@time_machine.travel(EVENING)
def test_amending_into_something_odd_is_asked_about(signed_in: Client, bench: dict[str, Any]) -> None:
    entry = factories.make_entry(bench["build"], part=bench["part"], good=1)
    to, data = f"{bench['to']}log/{entry.pk}/amend/", amendment(entry, good="10", note="ten of them")
    asked = signed_in.post(to, data)
    page = asked.content.decode()
    assert asked.status_code == 422
    assert questions(page) == ["10 good of 1 wanted."]
    assert "It is right, save it" in page
    assert "ten of them" in page
    assert Entry.objects.get().good == 1
    assert press_again(signed_in, to, data, page).status_code == 302
    entry.refresh_from_db()
    assert (entry.good, entry.remarks) == (10, ["10 good of 1 wanted."])


@time_machine.travel(EVENING)
def test_what_was_said_yes_to_is_not_asked_again_and_goes_when_it_is_put_right(
    signed_in: Client, bench: dict[str, Any]
) -> None:
    entry = factories.make_entry(bench["build"], part=bench["part"], good=10)
    to = f"{bench['to']}log/{entry.pk}/amend/"
    assert signed_in.post(to, amendment(entry, good="10", note="ten")).status_code == 302
    assert Entry.objects.get().remarks == ["10 good of 1 wanted."]
    assert signed_in.post(to, amendment(entry, good="1")).status_code == 302
    assert Entry.objects.get().remarks == []
