"""What is offered for an evening: nothing that cannot be begun, and in the order of what it brings."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from builds.models import Build, Milestone, Part
from builds.models.choices import Role
from builds.queries.forecast.set_ups import STANDS_FOR
from builds.queries.forecast.tonight import EveningOffer, Tonight, tonight
from builds.services.plan import records as plan
from builds.services.plan.working_order import set_working_order
from builds.services.shop import items as shop
from tests import factories
from tests.factories import TODAY, make_entry, make_machine, make_need, make_part

TURNED = {"kind": "turning", "setup_minutes": 10.0, "minutes_per_unit": 10.0}
DRILLED = {"kind": "drilling", "setup_minutes": 5.0, "minutes_per_unit": 5.0}
YESTERDAY = TODAY - timedelta(days=1)


@pytest.fixture
def build(db: None) -> Any:
    return factories.make_build()


def asked(build: Build, minutes: float = 180, as_of: date = TODAY) -> Tonight:
    return tonight(Build.objects.get(pk=build.pk), as_of, minutes)


def offered(build: Build, minutes: float = 180) -> dict[tuple[str, int], EveningOffer]:
    found = asked(build, minutes).offers
    return {(one.operation.part.number, one.operation.number): one for one in found}


def make_milestone(build: Build, name: str, position: int, *parts: Part) -> None:
    milestone = Milestone(build=build, name=name, position=position)
    plan.save_milestone(milestone=milestone, parts=parts, assemblies=[], by=None)


def test_an_operation_is_offered_once_pieces_are_through_the_one_before_it(build: Any) -> None:
    part = make_part(build, "1", quantity=4, operations=(TURNED, DRILLED))
    assert {place: one.pieces for place, one in offered(build).items()} == {("1", 10): 4}

    make_entry(build, YESTERDAY, part=part, operation=part.operations.first(), good=3)
    assert {place: one.pieces for place, one in offered(build).items()} == {("1", 10): 1, ("1", 20): 3}


@pytest.mark.parametrize(
    ("facts", "hold"),
    [
        ({"waiting_for": "post", "waiting_since_on": YESTERDAY}, "waiting"),
        ({"role": Role.BOUGHT}, "bought"),
    ],
)
def test_a_part_that_waits_or_is_bought_is_not_offered(build: Any, facts: dict[str, Any], hold: str) -> None:
    make_part(build, "1", operations=(TURNED,), **facts)
    found = asked(build)
    assert found.offers == ()
    assert found.held == {hold: 1}


def test_jigs_and_work_on_an_assembly_are_offered_as_they_have_routes(build: Any) -> None:
    make_part(build, "1", role=Role.JIG, operations=(TURNED,))
    make_part(build, "2", role=Role.ASSEMBLY_WORK, operations=(TURNED,))
    assert offered(build).keys() == {("1", 10), ("2", 10)}


def test_what_needs_others_first_waits_until_they_are_done(build: Any) -> None:
    jig = make_part(build, "1", role=Role.JIG, operations=(TURNED,))
    bored = make_part(build, "2", operations=(TURNED,))
    make_need(bored, jig)
    found = offered(build)
    assert found.keys() == {("1", 10)}
    assert "others_need_it" in found["1", 10].why
    assert asked(build).held == {"needs": 1}

    make_entry(build, YESTERDAY, part=jig, operation=jig.operations.get(), good=1)
    assert offered(build).keys() == {("2", 10)}


def test_a_machine_out_of_order_offers_nothing_until_it_runs_again(build: Any) -> None:
    lathe = make_machine(out_of_order_since_on=YESTERDAY)
    make_part(build, "1", operations=({**TURNED, "machine": lathe}, DRILLED))
    assert asked(build).held == {"machine": 1}
    assert asked(build, as_of=YESTERDAY - timedelta(days=1)).held == {}

    lathe.out_of_order_since_on = None
    shop.keep(item=lathe)
    assert offered(build).keys() == {("1", 10)}


def test_without_material_in_the_rack_only_what_was_cut_goes_on(build: Any) -> None:
    bronze = factories.make_material("Bronze")
    part = make_part(build, "1", quantity=5, material=bronze, blank="20 mm round x 30", operations=(TURNED, DRILLED))
    assert offered(build)["1", 10].pieces == 5

    factories.make_stock(bronze, "20 mm round", "500 mm", pieces=0)
    assert asked(build).held == {"material": 1}

    factories.make_batch(part, blanks=2)
    assert offered(build)["1", 10].pieces == 2


def test_finished_builds_offer_nothing(build: Any) -> None:
    make_part(build, "1", operations=(TURNED,))
    build.state, build.finished_on = "finished", YESTERDAY
    plan.edit_build(build=build, by=None)
    assert asked(build).offers == ()


def test_a_set_up_stands_until_something_else_is_done_on_the_machine(build: Any) -> None:
    lathe = make_machine()
    route = ({**TURNED, "setup_minutes": 60.0, "machine": lathe},)
    first, second = (make_part(build, str(n), quantity=n, operations=route) for n in (7, 6))
    make_entry(build, YESTERDAY, part=first, operation=first.operations.get(), good=1)
    stands, fresh = offered(build, 1000)["7", 10], offered(build, 1000)["6", 10]
    assert stands.pieces == fresh.pieces == 6
    assert {"set_up_stands", "logged_last"} <= set(stands.why)
    assert fresh.why == ()
    assert stands.fit is not None
    assert fresh.fit is not None
    assert stands.fit.p50 < fresh.fit.p50 - 40

    make_entry(build, TODAY, part=second, operation=second.operations.get(), good=1)
    found = offered(build)
    assert not {"set_up_stands", "logged_last"} & set(found["7", 10].why)
    assert "set_up_stands" in found["6", 10].why


def test_another_build_of_the_shop_leaves_the_machine_otherwise(build: Any) -> None:
    lathe, other = make_machine(), factories.make_build("Launch")
    part, theirs = (
        make_part(one, "1", quantity=6, operations=({**TURNED, "machine": lathe},)) for one in (build, other)
    )
    make_entry(build, YESTERDAY, part=part, operation=part.operations.get(), good=1)
    make_entry(other, TODAY, part=theirs, operation=theirs.operations.get(), good=1)
    assert offered(build)["1", 10].why == ("logged_last",)


def test_a_set_up_is_not_taken_to_stand_for_ever(build: Any) -> None:
    part = make_part(build, "1", quantity=6, operations=({**TURNED, "machine": make_machine()},))
    make_entry(build, TODAY - STANDS_FOR - timedelta(days=1), part=part, operation=part.operations.get(), good=1)
    assert offered(build)["1", 10].why == ()


def test_the_same_fixture_is_seen_on_the_machine(build: Any) -> None:
    lathe, jig = make_machine(), make_part(build, "9", role=Role.JIG, operations=(TURNED,))
    first, second = (make_part(build, n, quantity=6, operations=({**TURNED, "machine": lathe},)) for n in ("1", "2"))
    for one in (first, second):
        make_need(one, jig)
    make_entry(build, YESTERDAY, part=jig, operation=jig.operations.get(), good=1)
    make_entry(build, TODAY, part=first, operation=first.operations.get(), good=1)
    assert "same_fixture" in offered(build)["2", 10].why


def test_what_brings_the_next_milestone_nearer_comes_first_and_the_most_of_it(build: Any) -> None:
    none, later, short, long = (
        make_part(build, n, operations=({**TURNED, "minutes_per_unit": minutes},))
        for n, minutes in (("1", 60.0), ("2", 60.0), ("3", 5.0), ("4", 60.0))
    )
    make_milestone(build, "First turn", 1, short, long)
    make_milestone(build, "First steam", 2, later)
    found = asked(build, 480)
    assert [one.operation.part for one in found.fitting] == [long, short, later, none]
    assert [one.milestone for one in found.fitting] == ["First turn", "First turn", "First steam", ""]
    assert found.next_milestone == "First turn"


def test_what_is_alike_stands_in_the_working_order(build: Any) -> None:
    first, second = (make_part(build, n, operations=(TURNED,)) for n in ("1", "2"))
    assert [one.operation.part for one in asked(build).offers] == [first, second]
    set_working_order(build=build, keys=[second.pk, first.pk], by=None)
    assert [one.operation.part for one in asked(build).offers] == [second, first]


def test_a_jig_that_a_milestone_waits_for_is_on_the_way_to_it(build: Any) -> None:
    jig, bored = make_part(build, "1", role=Role.JIG, operations=(TURNED,)), make_part(build, "2", operations=(TURNED,))
    make_need(bored, jig)
    make_milestone(build, "First turn", 1, bored)
    assert "toward_milestone" in offered(build)["1", 10].why


def test_a_milestone_with_nothing_left_is_not_the_next_one(build: Any) -> None:
    done, ahead = (make_part(build, n, operations=(TURNED,)) for n in ("1", "2"))
    make_milestone(build, "First turn", 1, done)
    make_milestone(build, "First steam", 2, ahead)
    make_entry(build, YESTERDAY, part=done, operation=done.operations.get(), good=1)
    assert asked(build).next_milestone == "First steam"
    assert "toward_milestone" in offered(build)["2", 10].why


def test_what_is_through_for_sure_in_half_an_hour_is_a_small_one(build: Any) -> None:
    make_part(build, "1", operations=({**TURNED, "setup_minutes": 0.0, "minutes_per_unit": 4.0},))
    make_part(build, "2", operations=({**TURNED, "minutes_per_unit": 90.0},))
    found = offered(build, 30)
    assert "short_filler" in found["1", 10].why
    assert "short_filler" not in found["2", 10].why
    assert [one.operation.part.number for one in asked(build, 30).longer] == ["2"]


def test_where_no_time_is_planned_nobody_says_what_fits(build: Any) -> None:
    make_part(build, "1", operations=({"kind": "turning"},))
    assert [one.fit for one in asked(build).untimed] == [None]


def test_queries_do_not_grow_with_the_build_and_few_are_left_once_the_times_are_kept(build: Any) -> None:
    for n in range(3):
        make_part(build, str(n), operations=(TURNED, DRILLED))
    assert len(asked(build).offers) == 3
    kept = Build.objects.get(pk=build.pk)
    with CaptureQueriesContext(
        connection,
    ) as few:
        tonight(kept, TODAY, 90)
    for n in range(3, 12):
        make_part(build, str(n), operations=(TURNED, DRILLED))
    with CaptureQueriesContext(connection) as cold:
        assert len(asked(build).offers) == 12
    with CaptureQueriesContext(connection) as warm:
        asked(build, 60)
    assert len(few) == len(warm) - 1 == 4
    assert len(cold) <= 18
