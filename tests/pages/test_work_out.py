"""An operation's time from the drawing: worked out, kept with what it stands on, and noticed when that changes."""

from typing import Any

import pytest
from django.test import Client

from builds.arithmetic.speeds_form import SpeedsForm
from builds.models import Operation
from builds.models.choices import Kind
from calcs.cutting.processes import PROCESS_OF_KIND, PROCESSES
from tests import factories

HX = {"HX-Request": "true", "HX-Target": "work-out"}


@pytest.fixture
def turning(db: None) -> Operation:
    lathe = factories.make_machine(speeds=[500, 1000, 2000])
    steel = factories.make_material("Mild steel, bright drawn", cutting_speed=160.0)
    build = factories.make_build(units="mm")
    part = factories.make_part(build, material=steel, operations=[{"kind": "turning", "machine": lathe}])
    return part.operations.get()


def url(operation: Operation) -> str:
    return f"/builds/{operation.part.build.slug}/operations/{operation.pk}/work-out/"


# L 100 mm, f 0.2 mm, 1000 rev/min: 0.5 min (common practice: travel ÷ rate of feed).
INPUTS = {"what": "turning", "unit": "mm", "diameter": "50 mm", "length": "100", "feed": "0.2"}
INPUTS |= {"material": "mild steel", "speed": "160 m/min", "spindle": "500, 1000, 2000", "passes": "1"}


def test_the_form_begins_with_the_shops_own_figures(signed_in: Client, turning: Operation) -> None:
    text = signed_in.get(url(turning)).content.decode()
    assert "160 m/min" in text
    assert "500, 1000, 2000" in text


def test_no_example_size_can_pass_for_the_drawings(signed_in: Client, turning: Operation) -> None:
    text = signed_in.get(url(turning)).content.decode()
    assert "answer__number" not in text
    assert "needed for the sum" not in text
    asked = signed_in.get(url(turning), {**INPUTS, "length": ""}).content.decode()
    assert "needed for the sum" in asked
    assert "answer__number" not in asked


def test_the_time_shows_with_its_working_and_the_usual_cautions(signed_in: Client, turning: Operation) -> None:
    text = signed_in.get(url(turning), INPUTS, headers=HX).content.decode()
    assert "<html" not in text
    assert "30 s" in text
    assert "how the working" in text
    assert "not a risk assessment" in text


def test_a_time_is_kept_with_inputs_figures_and_origin(signed_in: Client, turning: Operation) -> None:
    response = signed_in.post(url(turning), {**INPUTS, "seen": turning.version})
    assert response.status_code == 302
    turning.refresh_from_db()
    assert turning.minutes_per_unit == pytest.approx(0.5)
    assert turning.origin == "worked out"
    assert turning.worked["inputs"]["diameter"] == "50 mm"
    assert turning.worked["figures"]["cutting_speed"] == 160.0


def test_sizes_in_mixed_units_give_the_same_time(signed_in: Client, turning: Operation) -> None:
    inches = {**INPUTS, "unit": "in", "diameter": "50 mm", "length": "100 mm", "feed": "0.2 mm"}
    signed_in.post(url(turning), inches)
    turning.refresh_from_db()
    assert turning.minutes_per_unit == pytest.approx(0.5)


def test_when_a_figure_changes_the_part_says_so_and_offers_to_redo_it(signed_in: Client, turning: Operation) -> None:
    signed_in.post(url(turning), INPUTS)
    page = f"/builds/{turning.part.build.slug}/parts/{turning.part_id}/"
    assert "Worked out with other figures" not in signed_in.get(page).content.decode()
    material = turning.part.material
    assert material is not None
    material.cutting_speed = 80.0
    material.save()
    text = signed_in.get(page).content.decode()
    assert "at 160 m/min before" in text
    assert "at 80 m/min now" in text
    assert "Work it out again" in text
    assert "80 m/min" in signed_in.get(url(turning)).content.decode()


@pytest.mark.parametrize(
    "wrong",
    [
        {"diameter": "0 mm"},
        {"feed": "0"},
        {"length": "as drg"},
        {"speed": "12 mm"},
        {"total_depth": "40 mm", "depth_per_pass": "1 mm"},
        {"what": "sawing", "section": "10 mm", "rate": "0"},
        {"diameter": "x" * 5000},
    ],
)
def test_what_makes_no_sense_is_a_sentence_and_keeps_nothing(
    signed_in: Client, turning: Operation, wrong: dict[str, str]
) -> None:
    shown = signed_in.get(url(turning), {**INPUTS, **wrong})
    assert shown.status_code == 200
    assert "answer__number" not in shown.content.decode()
    signed_in.post(url(turning), {**INPUTS, **wrong})
    turning.refresh_from_db()
    assert (turning.minutes_per_unit, turning.worked) == (None, None)


def test_a_time_kept_over_somebody_elses_change_is_refused(signed_in: Client, turning: Operation) -> None:
    signed_in.post(url(turning), {**INPUTS, "seen": turning.version})
    late = signed_in.post(url(turning), {**INPUTS, "length": "200", "seen": turning.version})
    assert "Somebody else changed this" in late.content.decode()
    turning.refresh_from_db()
    assert turning.minutes_per_unit == pytest.approx(0.5)


def test_the_part_page_asks_the_same_for_one_operation_and_for_three(
    signed_in: Client, turning: Operation, django_assert_max_num_queries: Any
) -> None:
    page = f"/builds/{turning.part.build.slug}/parts/{turning.part_id}/"
    signed_in.post(url(turning), INPUTS)
    signed_in.get(page)
    with django_assert_max_num_queries(24) as one:
        signed_in.get(page)
    for kind in ("drilling", "milling"):
        factories.make_operation(turning.part, kind, machine=turning.machine, worked=turning.worked)
    signed_in.get(page)
    with django_assert_max_num_queries(24) as three:
        signed_in.get(page)
    assert len(one.captured_queries) == len(three.captured_queries)


def test_what_no_sum_tells_is_not_offered(signed_in: Client, turning: Operation) -> None:
    lapping = factories.make_operation(turning.part, "lapping")
    text = signed_in.get(f"/builds/{turning.part.build.slug}/parts/{turning.part_id}/").content.decode()
    assert url(turning) in text
    assert url(lapping) not in text


def test_every_process_has_its_question_and_a_kind_of_operation() -> None:
    assert list(SpeedsForm.kinds) == list(PROCESSES)
    assert PROCESS_OF_KIND.keys() <= set(Kind.values)
    assert PROCESS_OF_KIND[Kind.MILLING] == "edge-milling"


def test_a_sum_kept_under_a_process_opens_again_with_it(signed_in: Client, turning: Operation) -> None:
    inputs = {"what": "slot-milling", "unit": "mm", "cutter": "6", "teeth": "2", "feed_per_tooth": "0.05"}
    inputs |= {"length": "97", "depth": "3"}
    slot = factories.make_operation(turning.part, "milling", worked={"inputs": inputs})
    text = signed_in.get(url(slot)).content.decode()
    assert '<option value="slot-milling" selected>' in text
    assert "8488 rev/min" in text  # 6 mm at the 160 m/min of the shop's material


@pytest.mark.parametrize(
    ("name", "known"),
    [
        ("Mild steel EN3B", "mild steel"),
        ("mild steel", "mild steel"),
        ("Cast iron, grade 17", "cast iron"),
        ("Brass (hard)", "brass"),
        ("Aluminium", ""),
        ("Stainless 303", ""),
        ("Bronze bearing stick", ""),
        ("Leaded gunmetal, not brass", ""),
    ],
)
def test_a_material_that_the_tables_do_not_know_is_asked_for(
    signed_in: Client, turning: Operation, name: str, known: str
) -> None:
    turning.part.material.name = name  # type: ignore[union-attr]
    turning.part.material.save()  # type: ignore[union-attr]
    page = signed_in.get(url(turning)).content.decode()
    if known:
        assert f'<option value="{known}" selected>' in page
    else:
        assert '<option value="" selected>choose …</option>' in page
        assert f"The tables do not know “{name}”" in page
