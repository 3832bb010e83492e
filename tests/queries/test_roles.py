"""What a part is: details are counted, and work on an assembly has hours and no pieces."""

from datetime import date
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from builds.models import Batch, Build, Part
from builds.models.choices import Role
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.plan.build_page import build_page
from builds.queries.plan.role_counts import counts_of
from builds.queries.plan.role_offers import role_offers, suggested_role
from builds.queries.repeats.blanks import beliefs_of
from builds.queries.repeats.shop_counter import counter_page
from builds.queries.snapshot import read_snapshot
from builds.services.log.entries import LogLine, amend_entry, remove_entry
from builds.services.plan.records import remove, save
from builds.services.undo import undo
from tests import factories
from tests.factories import TODAY

FITTING = ({"kind": "fitting", "minutes_per_unit": 600.0}, {"kind": "finishing", "minutes_per_unit": 300.0})


@pytest.fixture
def build(db: None) -> Build:
    return factories.make_build()


def erection(build: Build, **fields: Any) -> Part:
    fields = {"role": Role.ASSEMBLY_WORK, "operations": FITTING, **fields}
    return factories.make_part(build, "90", "Erection", **fields)


def test_each_role_is_counted_apart(build: Build) -> None:
    for number, role in enumerate(("", Role.DETAIL, Role.BOUGHT, Role.JIG, Role.JIG, Role.ASSEMBLY_WORK)):
        factories.make_part(build, str(number), role=role, finished_on=TODAY if number in (1, 3) else None)

    counts = counts_of(read_snapshot(build, TODAY).parts)

    assert (counts.details.made, counts.details.of) == (1, 2)
    assert counts.words == "1 of 2 · 0 of 1 bought in · 1 of 2 jigs and tools · 0 of 1 jobs on assemblies"


def test_an_operation_of_work_is_done_by_one_word_however_often_it_is_said(build: Build) -> None:
    part = erection(build)
    first = part.operations.first()
    for _time in range(2):
        factories.make_entry(build, part=part, operation=first, good=1)

    line = read_snapshot(build, TODAY).by_part[part.pk]

    assert (line.count.passed, line.count.over, line.plan.operations[0].good) == ((1, 0), 0, 1)
    [planned] = build_page(build, TODAY).branches[0].parts
    assert planned.words == "1 of 2 done"


@pytest.mark.parametrize("counts", [{"good": 2}, {"scrap": 1}, {"good": 1, "reworked": 1}])
def test_no_pieces_are_counted_of_work(build: Build, counts: dict[str, int]) -> None:
    part = erection(build)
    with pytest.raises(ValidationError, match="it has no pieces to count"):
        factories.make_entry(build, part=part, operation=part.operations.first(), **counts)
    entry = factories.make_entry(build, part=part, operation=part.operations.first())
    line = {"worked_on": entry.worked_on, "part": part, "operation": entry.operation, "bench_minutes": 5, **counts}
    with pytest.raises(ValidationError, match="it has no pieces to count"):
        amend_entry(entry=entry, line=LogLine(**line), by=None, today=TODAY)


def test_work_starts_no_batch_not_by_an_undoing_either(build: Build) -> None:
    part = factories.make_part(build, "90", "Erection", operations=FITTING)
    batch = factories.make_batch(part, 1)
    remove(record=batch, by=None)
    removal = build.events.first()
    part.role = Role.ASSEMBLY_WORK
    save(record=part, by=None)

    with pytest.raises(ValidationError, match="it has no blanks"):
        factories.make_batch(part)
    assert removal is not None
    with pytest.raises(ValidationError, match="it has no blanks"):
        undo(event=removal, by=None)
    assert not Batch.objects.exists()


def test_what_has_pieces_in_the_log_does_not_become_work_not_even_when_they_were_removed(build: Build) -> None:
    part = factories.make_part(build, "90", "Erection", operations=FITTING)
    entry = factories.make_entry(build, part=part, operation=part.operations.first(), scrap=1, scrap_reason="dropped")
    remove_entry(entry=entry, by=None)
    part.role = Role.ASSEMBLY_WORK
    with pytest.raises(ValidationError, match="stand in the log"):
        save(record=part, by=None)


def test_work_is_not_needed_twice(build: Build) -> None:
    with pytest.raises(ValidationError, match="needed once, without spares"):
        erection(build, quantity=2)


def lossy(build: Build) -> None:
    """A shop that lost half of its fittings, so that a fitting to come is expected to lose."""
    part = factories.make_part(
        build, "1", "Link", quantity=40, operations=[{"kind": "fitting", "minutes_per_unit": 5.0}]
    )
    factories.make_entry(build, minutes=200, part=part, operation=part.operations.get(), good=20, scrap=20)
    part.finished_on = date(2026, 4, 1)
    save(record=part, by=None)


def test_work_is_never_made_again(build: Build) -> None:
    lossy(build)
    part = erection(build, role="")
    before = forecast_of(build, TODAY).forecast
    part.role = Role.ASSEMBLY_WORK
    save(record=part, by=None)
    after = forecast_of(Build.objects.get(pk=build.pk), TODAY).forecast

    assert before.chain.remakes > 1
    assert after.chain.remakes == 0
    assert before.hours_left is not None
    assert after.hours_left is not None
    assert after.hours_left.mean < before.hours_left.mean


def test_where_a_slip_costs_time_the_piece_is_not_made_again_and_the_yield_is_sure(build: Build) -> None:
    lossy(build)
    part = factories.make_part(build, "2", "Block", operations=[{"kind": "fitting", "minutes_per_unit": 600.0}])
    assert forecast_of(build, TODAY).forecast.chain.remakes > 1
    operation = part.operations.get()
    operation.slip_costs_time = True
    save(record=operation, by=None)

    now = forecast_of(Build.objects.get(pk=build.pk), TODAY)

    assert now.forecast.chain.remakes == 0
    [belief] = beliefs_of(now.snapshot, now.snapshot.by_part[part.pk])
    assert (belief.mean, belief.interval()) == (1.0, (1.0, 1.0))


def test_a_jig_has_hours_left_and_is_no_part_of_the_price(build: Build) -> None:
    jig = factories.make_part(build, "90", "Drilling jig", role=Role.JIG)
    factories.make_part(build, "1", "Ring")

    assert jig.pk in {part.key for part in forecast_of(build, TODAY).forecast.parts}
    assert [part.line.part.number for part in counter_page(build, TODAY).parts] == ["1"]


def named(build: Build, name: str, assembly: str = "", **fields: Any) -> Part:
    within = factories.make_assembly(build, assembly) if assembly else None
    return Part(build=build, number="1", name=name, assembly=within, **fields)


@pytest.mark.parametrize(
    ("name", "role"),
    [
        ("Erection and trial running", Role.ASSEMBLY_WORK),
        ("Final assembly", Role.ASSEMBLY_WORK),
        ("Painting and lining", Role.ASSEMBLY_WORK),
        ("Crank web jig", Role.JIG),
        ("Split mandrel", Role.JIG),
        ("Plug gauge, 1 in", Role.JIG),
        ("Pressure gauge", None),
        ("Piston ring", None),
        ("Trialling link", None),
    ],
)
def test_a_name_suggests_a_role(build: Build, name: str, role: Role | None) -> None:
    assert suggested_role(named(build, name)) == role


def test_an_assembly_suggests_a_role_by_its_first_word(build: Build) -> None:
    assert suggested_role(named(build, "Split bush", "Jigs and fixtures")) == Role.JIG
    assert suggested_role(named(build, "Lagging", "Stand and erection")) is None


def test_what_is_needed_often_is_not_offered_as_work(build: Build) -> None:
    assert suggested_role(named(build, "Painting pin", quantity=4)) is None
    [offer] = role_offers([named(build, "Casting pattern", quantity=4)])
    assert offer.others == (Role.DETAIL, Role.BOUGHT)


def test_an_offer_is_settled_by_any_choice(build: Build) -> None:
    part = factories.make_part(build, "1", "Mandrel")
    assert [offer.part for offer in build_page(build, TODAY).offers] == [part]
    part.role = Role.DETAIL
    save(record=part, by=None)
    assert build_page(build, TODAY).offers == ()


def test_a_part_finished_by_hand_shows_its_pieces_once(build: Build) -> None:
    part = factories.make_part(build, quantity=2, operations=FITTING, finished_on=TODAY)
    factories.make_batch(part, 2)
    factories.make_entry(build, part=part, operation=part.operations.first(), good=2)

    count = read_snapshot(build, TODAY).by_part[part.pk].count

    assert (count.uncounted, count.in_work, count.to_make, count.blanks_waiting) == (2, 0, 0, 0)
