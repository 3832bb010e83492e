"""The list of parts: which are shown, in which order, and what their places are."""

from datetime import date
from typing import Any

import pytest

from builds.models import Build, Part
from builds.queries.plan.parts_list import SORTS, STATES, PartsAsked, PartsList, parts_list
from builds.services.plan.working_order import set_working_order
from tests import factories
from tests.factories import TODAY

TURNING = {"kind": "turning", "minutes_per_unit": 30.0}
MILLING = {"kind": "milling", "minutes_per_unit": 90.0}


@pytest.fixture
def build(db: None) -> Build:
    """Part 2 is in work, 10 waits, 9 is finished, 1 has a spare to go, B is on its way by post, A10 is not begun."""
    build = factories.make_build()
    engine = factories.make_assembly(build, "Engine")
    cylinder = factories.make_assembly(build, "Cylinder", parent=engine)
    lathe, mill = factories.make_machine(), factories.make_machine("Mill")
    iron, brass = factories.make_material(), factories.make_material("Brass")
    routes = [{**TURNING, "machine": lathe}, {**MILLING, "machine": mill}]
    two = factories.make_part(build, "2", "Piston", operations=routes, assembly=cylinder, material=iron)
    factories.make_entry(build, part=two, operation=two.operations.first(), good=1)
    factories.make_part(
        build, "10", "Gland", operations=routes, assembly=engine, material=brass, waiting_for="post",
        waiting_since_on=date(2026, 3, 1),
    )  # fmt: skip
    factories.make_part(build, "9", "Bed", operations=routes[:1], finished_on=date(2026, 3, 1), material=iron)
    one = factories.make_part(build, "1", "Stud", operations=(TURNING,), spares=1)
    factories.make_entry(build, part=one, operation=one.operations.get(), good=1)
    factories.make_part(build, "B", "bolt", operations=(), role="bought")
    factories.make_part(build, "A10", "Arm", operations=routes[1:])
    return build


def listed(build: Build, **asked: Any) -> str:
    build.refresh_from_db()
    return " ".join(part.line.part.number for part in parts_list(build, TODAY, PartsAsked(**asked)).rows)


def put(build: Build, *numbers: str) -> None:
    keys = dict(build.parts.values_list("number", "pk"))
    set_working_order(build=build, keys=[keys[number] for number in numbers], by=None)


@pytest.mark.parametrize(
    ("state", "numbers"),
    [
        ("", "10 2 1 B A10"),
        ("all", "10 2 9 1 B A10"),
        ("in work", "2 1"),
        ("not begun", "10 B A10"),
        ("waiting", "10"),
        ("finished", "9"),
    ],
)
def test_a_state_is_what_is_shown(build: Build, state: str, numbers: str) -> None:
    assert listed(build, state=state) == numbers


def test_every_state_and_order_that_the_form_offers_is_known(build: Build) -> None:
    from builds.forms.parts_list import PartsListForm

    form = PartsListForm(build=build)
    assert [value for value, _label in form.fields["state"].choices] == list(STATES)
    assert [value for value, _label in form.fields["sort"].choices] == list(SORTS)


def test_of_a_finished_build_nothing_is_open(build: Build) -> None:
    Build.objects.update(state="finished", finished_on=date(2026, 11, 1))
    assert listed(build, state="") == ""
    assert listed(build, state="finished") == "10 2 9 1 B A10"


def test_an_assembly_holds_what_nests_in_it(build: Build) -> None:
    by_name = {one.name: one for one in build.assemblies.all()}
    assert listed(build, assembly=by_name["Engine"]) == "10 2"
    assert listed(build, assembly=by_name["Cylinder"]) == "2"


def test_a_machine_is_asked_for_what_is_still_to_do_on_it(build: Build) -> None:
    two = build.parts.get(number="2")
    lathe, mill = (step.machine for step in two.operations.order_by("number"))
    assert listed(build, machine=lathe, state="all") == "10 9"  # of part 2 the piece is turned already
    assert listed(build, machine=mill) == "10 2 A10"


def test_a_material_is_that_of_the_part(build: Build) -> None:
    assert listed(build, material=build.parts.get(number="10").material) == "10"


@pytest.mark.parametrize(
    ("sort", "numbers"),
    [
        ("plan", "10 2 9 1 B A10"),
        ("item", "1 2 9 10 A10 B"),
        ("name", "A10 9 B 10 2 1"),
        ("material", "10 2 9 1 B A10"),
        ("left", "10 2 A10 1 9 B"),
    ],
)
def test_parts_are_sorted_as_people_count(build: Build, sort: str, numbers: str) -> None:
    assert listed(build, sort=sort, state="all") == numbers


def test_the_working_order_counts_the_open_parts_that_have_a_place(build: Build) -> None:
    put(build, "A10", "9", "1")
    page: PartsList = parts_list(build, TODAY, PartsAsked())
    assert [(part.line.part.number, part.place) for part in page.rows[:3]] == [("A10", 1), ("1", 2), ("10", None)]
    assert [part.line.part.number for part in page.order] == ["A10", "1"]
    assert listed(build, state="in work") == "1 2"


@pytest.mark.parametrize("parts", [2, 12])
def test_the_list_takes_as_many_queries_whatever_it_holds(db: None, django_assert_num_queries: Any, parts: int) -> None:
    build = factories.make_build()
    for number in range(parts):
        factories.make_part(build, str(number), material=factories.make_material(f"Iron {number}"))
    put(build, "1", "0")
    with django_assert_num_queries(8):
        page = parts_list(Build.objects.get(), TODAY, PartsAsked(sort="material"))
        assert [(str(part.line.part.material), part.words, part.place) for part in page.rows]


def test_a_copy_is_no_part_of_the_working_order(build: Build) -> None:
    from builds.services.plan.copying import copy_part

    put(build, "2")
    copy, _event = copy_part(part=Part.objects.get(number="2"), number="2B", name="Piston", by=None, today=TODAY)
    assert copy.place is None
