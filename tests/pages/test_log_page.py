"""The log book: newest first, filtered, amended, removed, undone."""

import html
import re
from datetime import date
from typing import Any

import pytest
import time_machine
from django.test import Client

from builds.models import Entry
from builds.services.shop.builders import add_builder


@pytest.fixture
def build(make_build: Any, make_part: Any, make_entry: Any) -> Any:
    build = make_build()
    part = make_part(build)
    make_entry(build, part=part, note="first cut", worked_on=date(2026, 3, 1), minutes=60)
    make_entry(build, activity="tidying", worked_on=date(2026, 4, 1), minutes=45)
    return build


def sums_of(page: str) -> dict[str, str]:
    """The figures above the entries."""
    return dict(re.findall(r"<dt>(.*?)</dt>\s*<dd>(.*?)</dd>", page))


def test_the_newest_entry_comes_first(signed_in: Client, build: Any) -> None:
    text = signed_in.get(f"/builds/{build.slug}/log/").content.decode()
    assert text.index("1 April 2026") < text.index("1 March 2026")
    assert (sums_of(text)["Entries"], sums_of(text)["At the bench"]) == ("2", "1 h 45 min")


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
    assert (sums_of(page)["Entries"], sums_of(page)["At the bench"]) == ("1", "45 min")
    event = build.events.first()
    assert f"/events/{event.pk}/undo/" in page
    back = signed_in.post(
        f"/builds/{build.slug}/events/{event.pk}/undo/", {"next": f"/builds/{build.slug}/log/"}, follow=True
    )
    sums = sums_of(back.content.decode())
    assert (sums["Entries"], sums["At the bench"]) == ("2", "1 h 45 min")


@pytest.mark.parametrize(
    ("query", "is_open"),
    [("", False), ("words=cut", False), ("since=2026-03-15", True), ("until=nonsense", True), ("removed=on", True)],
)
def test_the_fold_of_the_filters_is_open_where_something_in_it_is_asked(
    signed_in: Client, build: Any, query: str, is_open: bool
) -> None:
    page = signed_in.get(f"/builds/{build.slug}/log/?{query}").content.decode()
    fold = page.split('class="filters"')[1].split("<summary>")[0]
    assert ('<details class="fold" open>' in fold) == is_open


@time_machine.travel("2026-11-25 20:00+00:00")
@pytest.mark.parametrize("shown_on", ["log/", "log/?builder=", "bench/", "parts/"])
def test_an_entry_is_removed_with_one_button_of_its_row_and_put_back_on_the_same_page(
    signed_in: Client, build: Any, make_entry: Any, shown_on: str
) -> None:
    part = build.parts.first()
    entry = make_entry(build, part=part, worked_on=date(2026, 11, 25), note="tonight")
    address = f"/builds/{build.slug}/{shown_on}{f'{part.pk}/' if shown_on == 'parts/' else ''}"
    page = signed_in.get(address).content.decode()
    to = f"/builds/{build.slug}/log/{entry.pk}/remove/"
    assert f'<button form="remove-entry" formaction="{to}">' in page
    form = page.split('<form method="post" id="remove-entry"')[1].split("</form>")[0]
    back = html.unescape(re.search(r'name="next" value="([^"]*)"', form)[1])  # type: ignore[index]
    assert back == address
    removed = signed_in.post(to, {"next": back}, follow=True)
    assert removed.redirect_chain == [(address, 302)]
    assert not Entry.objects.kept().filter(pk=entry.pk).exists()
    way_back = re.search(r'action="([^"]+/undo/)"', removed.content.decode())
    assert way_back is not None
    assert signed_in.post(way_back[1], {"next": back}).headers["Location"] == address
    assert Entry.objects.kept().filter(note="tonight").exists()


def test_an_onlooker_is_offered_no_button_that_removes(client: Client, build: Any) -> None:
    onlooker = add_builder(username="looker", password="turned between centres", role="onlooker")
    client.force_login(onlooker, backend="builds.permissions.PeopleBackend")
    page = client.get(f"/builds/{build.slug}/log/").content.decode()
    assert "first cut" in page
    assert "remove-entry" not in page


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
