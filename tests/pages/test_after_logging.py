"""What is said right after logging: date, hours, part, where the pieces stand, and the ways back."""

import re
from typing import Any

import time_machine
from django.test import Client

from builds.models import Entry
from tests.pages.test_bench_page import EVENING, evening


@time_machine.travel(EVENING)
def test_after_logging_date_hours_and_part_are_named_with_amend_and_undo(
    signed_in: Client, make_build: Any, make_part: Any
) -> None:
    build = make_build()
    part = make_part(build, quantity=12, spares=1, operations=[{"kind": "sawing"}, {"kind": "turning"}])
    url = f"/builds/{build.slug}/bench/"
    line = {"work": f"o{part.operations.get(number=10).pk}", "time": "1h10", "good": "13", "token": "t1"}
    page = signed_in.post(url + "evening/", evening(line), follow=True).content.decode()
    after = page.split("message--success message--blocks", 1)[1].split("</section>")[0]
    said = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", after))
    entry = Entry.objects.get()
    assert "25 Nov" in said
    assert "1 h 10 min" in said
    assert "14 Piston ring" in said
    assert "0 of 12 good" in said
    assert "13 wait for 20 turning." in said
    assert f"/log/{entry.pk}/amend/" in page
    undo = re.search(r'action="(/builds/[^"]+/events/\d+/undo/)"', page)
    assert undo is not None
    signed_in.post(undo[1])
    entry.refresh_from_db()
    assert entry.removed_at is not None


@time_machine.travel(EVENING)
def test_what_stands_in_the_address_shows_nothing_of_another_build(
    signed_in: Client, make_build: Any, make_part: Any, make_entry: Any
) -> None:
    other, build = make_build("Other"), make_build()
    entry = make_entry(other, part=make_part(other, name="Secret"))
    event = other.events.first()
    asked = f"?logged=1&entries={entry.pk},x,{'9' * 40}&event={event.pk}&parts={entry.part_id}"
    page = signed_in.get(f"/builds/{build.slug}/bench/{asked}")
    assert page.status_code == 200
    assert "Secret" not in page.content.decode()
    assert f"/events/{event.pk}/undo/" not in page.content.decode()
