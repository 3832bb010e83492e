"""The plan: what may be added, edited, moved and removed."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from builds.models import Assembly, Batch, Build, Clock, Closure, Event, Milestone, Operation, Part, Remark, Sheet
from builds.models.choices import Origin
from builds.services.log import entries as log
from builds.services.plan import records as plan
from tests import factories

TODAY = factories.TODAY


def numbers(part: Part) -> list[tuple[int, str]]:
    return list(part.operations.order_by("number").values_list("number", "kind"))


@pytest.mark.parametrize("name", ["???", "🚂", "…", "中文", "  "])
def test_a_name_without_letters_still_gets_an_address(db: None, name: str) -> None:
    assert plan.free_slug(name) == "build"


def test_builds_of_one_name_get_addresses_of_their_own(db: None) -> None:
    slugs = [factories.make_build("Beam engine").slug for _ in range(4)]

    assert slugs == ["beam-engine", "beam-engine-2", "beam-engine-3", "beam-engine-4"]


def test_an_address_that_only_begins_alike_is_not_taken(db: None) -> None:
    factories.make_build("Beam engine two")

    assert plan.free_slug("Beam engine") == "beam-engine"


def test_the_longest_name_gets_an_address_that_fits(db: None) -> None:
    first, second = (factories.make_build("Mill engine " * 10) for _ in range(2))

    assert first.slug != second.slug
    assert max(len(first.slug), len(second.slug)) <= 60


@pytest.mark.parametrize("name", ["", "x" * 121])
def test_a_build_without_a_fitting_name_is_refused_and_not_written(db: None, name: str) -> None:
    with pytest.raises(ValidationError) as refused:
        factories.make_build(name)

    assert "name" in refused.value.error_dict
    assert not Build.objects.exists()


def test_beginning_a_build_is_its_first_event_and_cannot_be_undone(db: None) -> None:
    ada = factories.make_builder()
    build = plan.add_build(build=Build(name="Beam engine"), by=ada)

    event = build.events.get()
    assert (build.revision, event.by, str(event), event.undoable) == (1, ada, "began the build Beam engine", False)


def test_an_assembly_cannot_stand_inside_itself_by_any_detour(db: None) -> None:
    build = factories.make_build()
    top = factories.make_assembly(build, "Engine")
    middle = factories.make_assembly(build, "Cylinder", parent=top)
    inner = factories.make_assembly(build, "Piston", parent=middle)

    for parent in (top, middle, inner):
        top.parent = parent
        with pytest.raises(ValidationError) as refused:
            plan.save(record=top, by=None)
        assert "inside itself" in refused.value.message_dict["parent"][0]

    assert Assembly.objects.get(pk=top.pk).parent is None


def test_what_a_record_points_at_must_belong_to_its_own_build(db: None) -> None:
    build, other = factories.make_build(), factories.make_build("Launch engine")
    assembly, sheet, part = (
        factories.make_assembly(other),
        factories.make_sheet(other),
        factories.make_part(other),
    )
    cases: list[tuple[Any, str]] = [
        (Assembly(build=build, name="Piston", parent=assembly), "parent"),
        (Part(build=build, number="1", name="Ring", assembly=assembly), "assembly"),
        (Part(build=build, number="1", name="Ring", sheet=sheet), "sheet"),
    ]
    for record, field in cases:
        with pytest.raises(ValidationError) as refused:
            plan.save(record=record, by=None)
        assert "another build" in refused.value.message_dict[field][0]
    operation = factories.make_operation(part)
    for field, needed in (
        ("parts", {"parts": [part]}),
        ("assemblies", {"assemblies": [assembly]}),
        ("operations", {"operations": [operation]}),
    ):
        with pytest.raises(ValidationError) as refused:
            plan.save_milestone(
                milestone=Milestone(build=build, name="First run"),
                **{"parts": [], "assemblies": [], **needed},  # type: ignore[arg-type]
                by=None,
            )
        assert "another build" in refused.value.message_dict[field][0]
    with pytest.raises(ValidationError, match="another build"):
        plan.add_part(
            part=Part(build=build, number="1", name="Ring", sheet=sheet), rough_minutes=None, by=None, today=TODAY
        )

    assert not build.parts.exists()
    assert not build.milestones.exists()
    assert build.revision == 1


@pytest.mark.parametrize("rough", [None, 0.0, 90.0])
def test_a_new_part_begins_with_one_operation_and_a_rough_figure_or_none(db: None, rough: float | None) -> None:
    build = factories.make_build()
    part = plan.add_part(
        part=Part(build=build, number="14", name="Piston ring"), rough_minutes=rough, by=None, today=TODAY
    )

    only = part.operations.get()
    assert (only.number, only.kind, only.origin, only.minutes_per_unit) == (10, "making", Origin.ROUGH, rough)
    assert str(build.events.first()) == "added part 14 Piston ring"
    assert build.revision == 2


def test_a_refused_part_leaves_no_operation_behind(db: None) -> None:
    build = factories.make_build()
    factories.make_part(build, number="14")

    with pytest.raises(ValidationError, match="item number already"):
        plan.add_part(part=Part(build=build, number="14", name="Other"), rough_minutes=5, by=None, today=TODAY)

    assert Operation.objects.count() == 1


def test_parts_stand_in_the_order_in_which_they_came(db: None) -> None:
    build = factories.make_build()
    for number in ("30", "10", "20"):
        factories.make_part(build, number=number)

    assert [part.number for part in build.parts.all()] == ["30", "10", "20"]


def test_what_is_added_in_the_first_weeks_of_the_log_is_the_plans_beginning(db: None) -> None:
    build = factories.make_build()
    factories.make_entry(build, activity="tidying", worked_on=TODAY - timedelta(days=59))
    part = plan.add_part(part=Part(build=build, number="1", name="Bed"), rough_minutes=60, by=None, today=TODAY)
    assert part.operations.get().added_on is None


def test_what_is_added_joins_the_plan_with_a_date_only_once_the_log_is_well_begun(db: None) -> None:
    build = factories.make_build()
    first = plan.add_part(part=Part(build=build, number="1", name="Bed"), rough_minutes=60, by=None, today=TODAY)
    assert first.operations.get().added_on is None

    factories.make_entry(build, part=first)
    second = plan.add_part(part=Part(build=build, number="2", name="Column"), rough_minutes=60, by=None, today=TODAY)
    later = plan.add_operation(operation=Operation(part=first, kind="filing"), by=None, today=TODAY)

    assert second.operations.get().added_on == TODAY
    assert later.added_on == TODAY


def test_an_operation_goes_ten_after_the_last_unless_it_has_a_number(db: None) -> None:
    part = factories.make_part(factories.make_build(), operations=[{"kind": "sawing"}])

    plan.add_operation(operation=Operation(part=part, kind="turning", number=15), by=None, today=TODAY)
    plan.add_operation(operation=Operation(part=part, kind="lapping"), by=None, today=TODAY)
    with pytest.raises(ValidationError, match="operation of that number already"):
        plan.add_operation(operation=Operation(part=part, kind="honing", number=15), by=None, today=TODAY)

    assert numbers(part) == [(10, "sawing"), (15, "turning"), (25, "lapping")]


def route(*kinds: str) -> Part:
    return factories.make_part(factories.make_build(), operations=[{"kind": kind} for kind in kinds])


def test_an_operation_changes_numbers_with_its_neighbour(db: None) -> None:
    part = route("sawing", "turning", "lapping")
    turning = part.operations.get(kind="turning")

    plan.move_operation(operation=turning, earlier=True, by=None)
    assert numbers(part) == [(10, "turning"), (20, "sawing"), (30, "lapping")]
    plan.move_operation(operation=turning, earlier=False, by=None)
    plan.move_operation(operation=turning, earlier=False, by=None)
    assert numbers(part) == [(10, "sawing"), (20, "lapping"), (30, "turning")]


def test_moving_past_an_end_of_the_route_changes_nothing_and_is_no_event(db: None) -> None:
    part = route("sawing", "turning")
    events = Event.objects.count()

    plan.move_operation(operation=part.operations.get(kind="sawing"), earlier=True, by=None)
    plan.move_operation(operation=part.operations.get(kind="turning"), earlier=False, by=None)

    assert numbers(part) == [(10, "sawing"), (20, "turning")]
    assert Event.objects.count() == events


@pytest.mark.parametrize("what", ["part", "operation", "batch"])
def test_what_stands_in_the_log_stays_in_the_plan(db: None, what: str) -> None:
    build = factories.make_build()
    part = factories.make_part(build)
    records = {"part": part, "operation": part.operations.get(), "batch": factories.make_batch(part)}
    entry = factories.make_entry(build, part=part, batch=records["batch"], good=1)
    before = Build.objects.get(pk=build.pk).revision

    with pytest.raises(ValidationError, match="stands in the log, so it stays"):
        plan.remove(record=records[what], by=None)
    assert Build.objects.get(pk=build.pk).revision == before

    log.remove_entry(entry=entry, by=None)
    with pytest.raises(ValidationError, match="stands in removed entries"):
        plan.remove(record=records[what], by=None)
    assert Part.objects.exists()
    assert Operation.objects.exists()
    assert Batch.objects.exists()


def test_an_assembly_that_holds_something_stays_and_says_how_many_lean_on_it(db: None) -> None:
    build = factories.make_build()
    assembly = factories.make_assembly(build)
    factories.make_part(build, number="1", assembly=assembly)
    with pytest.raises(ValidationError, match="used by 1 other record of this build"):
        plan.remove(record=assembly, by=None)
    factories.make_part(build, number="2", assembly=assembly)
    with pytest.raises(ValidationError, match="used by 2 other records"):
        plan.remove(record=assembly, by=None)

    assert Assembly.objects.exists()


@pytest.mark.parametrize("what", ["part", "operation"])
def test_what_a_clock_is_running_on_stays(db: None, what: str) -> None:
    """The clock would go with it, and with the clock somebody's evening."""
    part = factories.make_part(factories.make_build())
    operation = part.operations.get()
    Clock.objects.create(
        builder=factories.make_builder("Ada"),
        build=part.build,
        part=part,
        operation=operation,
        started_at="2026-11-25T19:00Z",
    )

    with pytest.raises(ValidationError, match="The clock of Ada is running on"):
        plan.remove(record=part if what == "part" else operation, by=None)

    assert Clock.objects.exists()
    assert Operation.objects.exists()


def test_a_batch_that_was_logged_does_not_go_over_to_another_part(db: None) -> None:
    build = factories.make_build()
    part, other = factories.make_part(build, number="1"), factories.make_part(build, number="2")
    batch = factories.make_batch(part)
    factories.make_entry(build, part=part, batch=batch)

    batch.part = other
    with pytest.raises(ValidationError) as refused:
        plan.save(record=batch, by=None)

    assert "with another part" in refused.value.message_dict["part"][0]
    assert Batch.objects.get().part == part


def test_batches_are_numbered_on_for_each_part(db: None) -> None:
    part = factories.make_part(factories.make_build())
    assert plan.next_batch_number(str(part.pk)) == 1
    factories.make_batch(part, number=4)

    assert plan.next_batch_number(str(part.pk)) == 5
    assert [plan.next_batch_number(text) for text in ("", "x", "-1", "9" * 30, "²")] == [1] * 5


def test_each_kind_of_record_knows_its_build_and_says_what_was_done(db: None) -> None:
    build = factories.make_build()
    part, sheet = factories.make_part(build), factories.make_sheet(build)
    records: list[Any] = [
        Remark(sheet=sheet, drawing_says="6 mm", we_made="6.2 mm"),
        Batch(part=part, number=1, blanks=3, started_on=TODAY),
        Closure(build=build, from_on=TODAY, to_on=TODAY, reason="holiday"),
        Milestone(build=build, name="First run"),
    ]
    for record in records:
        revision = Build.objects.get(pk=build.pk).revision
        plan.save(record=record, by=None)
        event = build.events.first()
        assert (event.revision, str(event)) == (revision + 1, f"added {record._meta.verbose_name} {record}")
        assert plan.build_of(record) == build


def test_a_title_block_that_is_edited_is_kept_with_what_it_was(db: None) -> None:
    build = factories.make_build(scale="1:6")
    build.scale = "1:8"
    plan.edit_build(build=build, by=None, seen=1)

    assert list(build.history.order_by("history_id").values_list("scale", flat=True)) == ["1:6", "1:8"]
    assert str(build.events.first()) == "edited the title block of the build"


def test_a_wish_before_the_start_is_refused_beside_no_half_written_build(db: None) -> None:
    build = factories.make_build()
    build.wished_finish_on = date(2025, 1, 1)
    with pytest.raises(ValidationError, match="lies before the start"):
        plan.edit_build(build=build, by=None)

    assert Build.objects.get(pk=build.pk).wished_finish_on is None
    assert build.revision == 1


def test_a_milestone_keeps_what_it_needs(db: None) -> None:
    build = factories.make_build()
    part, assembly = factories.make_part(build), factories.make_assembly(build)
    step = factories.make_operation(factories.make_part(build, number="2"))

    milestone = plan.save_milestone(
        milestone=Milestone(build=build, name="First run"),
        parts=[part],
        assemblies=[assembly],
        operations=[step],
        by=None,
    )

    assert (list(milestone.parts.all()), list(milestone.assemblies.all())) == ([part], [assembly])
    assert list(milestone.operations.all()) == [step]
    assert str(build.events.first()) == "added milestone First run"


def test_a_milestone_that_named_the_making_needs_the_whole_part_once_it_is_split(db: None) -> None:
    build = factories.make_build()
    part = plan.add_part(part=Part(build=build, number="9", name="Bed"), rough_minutes=60, by=None, today=TODAY)
    making = part.operations.get()
    milestone = Milestone(build=build, name="First run")
    plan.save_milestone(milestone=milestone, parts=[], assemblies=[], operations=[making], by=None)

    plan.add_operation(operation=Operation(part=part, kind="milling"), by=None, today=TODAY, instead_of=making)

    assert (list(milestone.parts.all()), list(milestone.operations.all())) == ([part], [])


def test_a_sheet_that_is_removed_leaves_its_parts(db: None) -> None:
    build = factories.make_build()
    sheet = factories.make_sheet(build)
    part = factories.make_part(build, sheet=sheet)

    plan.remove(record=Sheet.objects.get(), by=None)

    assert Part.objects.get(pk=part.pk).sheet is None
