"""The bench page: an evening in the log, in as few touches as it takes."""

import html
import re
from datetime import date
from typing import Any

import pytest
import time_machine
from django.test import Client

from builds.models import Clock, Entry
from tests import factories

EVENING = "2026-11-25 21:30+00:00"


@pytest.fixture
def bench(make_build: Any, make_part: Any) -> dict[str, Any]:
    build = make_build()
    part = make_part(
        build, quantity=4, operations=[{"kind": "turning", "minutes_per_unit": 30.0}, {"kind": "drilling"}]
    )
    return {
        "build": build,
        "part": part,
        "turning": part.operations.get(number=10),
        "url": f"/builds/{build.slug}/bench/",
    }


def evening(*lines: dict[str, Any], **shared: Any) -> dict[str, Any]:
    data: dict[str, Any] = {
        "worked_on": "2026-11-25",
        "form-TOTAL_FORMS": len(lines),
        "form-INITIAL_FORMS": 0,
        **shared,
    }
    for index, line in enumerate(lines):
        data |= {f"form-{index}-{name}": value for name, value in line.items()}
    return data


@time_machine.travel(EVENING)
def test_an_evening_is_logged_and_what_is_left_of_the_part_shows_at_once(
    signed_in: Client, bench: dict[str, Any]
) -> None:
    line = {
        "work": f"o{bench['turning'].pk}",
        "time": "2h30",
        "good": "3",
        "reworked": "1",
        "scrap": "1",
        "token": "t1",
    }
    response = signed_in.post(bench["url"] + "evening/", evening(line), follow=True)
    entry = Entry.objects.get()
    assert (entry.bench_minutes, entry.good, entry.reworked, entry.scrap) == (150, 3, 1, 1)
    assert entry.builder is not None
    assert entry.builder.user is not None
    text = response.content.decode()
    assert "14 Piston ring" in text
    assert "left" in text


@time_machine.travel(EVENING)
def test_one_touch_on_a_usual_time_is_enough(signed_in: Client, bench: dict[str, Any]) -> None:
    signed_in.post(
        bench["url"] + "evening/", evening({"work": f"o{bench['turning'].pk}", "usual": "90", "token": "t1"})
    )
    assert Entry.objects.get().bench_minutes == 90


@time_machine.travel(EVENING)
def test_a_form_sent_twice_makes_one_entry(signed_in: Client, bench: dict[str, Any]) -> None:
    data = evening({"work": f"o{bench['turning'].pk}", "time": "1h", "token": "same"})
    first = signed_in.post(bench["url"] + "evening/", data)
    again = signed_in.post(bench["url"] + "evening/", data, follow=True)
    assert first.status_code == 302
    assert Entry.objects.count() == 1
    assert "logged once" in again.content.decode()


@time_machine.travel(EVENING)
def test_several_lines_are_logged_together_and_an_empty_one_is_left_out(
    signed_in: Client, bench: dict[str, Any]
) -> None:
    lines = (
        {"work": f"o{bench['turning'].pk}", "time": "1h", "token": "a"},
        {"other": "atidying", "time": "30 min", "token": "b"},
        {"other": "", "time": "", "token": "c"},
    )
    signed_in.post(bench["url"] + "evening/", evening(*lines))
    assert sorted(Entry.objects.values_list("bench_minutes", "activity")) == [(30, "tidying"), (60, "")]


@time_machine.travel(EVENING)
def test_one_more_line_keeps_what_was_typed(signed_in: Client, bench: dict[str, Any]) -> None:
    data = evening({"work": f"o{bench['turning'].pk}", "time": "1h", "note": "hard skin", "token": "a"}, more="yes")
    response = signed_in.post(bench["url"] + "evening/", data)
    text = response.content.decode()
    assert response.status_code == 200
    assert "Line 2" in text
    assert "hard skin" in text
    assert Entry.objects.count() == 0


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ({"time": "all evening long"}, "time"),
        ({"time": "1h75"}, "minutes stay under 60"),
        ({"time": "-1h"}, "time"),
        ({"time": "1h", "reworked": "2", "good": "1"}, "cannot be more"),
        ({"time": "1h", "good": "-3"}, "Give 0 or more"),
        ({"time": "1h", "scrap_reason": "dropped it"}, "no scrap"),
        ({"time": "30h"}, "more than a day"),
    ],
)
@time_machine.travel(EVENING)
def test_what_cannot_be_logged_is_refused_in_words_and_nothing_is_written(
    signed_in: Client, bench: dict[str, Any], line: dict[str, str], sentence: str
) -> None:
    response = signed_in.post(
        bench["url"] + "evening/", evening({"work": f"o{bench['turning'].pk}", "token": "t", **line})
    )
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert Entry.objects.count() == 0


@time_machine.travel(EVENING)
def test_an_empty_form_says_what_is_missing(signed_in: Client, bench: dict[str, Any]) -> None:
    response = signed_in.post(bench["url"] + "evening/", evening({"work": f"o{bench['turning'].pk}", "token": "t"}))
    assert response.status_code == 422
    assert "give a time, or count some pieces" in response.content.decode()


@time_machine.travel(EVENING)
def test_tomorrow_cannot_be_logged(signed_in: Client, bench: dict[str, Any]) -> None:
    data = evening({"work": f"o{bench['turning'].pk}", "time": "1h", "token": "t"}, worked_on="2026-11-26")
    assert "has not come yet" in signed_in.post(bench["url"] + "evening/", data).content.decode()


@time_machine.travel("2026-11-26 01:15+00:00")
def test_after_midnight_the_evening_before_is_offered(signed_in: Client, bench: dict[str, Any]) -> None:
    assert 'value="2026-11-25"' in signed_in.get(bench["url"]).content.decode()


@time_machine.travel(EVENING)
def test_the_work_used_last_comes_first(signed_in: Client, bench: dict[str, Any], make_part: Any) -> None:
    other = make_part(bench["build"], "15", "Valve", quantity=2)
    factories.make_entry(bench["build"], part=other, operation=other.operations.get(), worked_on=date(2026, 11, 24))
    text = signed_in.get(bench["url"]).content.decode()
    assert f'value="o{other.operations.get().pk}" checked' in text


@time_machine.travel(EVENING)
def test_a_meter_reading_logs_the_difference(signed_in: Client, bench: dict[str, Any], make_entry: Any) -> None:
    make_entry(bench["build"], part=bench["part"], minutes=600, worked_on=date(2026, 11, 20))
    signed_in.post(
        bench["url"] + "evening/", evening({"work": f"o{bench['turning'].pk}", "time": "to date 12.5", "token": "t"})
    )
    assert Entry.objects.order_by("pk").last().bench_minutes == 150  # type: ignore[union-attr]


def test_the_clock_measures_an_evening_over_midnight(signed_in: Client, bench: dict[str, Any]) -> None:
    with time_machine.travel("2026-11-25 22:40+00:00", tick=False):
        signed_in.post(bench["url"] + "clock/on/", {"form-0-work": f"o{bench['turning'].pk}"})
        assert Clock.objects.count() == 1
    with time_machine.travel("2026-11-26 00:25+00:00", tick=False):
        assert "1 h 45 min" in signed_in.get(bench["url"]).content.decode()
        response = signed_in.post(bench["url"] + "clock/off/")
    entry = Entry.objects.get()
    assert (entry.bench_minutes, entry.worked_on, entry.bench_is) == (105, date(2026, 11, 25), "exact")
    assert response.headers["Location"] == f"/builds/{bench['build'].slug}/log/{entry.pk}/amend/"
    assert Clock.objects.count() == 0


@time_machine.travel(EVENING)
def test_a_clock_is_stopped_twice_and_logs_once(signed_in: Client, bench: dict[str, Any]) -> None:
    signed_in.post(bench["url"] + "clock/on/", {"form-0-work": f"o{bench['turning'].pk}"})
    signed_in.post(bench["url"] + "clock/off/")
    signed_in.post(bench["url"] + "clock/off/")
    assert Entry.objects.count() == 1


def test_the_bench_asks_the_database_the_same_however_many_parts_there_are(
    signed_in: Client, bench: dict[str, Any], make_part: Any, django_assert_max_num_queries: Any
) -> None:
    with django_assert_max_num_queries(22) as one:
        signed_in.get(bench["url"])
    for number in ("20", "21"):
        make_part(bench["build"], number, f"Part {number}")
    with django_assert_max_num_queries(22) as three:
        signed_in.get(bench["url"])
    assert len(three.captured_queries) <= len(one.captured_queries)


def test_the_reading_of_a_time_comes_back_as_it_is_typed(signed_in: Client) -> None:
    assert "2 h 30 min" in signed_in.get("/read/time/?form-0-time=2:30").content.decode()
    nasty = signed_in.get("/read/time/", {"x": "<script>alert(1)</script>"}).content.decode()
    assert "<script>" not in nasty


def test_a_clock_that_was_forgotten_asks_how_long_was_really_worked(signed_in: Client, bench: dict[str, Any]) -> None:
    with time_machine.travel("2026-11-23 20:00+00:00", tick=False):
        signed_in.post(bench["url"] + "clock/on/", {"form-0-work": f"o{bench['turning'].pk}"})
    with time_machine.travel("2026-11-25 20:00+00:00", tick=False):
        asked = signed_in.post(bench["url"] + "clock/off/", follow=True).content.decode()
        assert "The clock has run for 48 h" in asked
        assert not Entry.objects.exists()
        signed_in.post(bench["url"] + "clock/off/", {"worked": "2 h"})
    entry = Entry.objects.get()
    assert (entry.bench_minutes, entry.worked_on) == (120, date(2026, 11, 23))


@time_machine.travel("2026-11-26 01:15+00:00")
def test_an_operation_added_after_midnight_can_be_logged_at_once(
    signed_in: Client, bench: dict[str, Any], make_entry: Any
) -> None:
    make_entry(bench["build"], part=bench["part"], operation=bench["turning"], worked_on=date(2026, 1, 5))
    data = {"kind": "filing", "basis": "piece", "amount": "1", "origin": "by hand", "unattended_share": "0"}
    signed_in.post(f"/builds/{bench['build'].slug}/parts/{bench['part'].pk}/operations/new/", data)
    assert "30 filing" in signed_in.get(bench["url"]).content.decode()


@pytest.fixture
def large(bench: dict[str, Any], make_part: Any) -> dict[str, Any]:
    """A build of more operations than are listed at once; the last part is far from what was worked on."""
    for number in range(20, 60):
        make_part(bench["build"], str(number), f"Stud {number}", operations=[{"kind": "turning"}, {"kind": "drilling"}])
    lens = make_part(bench["build"], "99", "Gauge glass", operations=[{"kind": "grinding", "title": "Bevel the rim"}])
    factories.make_entry(bench["build"], part=bench["part"], operation=bench["turning"])
    return bench | {"far": f"o{lens.operations.get().pk}"}


@time_machine.travel(EVENING)
def test_of_a_large_build_what_is_near_is_listed_and_the_rest_is_searched_for(
    signed_in: Client, large: dict[str, Any]
) -> None:
    page = signed_in.get(large["url"]).content.decode()
    assert f'value="o{large["turning"].pk}"' in page
    assert large["far"] not in page
    for sought in ("gauge", "99", "rim bevel", "grinding"):
        found = signed_in.get(large["url"] + "find/", {"form-0-find": sought}).content.decode()
        assert f'value="{large["far"]}"' in found, sought
    for nothing in ("", "%", "zeppelin", "gauge zeppelin"):
        assert large["far"] not in signed_in.get(large["url"] + "find/", {"form-0-find": nothing}).content.decode()


@time_machine.travel(EVENING)
@pytest.mark.parametrize("chosen", ["operation", "shop time"])
def test_searching_on_keeps_what_was_chosen(signed_in: Client, large: dict[str, Any], chosen: str) -> None:
    value = f"o{large['turning'].pk}" if chosen == "operation" else "atidying"
    asked = {"form-0-find": "gauge", "form-0-other": value}
    found = signed_in.get(large["url"] + "find/", asked).content.decode()
    assert f'value="{value}" selected' in found
    assert f'value="{large["far"]}">' in found


@time_machine.travel(EVENING)
def test_the_search_works_without_script_and_keeps_what_was_typed(signed_in: Client, large: dict[str, Any]) -> None:
    typed = {"find": "gauge", "time": "2h30", "note": "a chip at the edge", "token": "t1"}
    page = signed_in.post(large["url"] + "evening/", evening(typed, search="yes"))
    assert page.status_code == 200
    assert f'value="{large["far"]}"' in page.content.decode()
    assert "a chip at the edge" in page.content.decode()
    assert Entry.objects.count() == 1
    signed_in.post(large["url"] + "evening/", evening({**typed, "other": large["far"]}))
    assert Entry.objects.order_by("-pk")[0].operation_id == int(large["far"][1:])


@time_machine.travel(EVENING)
def test_what_is_left_follows_by_itself_where_it_is_not_known_yet(signed_in: Client, bench: dict[str, Any]) -> None:
    line = {"work": f"o{bench['turning'].pk}", "time": "1h", "good": "1", "token": "t1"}
    page = signed_in.post(bench["url"] + "evening/", evening(line), follow=True).content.decode()
    assert "logged. 0 of 4 good." in page
    follow_up = re.search(r'hx-get="([^"]+/left/[^"]*)"', page)
    assert follow_up is not None
    left = signed_in.get(html.unescape(follow_up[1])).content.decode()
    assert re.search(r"About [\d.]+ h.* left, 0 of 4 good", left)
    assert "hx-get" not in left


@time_machine.travel(EVENING)
def test_beside_the_form_stand_what_is_next_at_each_pick_and_the_evenings_before(
    signed_in: Client, bench: dict[str, Any], make_entry: Any
) -> None:
    work = {"part": bench["part"], "operation": bench["turning"], "good": 1}
    make_entry(bench["build"], worked_on=date(2026, 11, 20), minutes=45, **work)
    page = signed_in.get(bench["url"]).content.decode()
    ahead = page.split('class="bench__ahead"')[1].split("</div>")[0]
    picked = re.findall(r'class="bench__what">(.*?)<', page)
    assert picked
    assert re.findall(r"<h2>Next at (.*?)</h2>", ahead) == picked
    assert re.findall(r"(\d+) to go", ahead) == ["3", "4"]
    before = page.split("The last evenings</h2>")[1]
    assert re.search(r"Fri 20 Nov 2026 <span[^>]*>45 min<", before)
