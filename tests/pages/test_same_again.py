"""An evening logged once more: the form opens filled, and nothing is stored by that."""

import re
from typing import Any

import time_machine
from django.test import Client

from builds.models import Entry
from tests import factories
from tests.pages.test_bench_page import EVENING


@time_machine.travel(EVENING)
def test_same_again_opens_the_filled_form_for_today_and_stores_nothing(
    signed_in: Client, make_build: Any, make_part: Any
) -> None:
    build = make_build()
    part = make_part(build, quantity=40, operations=[{"kind": "turning"}, {"kind": "lapping"}])
    entry = factories.make_entry(
        build, minutes=150, part=part, operation=part.operations.get(number=10), good=3, note="of that day"
    )
    log = signed_in.get(f"/builds/{build.slug}/log/").content.decode()
    address = f"/builds/{build.slug}/bench/?again={entry.pk}"
    assert address in log
    page = signed_in.get(address).content.decode()
    assert re.search(rf'value="o{entry.operation_id}" checked', page)
    assert 'value="2 h 30 min"' in page
    assert re.search(r'name="form-0-good" value="3"', page)
    assert re.search(r'name="worked_on" value="2026-11-25"', page)
    assert "of that day" not in page.split("<aside", 1)[0]
    assert "Nothing is logged yet" in page
    assert Entry.objects.count() == 1


@time_machine.travel(EVENING)
def test_an_entry_of_another_build_or_of_none_fills_nothing(signed_in: Client, make_build: Any, make_part: Any) -> None:
    other = make_build("Other")
    entry = factories.make_entry(other, part=make_part(other), note="elsewhere")
    build = make_build()
    for again in (entry.pk, "0", "x", "9" * 30):
        page = signed_in.get(f"/builds/{build.slug}/bench/?again={again}")
        assert page.status_code == 200
        assert "Filled in as on" not in page.content.decode()
