"""A batch: started from its part, filled across its route, pieces moving on by themselves."""

from typing import Any

import pytest
import time_machine
from django.test import Client

from builds.models import Batch, Build, Entry
from tests import factories
from tests.pages.asking import ON_TOP, press_again, questions

EVENING = "2026-11-25 21:30+00:00"
ROUTE = [{"kind": kind, "minutes_per_unit": 10.0} for kind in ("turning", "parting", "lapping")]


@pytest.fixture
def ring(make_build: Any, make_part: Any) -> dict[str, Any]:
    part = make_part(make_build(), quantity=12, spares=2, operations=ROUTE)
    batch = factories.make_batch(part, blanks=20)
    turning, parting, lapping = part.operations.order_by("number")
    url = f"/builds/{part.build.slug}/batches/{batch.pk}/grid/"
    return {"part": part, "batch": batch, "url": url, "turning": turning, "parting": parting, "lapping": lapping}


def grid(on: str = "2026-11-25", **cells: dict[str, Any]) -> dict[str, Any]:
    data: dict[str, Any] = {"worked_on": on, "token": "t"}
    for operation, cell in cells.items():
        data |= {f"{operation}-{name}": value for name, value in cell.items()}
    return data


def at(operation: Any) -> str:
    return f"o{operation.pk}"


@time_machine.travel(EVENING)
def test_a_batch_is_started_from_its_part_and_leads_to_its_grid(signed_in: Client, ring: dict[str, Any]) -> None:
    part = ring["part"]
    to = f"/builds/{part.build.slug}/parts/{part.pk}/batches/new/"
    assert to in signed_in.get(f"/builds/{part.build.slug}/parts/{part.pk}/").content.decode()
    page = signed_in.get(f"{to}?blanks=18").content.decode()
    assert 'value="18"' in page
    data = {"blanks": "18", "number": "2", "started_on": "2026-11-25", "note": "second pot"}
    answer = signed_in.post(to, data)
    batch = Batch.objects.get(number=2)
    assert answer.headers["Location"] == f"/builds/{part.build.slug}/batches/{batch.pk}/grid/"
    assert batch.blanks == 18


@time_machine.travel(EVENING)
def test_a_start_that_is_sent_twice_starts_one_batch(signed_in: Client, ring: dict[str, Any]) -> None:
    part = ring["part"]
    to = f"/builds/{part.build.slug}/parts/{part.pk}/batches/new/"
    data = {"blanks": "18", "number": "2", "started_on": "2026-11-25"}
    first, again = signed_in.post(to, data), signed_in.post(to, data)
    assert first.headers["Location"] == again.headers["Location"]
    assert part.batches.count() == 2
    other = signed_in.post(to, {**data, "blanks": "3"})
    assert other.status_code == 422
    assert "batch of that number already" in other.content.decode()


@pytest.mark.parametrize("blanks", ["0", "-3"])
def test_a_batch_of_no_blanks_is_refused_with_a_sentence(signed_in: Client, ring: dict[str, Any], blanks: str) -> None:
    part = ring["part"]
    to = f"/builds/{part.build.slug}/parts/{part.pk}/batches/new/"
    answer = signed_in.post(to, {"blanks": blanks, "number": "2", "started_on": "2026-11-25"})
    assert answer.status_code == 422
    assert "A batch starts with at least one blank." in answer.content.decode()


@time_machine.travel(EVENING)
def test_one_post_logs_what_was_entered_at_each_operation(signed_in: Client, ring: dict[str, Any]) -> None:
    cells = {
        at(ring["turning"]): {"good": "18", "scrap": "2", "scrap_reason": "measured wrong", "time": "3h"},
        at(ring["parting"]): {"good": "10", "reworked": "1"},
        at(ring["lapping"]): {"time": "unknown", "good": "4"},
    }
    answer = signed_in.post(ring["url"] + "log/", grid(**cells), follow=True)
    entries = {entry.operation_id: entry for entry in Entry.objects.all()}
    turned, parted, lapped = (entries[ring[name].pk] for name in ("turning", "parting", "lapping"))
    assert (turned.good, turned.scrap, turned.scrap_reason, turned.bench_minutes) == (18, 2, "measured wrong", 180)
    # Nobody gave a time for these, so it is not known, and not nothing.
    assert (parted.good, parted.reworked, parted.bench_minutes, parted.bench_is) == (10, 1, None, "unknown")
    assert (lapped.good, lapped.bench_minutes, lapped.bench_is) == (4, None, "unknown")
    assert all(entry.batch == ring["batch"] and entry.builder is not None for entry in entries.values())
    text = answer.content.decode()
    assert "Logged at 3 operations" in text
    # 18 turned, 10 parted, 4 lapped: eight stand at parting, six at lapping.
    assert "8 stand here" in text
    assert "6 stand here" in text
    assert Build.objects.get().events.filter(type="log").count() == 1


@time_machine.travel(EVENING)
def test_the_same_grid_sent_twice_is_logged_once(signed_in: Client, ring: dict[str, Any]) -> None:
    data = grid(**{at(ring["turning"]): {"good": "5", "scrap": "12"}})
    signed_in.post(ring["url"] + "log/", data)
    again = signed_in.post(ring["url"] + "log/", data, follow=True)
    assert Entry.objects.count() == 1
    assert "logged once" in again.content.decode()


@time_machine.travel(EVENING)
def test_pieces_counted_further_on_have_passed_what_comes_before(signed_in: Client, ring: dict[str, Any]) -> None:
    text = signed_in.post(ring["url"] + "log/", grid(**{at(ring["lapping"]): {"good": "7"}}), follow=True)
    page = text.content.decode()
    assert "7 passed, counted further on" in page
    assert "13 stand here" in page
    assert "What does not add up" not in page


@time_machine.travel(EVENING)
def test_a_hole_in_the_log_is_asked_about_and_not_refused(signed_in: Client, ring: dict[str, Any]) -> None:
    data = grid(**{at(ring["turning"]): {"good": "5"}, at(ring["parting"]): {"good": "9"}})
    asked = signed_in.post(ring["url"] + "log/", data)
    assert asked.status_code == 422
    assert Entry.objects.count() == 0
    page = asked.content.decode()
    assert questions(page) == [
        "9 pieces are counted at this operation, and 5 could have got there. A count may be missing further up."
    ]
    assert ON_TOP in page
    assert "It is right, log it" in page
    assert 'value="9"' in page
    answer = press_again(signed_in, ring["url"] + "log/", data, page, follow=True)
    assert [entry.remarks for entry in Entry.objects.order_by("operation__number")] == [
        [],
        ["9 pieces are counted at this operation, and 5 could have got there."],
    ]
    assert "9 pieces are counted at 20 parting, 4 more than the log lets reach it" in answer.content.decode()


@time_machine.travel(EVENING)
def test_more_good_than_blanks_is_asked_about(signed_in: Client, ring: dict[str, Any]) -> None:
    data = grid(**{at(ring["lapping"]): {"good": "21"}})
    page = signed_in.post(ring["url"] + "log/", data).content.decode()
    assert "That makes 21 pieces of a batch of 20 blanks." in questions(page)[0]
    answer = press_again(signed_in, ring["url"] + "log/", data, page, follow=True)
    assert Entry.objects.count() == 1
    assert "21 pieces came out of 20 blanks" in answer.content.decode()


@time_machine.travel(EVENING)
@pytest.mark.parametrize(
    ("cell", "sentence"),
    [
        ({"good": "3", "reworked": "4"}, "they cannot be more"),
        ({"scrap_reason": "lost"}, "give the number of pieces"),
        ({"good": "-1"}, "Give 0 or more"),
        ({"good": "3", "time": "elephant"}, "elephant"),
        ({"good": "3", "time": "to date 300 h"}, "not a running total"),
        ({"good": "3", "time": "40 h"}, "more than a day has"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field_and_nothing_is_logged(
    signed_in: Client, ring: dict[str, Any], cell: dict[str, str], sentence: str
) -> None:
    cells = {at(ring["turning"]): {"good": "2"}, at(ring["parting"]): cell}
    answer = signed_in.post(ring["url"] + "log/", grid(**cells))
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert 'value="2"' in answer.content.decode()
    assert Entry.objects.count() == 0


@time_machine.travel(EVENING)
def test_an_empty_grid_and_a_day_to_come_are_refused(signed_in: Client, ring: dict[str, Any]) -> None:
    assert "nothing to log yet" in signed_in.post(ring["url"] + "log/", grid()).content.decode()
    later = signed_in.post(ring["url"] + "log/", grid(on="2026-12-24", **{at(ring["turning"]): {"good": "2"}}))
    assert "That day has not come yet." in later.content.decode()
    assert Entry.objects.count() == 0


@time_machine.travel(EVENING)
def test_more_scrap_than_blanks_is_asked_about_and_not_refused(signed_in: Client, ring: dict[str, Any]) -> None:
    data = grid(**{at(ring["turning"]): {"good": "2"}, at(ring["parting"]): {"scrap": "21"}})
    asked = signed_in.post(ring["url"] + "log/", data)
    assert asked.status_code == 422
    assert "That makes 21 pieces of a batch of 20 blanks." in questions(asked.content.decode())[0]
    assert Entry.objects.count() == 0
    press_again(signed_in, ring["url"] + "log/", data, asked.content.decode())
    assert Entry.objects.get(scrap=21).scrap == 21


@time_machine.travel(EVENING)
def test_scrap_that_stands_in_the_log_already_does_not_stop_the_rest(signed_in: Client, ring: dict[str, Any]) -> None:
    factories.make_entry(
        ring["part"].build, part=ring["part"], operation=ring["turning"], batch=ring["batch"], scrap=25
    )
    data = grid(**{at(ring["parting"]): {"good": "2"}})
    asked = signed_in.post(ring["url"] + "log/", data).content.decode()
    assert len(questions(asked)) == 1
    assert press_again(signed_in, ring["url"] + "log/", data, asked).status_code == 302


@time_machine.travel(EVENING)
def test_what_was_logged_is_undone_as_one(signed_in: Client, ring: dict[str, Any]) -> None:
    cells = {at(ring["turning"]): {"good": "5"}, at(ring["parting"]): {"good": "4"}}
    signed_in.post(ring["url"] + "log/", grid(**cells))
    event = ring["part"].build.events.order_by("-pk").first()
    signed_in.post(f"/builds/{ring['part'].build.slug}/events/{event.pk}/undo/")
    assert not Entry.objects.kept().exists()


@time_machine.travel(EVENING)
def test_going_to_the_log_address_by_itself_leads_to_the_grid(signed_in: Client, ring: dict[str, Any]) -> None:
    assert signed_in.get(ring["url"] + "log/").headers["Location"] == ring["url"]


@time_machine.travel(EVENING)
def test_a_batch_of_another_build_is_not_there(signed_in: Client, make_build: Any, ring: dict[str, Any]) -> None:
    other = make_build("Other")
    assert signed_in.get(f"/builds/{other.slug}/batches/{ring['batch'].pk}/grid/").status_code == 404
    assert signed_in.post(f"/builds/{other.slug}/batches/{ring['batch'].pk}/grid/log/").status_code == 404


@time_machine.travel(EVENING)
def test_the_grid_asks_the_same_for_one_operation_and_batch_and_for_three(
    signed_in: Client, make_build: Any, make_part: Any, django_assert_max_num_queries: Any
) -> None:
    build = make_build()
    counts = []
    for number, more in enumerate((1, 3)):
        part = make_part(build, str(number), operations=ROUTE[:more])
        batches = [factories.make_batch(part, number=n + 1) for n in range(more)]
        for batch in batches:
            factories.make_entry(build, part=part, operation=part.operations.first(), batch=batch, good=2)
        url = f"/builds/{build.slug}/batches/{batches[0].pk}/grid/"
        signed_in.get(url)
        with django_assert_max_num_queries(16) as captured:
            assert signed_in.get(url).status_code == 200
        counts.append(len(captured.captured_queries))
    assert counts[0] == counts[1]


@time_machine.travel(EVENING)
def test_notes_and_names_of_the_log_stay_out_of_the_grid(signed_in: Client, ring: dict[str, Any]) -> None:
    factories.make_entry(
        ring["part"].build,
        part=ring["part"],
        operation=ring["turning"],
        batch=ring["batch"],
        good=2,
        builder=factories.make_builder("Ottoline"),
        note="told in confidence",
    )
    text = signed_in.get(ring["url"]).content.decode()
    assert "told in confidence" not in text
    assert "Ottoline" not in text
