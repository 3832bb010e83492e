"""The log book: newest first, filtered, amended, removed, undone."""

from datetime import date
from typing import Any

import pytest
import time_machine
from django.test import Client

from builds.models import Entry


@pytest.fixture
def build(make_build: Any, make_part: Any, make_entry: Any) -> Any:
    build = make_build()
    part = make_part(build)
    make_entry(build, part=part, note="first cut", worked_on=date(2026, 3, 1), minutes=60)
    make_entry(build, activity="tidying", worked_on=date(2026, 4, 1), minutes=45)
    return build


def test_the_newest_entry_comes_first(signed_in: Client, build: Any) -> None:
    text = signed_in.get(f"/builds/{build.slug}/log/").content.decode()
    assert text.index("1 April 2026") < text.index("1 March 2026")
    assert "2 entries, 1 h 45 min at the bench" in text


@pytest.mark.parametrize(
    ("query", "seen", "unseen"),
    [
        ("activity=tidying", "Tidying", "first cut"),
        ("words=first", "first cut", "shop time</small>"),
        ("since=2026-03-15", "Tidying", "first cut"),
        ("until=2026-03-15", "first cut", "shop time</small>"),
    ],
)
def test_filters_narrow_the_log(signed_in: Client, build: Any, query: str, seen: str, unseen: str) -> None:
    text = signed_in.get(f"/builds/{build.slug}/log/?{query}").content.decode()
    entries = text[text.index('id="entries"') :]
    assert seen in entries
    assert unseen not in entries


@pytest.mark.parametrize("query", ["page=99999", "page=-3", "page=x", "since=yesterday", "part=abc", "builder=99"])
def test_nonsense_in_the_address_is_no_error(signed_in: Client, build: Any, query: str) -> None:
    assert signed_in.get(f"/builds/{build.slug}/log/?{query}").status_code == 200


def test_htmx_gets_the_entries_alone(signed_in: Client, build: Any) -> None:
    response = signed_in.get(f"/builds/{build.slug}/log/", headers={"HX-Request": "true"})
    assert "<html" not in response.content.decode()
    assert "HX-Request" in response.headers["Vary"]


@time_machine.travel("2026-11-25 20:00+00:00")
def test_an_entry_is_amended_and_keeps_what_it_was(signed_in: Client, build: Any) -> None:
    entry = Entry.objects.get(note="first cut")
    data = {
        "worked_on": "2026-03-02",
        "other": f"o{entry.operation_id}",
        "time": "~1h30",
        "good": "1",
        "seen": entry.version,
    }
    response = signed_in.post(f"/builds/{build.slug}/log/{entry.pk}/amend/", data)
    assert response.status_code == 302
    entry.refresh_from_db()
    assert (entry.bench_minutes, entry.bench_is, entry.good, entry.worked_on) == (90, "rough", 1, date(2026, 3, 2))
    assert [row.bench_minutes for row in entry.history.order_by("history_id")] == [60, 90]


@time_machine.travel("2026-11-25 20:00+00:00")
def test_an_amendment_over_somebody_elses_is_refused(signed_in: Client, build: Any) -> None:
    entry = Entry.objects.get(note="first cut")
    data = {"worked_on": "2026-03-02", "other": f"o{entry.operation_id}", "time": "2h", "seen": entry.version}
    signed_in.post(f"/builds/{build.slug}/log/{entry.pk}/amend/", data)
    late = signed_in.post(f"/builds/{build.slug}/log/{entry.pk}/amend/", {**data, "time": "3h"})
    assert late.status_code == 422
    assert "Somebody else changed this" in late.content.decode()
    assert Entry.objects.get(pk=entry.pk).bench_minutes == 120


def test_a_removed_entry_leaves_the_sums_and_undo_brings_it_back(signed_in: Client, build: Any) -> None:
    entry = Entry.objects.get(note="first cut")
    page = signed_in.post(f"/builds/{build.slug}/log/{entry.pk}/remove/", follow=True).content.decode()
    assert "1 entry, 45 min" in page
    event = build.events.first()
    assert f"/events/{event.pk}/undo/" in page
    back = signed_in.post(
        f"/builds/{build.slug}/events/{event.pk}/undo/", {"next": f"/builds/{build.slug}/log/"}, follow=True
    )
    assert "2 entries, 1 h 45 min" in back.content.decode()


def test_the_log_asks_the_same_for_one_entry_and_for_many(
    signed_in: Client, build: Any, make_entry: Any, django_assert_max_num_queries: Any
) -> None:
    with django_assert_max_num_queries(12) as few:
        signed_in.get(f"/builds/{build.slug}/log/")
    for day in range(1, 10):
        make_entry(build, activity="buying", worked_on=date(2026, 5, day))
    with django_assert_max_num_queries(12) as many:
        signed_in.get(f"/builds/{build.slug}/log/")
    assert len(few.captured_queries) == len(many.captured_queries)


def test_an_empty_log_says_what_to_do(signed_in: Client, make_build: Any) -> None:
    text = signed_in.get(f"/builds/{make_build('New').slug}/log/").content.decode()
    assert "Nothing logged yet" in text
