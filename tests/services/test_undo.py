"""Taking events back: everything stands as it was before, or it is said why not."""

from datetime import date
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db import models

from builds.models import (
    Assembly,
    Batch,
    Build,
    Clock,
    Closure,
    Entry,
    Event,
    Milestone,
    Operation,
    Part,
    Remark,
    Sheet,
)
from builds.services.log import entries as log
from builds.services.log.entries import LogLine
from builds.services.plan import records as plan
from builds.services.undo import undo
from tests import factories

TODAY = factories.TODAY
DAY = date(2026, 3, 2)
# What rises with every change, and the moment of a removal.
NOT_COMPARED = {"version", "revision", "recorded_at", "removed_at"}


def newest(build: Build) -> Event:
    return Event.objects.filter(build=build).latest("pk")


def as_it_stands() -> dict[str, Any]:
    """Every record of the plan and the log, by value, with the sets of the milestones."""
    kinds: list[type[models.Model]] = [
        Build,
        Assembly,
        Sheet,
        Remark,
        Part,
        Operation,
        Batch,
        Closure,
        Entry,
        Milestone,
    ]
    there: dict[str, Any] = {}
    for kind in kinds:
        for record in kind._default_manager.all():
            if isinstance(record, Entry) and record.removed_at is not None:
                continue
            fields = {f.attname: getattr(record, f.attname) for f in kind._meta.concrete_fields}
            there[f"{kind.__name__} {record.pk}"] = {k: v for k, v in fields.items() if k not in NOT_COMPARED}
    for milestone in Milestone.objects.all():
        there[f"sets {milestone.pk}"] = (
            set(milestone.parts.values_list("pk", flat=True)),
            set(milestone.assemblies.values_list("pk", flat=True)),
            set(milestone.operations.values_list("pk", flat=True)),
        )
    return there


def whole_build() -> Build:
    """A build with one of everything, put straight into the tables, which is quicker than by the services."""
    build = factories.make_build(scale="1:6")
    assembly, spare = (Assembly.objects.create(build=build, name=name) for name in ("Cylinder", "Spare branch"))
    sheet = Sheet.objects.create(build=build, number="1")
    Remark.objects.create(sheet=sheet, drawing_says="6", we_made="6.2")
    ring = Part.objects.create(
        build=build, number="14", name="Piston ring", assembly=assembly, sheet=sheet, note="from the long bar"
    )
    for number, kind in enumerate(("sawing", "turning", "lapping"), start=1):
        Operation.objects.create(part=ring, number=10 * number, kind=kind, minutes_per_unit=2.0)
    Batch.objects.create(part=ring, number=1, blanks=10, started_on=DAY)
    column = Part.objects.create(build=build, number="15", name="Column", position=1)
    Operation.objects.create(part=column, number=10, kind="making")
    Closure.objects.create(build=build, from_on=DAY, to_on=DAY)
    milestone = Milestone.objects.create(build=build, name="First run")
    milestone.parts.set([ring])
    milestone.assemblies.set([assembly, spare])
    milestone.operations.set(Operation.objects.filter(kind="turning"))
    return build


def edited(record: Any, **fields: Any) -> None:
    for name, value in fields.items():
        setattr(record, name, value)
    plan.save(record=record, by=None)


def rename_build(build: Build) -> None:
    build.name, build.scale = "Launch engine", "1:8"
    plan.edit_build(build=build, by=None)


def amended(build: Build) -> None:
    entry = Entry.objects.get()
    log.amend_entry(entry=entry, line=LogLine(worked_on=DAY, activity="buying", bench_minutes=5), by=None, today=TODAY)


def recorded(build: Build, **fields: Any) -> Entry:
    return factories.make_entry(build, **{"activity": "tidying", **fields})


CHANGES: dict[str, Any] = {
    "an edited title block": rename_build,
    "an added assembly": lambda b: factories.make_assembly(b, "Piston"),
    "an added part": lambda b: plan.add_part(
        part=Part(build=b, number="99", name="Stud"), rough_minutes=5, by=None, today=TODAY
    ),
    "an added operation": lambda b: factories.make_operation(b.parts.first()),
    "an added sheet": lambda b: factories.make_sheet(b, "2"),
    "an added milestone": lambda b: plan.save_milestone(
        milestone=Milestone(build=b, name="On air"), parts=b.parts.all(), assemblies=[], by=None
    ),
    "an edited part": lambda b: edited(b.parts.first(), name="Ring", quantity=9, assembly=None),
    "an edited operation": lambda b: edited(Operation.objects.first(), minutes_per_unit=None, number=15),
    "an edited batch": lambda b: edited(Batch.objects.get(), blanks=99),
    "an edited remark": lambda b: edited(Remark.objects.get(), we_made="7"),
    "an edited closure": lambda b: edited(Closure.objects.get(), hours_per_week=2.5),
    "an edited milestone": lambda b: plan.save_milestone(
        milestone=Milestone.objects.get(), parts=[b.parts.last()], assemblies=[], by=None
    ),
    "a milestone of other operations": lambda b: plan.save_milestone(
        milestone=Milestone.objects.get(), parts=[], assemblies=[], operations=Operation.objects.all(), by=None
    ),
    "a milestone's own fields": lambda b: edited(Milestone.objects.get(), reached_on=DAY),
    "an operation moved earlier": lambda b: plan.move_operation(
        operation=Operation.objects.get(kind="turning"), earlier=True, by=None
    ),
    "an operation moved later": lambda b: plan.move_operation(
        operation=Operation.objects.get(kind="turning"), earlier=False, by=None
    ),
    "a removed part with its route, batch and milestone": lambda b: plan.remove(record=b.parts.first(), by=None),
    "a removed operation": lambda b: plan.remove(record=Operation.objects.get(kind="turning"), by=None),
    "a removed batch": lambda b: plan.remove(record=Batch.objects.get(), by=None),
    "a removed sheet with its remarks": lambda b: plan.remove(record=Sheet.objects.get(), by=None),
    "a removed assembly with its milestone": lambda b: plan.remove(
        record=Assembly.objects.get(name="Spare branch"), by=None
    ),
    "a removed milestone": lambda b: plan.remove(record=Milestone.objects.get(), by=None),
    "a removed closure": lambda b: plan.remove(record=Closure.objects.get(), by=None),
    "a recorded entry": lambda b: recorded(b, minutes=25),
    "a recorded entry with pieces": lambda b: recorded(
        b, activity="", operation=Operation.objects.get(kind="turning"), good=4, scrap=1
    ),
}


@pytest.mark.parametrize("what", CHANGES)
def test_undoing_brings_back_what_was_and_undoing_that_brings_back_the_change(db: None, what: str) -> None:
    build = whole_build()
    before = as_it_stands()
    CHANGES[what](build)
    after = as_it_stands()
    assert after != before

    undone = undo(event=newest(build), by=None)
    assert as_it_stands() == before
    undo(event=undone, by=None)
    assert as_it_stands() == after


@pytest.mark.parametrize("what", ["amended", "removed"])
def test_an_amendment_or_a_removal_of_an_entry_is_undone_and_done_again(db: None, what: str) -> None:
    build = whole_build()
    recorded(build)
    before = as_it_stands()
    if what == "amended":
        amended(build)
    else:
        log.remove_entry(entry=Entry.objects.get(), by=None)
    after = as_it_stands()
    assert after != before

    undone = undo(event=newest(build), by=None)
    assert as_it_stands() == before
    undo(event=undone, by=None)
    assert as_it_stands() == after


def test_an_undoing_is_an_event_of_its_own_at_a_revision_of_its_own(db: None) -> None:
    build, ada = whole_build(), factories.make_builder("Ada")
    rename_build(build)
    event, revision = newest(build), Build.objects.get().revision

    undone = undo(event=event, by=ada)

    assert (undone.undoes, undone.by, undone.type, str(undone)) == (event, ada, "undo", f"undid: {event}")
    assert undone.revision == Build.objects.get().revision == revision + 1


def test_an_entry_whose_recording_is_undone_stays_in_the_table(db: None) -> None:
    build = whole_build()
    entry = recorded(build)

    undo(event=newest(build), by=None)

    assert not Entry.objects.kept().exists()
    assert Entry.objects.get() == entry


def refused(event: Event, sentence: str) -> None:
    before, events = as_it_stands(), Event.objects.count()
    with pytest.raises(ValidationError, match=sentence):
        undo(event=event, by=None)
    assert as_it_stands() == before
    assert Event.objects.count() == events


def test_undoing_twice_is_refused(db: None) -> None:
    build = whole_build()
    rename_build(build)
    event = newest(build)
    undo(event=event, by=None)

    refused(event, "has been undone already")


def test_the_beginning_of_a_build_cannot_be_undone(db: None) -> None:
    refused(whole_build().events.get(revision=1), "cannot be undone")


def test_an_event_that_touched_nothing_kept_has_nothing_to_undo(db: None) -> None:
    build = whole_build()
    refused(
        Event.objects.create(build=build, revision=99, type="other", details={"note": "looked at it"}),
        "left nothing to undo",
    )


def test_a_later_change_to_the_same_record_stands_in_the_way(db: None) -> None:
    build = whole_build()
    edited(build.parts.first(), name="Ring")
    event = newest(build)
    edited(build.parts.first(), name="Compression ring")

    refused(event, "has been changed since")


def test_a_later_change_that_was_undone_itself_still_asks_for_care(db: None) -> None:
    """The record is not what the event left, even where it looks the same; the undoing has to be taken back first."""
    build = whole_build()
    entry = recorded(build)
    event = newest(build)
    log.remove_entry(entry=entry, by=None)
    undo(event=newest(build), by=None)

    refused(event, "has been changed since")


def test_what_the_log_leans_on_since_is_not_taken_back(db: None) -> None:
    build = whole_build()
    part = plan.add_part(part=Part(build=build, number="99", name="Stud"), rough_minutes=5, by=None, today=TODAY)
    event = newest(build)
    factories.make_entry(build, part=part)

    refused(event, "stands in the log")


def test_what_other_records_lean_on_since_is_not_taken_back(db: None) -> None:
    build = whole_build()
    assembly = factories.make_assembly(build, "Piston")
    event = newest(build)
    factories.make_part(build, number="99", assembly=assembly)

    refused(event, "something made since depends on it")


def test_what_a_clock_runs_on_is_not_taken_back(db: None) -> None:
    build = whole_build()
    part = plan.add_part(part=Part(build=build, number="99", name="Stud"), rough_minutes=5, by=None, today=TODAY)
    Clock.objects.create(
        builder=factories.make_builder("Ada"), build=build, part=part, started_at="2026-11-25T19:00:00Z"
    )

    refused(newest(build), "The clock of Ada is running on 99 Stud")


def test_a_number_that_was_given_again_since_stands_in_the_way(db: None) -> None:
    build = whole_build()
    plan.remove(record=Part.objects.get(number="15"), by=None)
    event = newest(build)
    factories.make_part(build, number="15", name="Crank")

    refused(event, "part of that item number already")


def test_an_operation_number_that_was_given_again_since_stands_in_the_way(db: None) -> None:
    build = whole_build()
    turning = Operation.objects.get(kind="turning")
    part = turning.part
    plan.remove(record=turning, by=None)
    event = newest(build)
    factories.make_operation(part, kind="milling", number=20)

    refused(event, "operation of that number already")


def test_a_part_whose_assembly_went_since_is_not_brought_back_without_it(db: None) -> None:
    build = whole_build()
    spare = Assembly.objects.get(name="Spare branch")
    column = Part.objects.get(number="15")
    edited(column, assembly=spare)
    plan.remove(record=column, by=None)
    event = newest(build)
    plan.remove(record=spare, by=None)

    refused(event, "The assembly of 15 Column is no longer there")


def test_a_milestones_sets_are_not_brought_back_without_their_parts(db: None) -> None:
    build = whole_build()
    column = Part.objects.get(number="15")
    milestone = Milestone.objects.get()
    plan.save_milestone(milestone=milestone, parts=[column], assemblies=[], by=None)
    plan.save_milestone(milestone=milestone, parts=[], assemblies=[], by=None)
    event = newest(build)
    plan.remove(record=column, by=None)

    refused(event, "no longer there")


def test_later_work_that_hangs_on_an_added_part_comes_back_with_it(db: None) -> None:
    build = whole_build()
    part = plan.add_part(part=Part(build=build, number="99", name="Stud"), rough_minutes=5, by=None, today=TODAY)
    event = newest(build)
    factories.make_operation(part, kind="milling")
    milestone = Milestone.objects.get()
    plan.save_milestone(milestone=milestone, parts=[part], assemblies=[], by=None)
    before = as_it_stands()

    undone = undo(event=event, by=None)
    assert not Part.objects.filter(number="99").exists()
    undo(event=undone, by=None)

    assert as_it_stands() == before
