"""Something else at the bench: found by what people know of it, or made right there."""

import re
from typing import Any

import pytest
import time_machine
from django.test import Client

from builds.models import Entry, Operation, Part
from tests import factories
from tests.pages.test_bench_page import EVENING, evening


@pytest.fixture
def large(make_build: Any, make_part: Any) -> dict[str, Any]:
    build = make_build()
    for number in range(20, 60):
        make_part(build, str(number), f"Stud {number}", operations=[{"kind": "turning"}, {"kind": "drilling"}])
    glass = make_part(
        build,
        "99",
        "Gauge glass",
        operations=[{"kind": "grinding"}],
        sheet=factories.make_sheet(build, "S7", title="Boiler fittings"),
        assembly=factories.make_assembly(build, "Backhead"),
    )
    return {"build": build, "glass": f"o{glass.operations.get().pk}", "url": f"/builds/{build.slug}/bench/"}


@time_machine.travel(EVENING)
@pytest.mark.parametrize("sought", ["gauge", "99", "s7", "boiler", "backhead", "gage glas", "guage", "grinding"])
def test_work_is_found_by_item_name_sheet_assembly_and_near_spelling(
    signed_in: Client, large: dict[str, Any], sought: str
) -> None:
    found = signed_in.get(large["url"] + "find/", {"form-0-find": sought}).content.decode()
    assert f'value="{large["glass"]}"' in found
    assert 'value="atidying"' in found


@time_machine.travel(EVENING)
def test_what_was_used_last_is_found_first(signed_in: Client, large: dict[str, Any]) -> None:
    used = Part.objects.get(number="57")
    factories.make_entry(large["build"], part=used, operation=used.operations.get(kind="drilling"))
    found = signed_in.get(large["url"] + "find/", {"form-0-find": "stud"}).content.decode()
    first = re.search(r'<optgroup label="([^"]+)"', found)
    assert first is not None
    assert first[1] == "57 Stud 57"


@time_machine.travel(EVENING)
def test_a_new_part_is_made_from_a_name_and_what_was_typed_stays(signed_in: Client, large: dict[str, Any]) -> None:
    typed = {"time": "2h30", "note": "a chip", "token": "t1", "new_part": "Whistle"}
    page = signed_in.post(large["url"] + "evening/", evening(typed, add="form-0")).content.decode()
    part = Part.objects.get(name="Whistle")
    assert re.search(rf'<option value="o{part.operations.get().pk}" selected', page)
    assert "a chip</textarea>" in page
    assert 'value="2h30"' in page
    assert not Entry.objects.exists()


@time_machine.travel(EVENING)
def test_a_new_operation_joins_the_part_that_was_chosen_with_the_kind_that_it_names(
    signed_in: Client, large: dict[str, Any]
) -> None:
    typed = {"other": large["glass"], "new_operation": "Lap the ends", "token": "t1"}
    signed_in.post(large["url"] + "evening/", evening(typed, add="form-0"))
    operation = Operation.objects.get(title="Lap the ends")
    assert (operation.part.name, operation.kind) == ("Gauge glass", "lapping")


@time_machine.travel(EVENING)
@pytest.mark.parametrize("add", ["form-0", "form-9", "x", ""])
def test_nothing_named_makes_nothing(signed_in: Client, large: dict[str, Any], add: str) -> None:
    before = Part.objects.count()
    page = signed_in.post(large["url"] + "evening/", evening({"token": "t1", "time": "2h"}, add=add))
    assert page.status_code == 200
    assert 'value="2h"' in page.content.decode()
    assert Part.objects.count() == before
