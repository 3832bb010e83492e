"""All builds, one build as a tree, one part with its route."""

from datetime import date, timedelta
from typing import Any

import pytest

from builds.models import Build, Entry, Part
from builds.queries.log.events import events_page
from builds.queries.plan.build_page import build_page, part_page
from builds.queries.plan.builds_list import builds_list
from builds.queries.plan.titleblock import title_block
from builds.services.log import entries as log
from builds.services.plan import records as plan
from builds.services.undo import undo
from tests import factories

TODAY = factories.TODAY
DAY = date(2026, 3, 2)


@pytest.mark.parametrize("size", [1, 3])
def test_the_list_of_builds_takes_six_queries(db: None, django_assert_num_queries: Any, size: int) -> None:
    for n in range(size):
        build = factories.make_build(f"Engine {n}")
        for _ in range(size):
            factories.make_entry(build, part=build.parts.first() or factories.make_part(build))

    with django_assert_num_queries(6):
        assert len(builds_list(TODAY)) == size


@pytest.mark.parametrize("size", [1, 3])
def test_a_list_read_before_takes_one_query_and_sums_anew_what_was_changed(
    db: None, django_assert_num_queries: Any, size: int
) -> None:
    builds = [factories.make_build(f"Engine {n}") for n in range(size)]
    builds_list(TODAY)

    with django_assert_num_queries(1):
        assert [line.minutes for line in builds_list(TODAY)] == [0] * size

    entry = factories.make_entry(builds[0], DAY, 40, activity="tidying")
    # Without parts there is no total to ask for.
    with django_assert_num_queries(5):
        assert [line.minutes for line in builds_list(TODAY)] == [40] + [0] * (size - 1)
    log.remove_entry(entry=entry, by=None)
    assert [line.minutes for line in builds_list(TODAY)] == [0] * size
    builds[0].refresh_from_db()
    factories.make_part(builds[0])
    assert {line.build.name: line.parts for line in builds_list(TODAY)}["Engine 0"] == 1


def test_the_build_worked_on_last_comes_first_and_others_go_by_name(db: None) -> None:
    for name in ("Delta", "Alpha", "Charlie", "Bravo"):
        factories.make_build(name)
    factories.make_entry(Build.objects.get(name="Charlie"), DAY, activity="tidying")
    factories.make_entry(Build.objects.get(name="Delta"), DAY + timedelta(days=1), activity="tidying")

    assert [line.build.name for line in builds_list(TODAY)] == ["Delta", "Charlie", "Alpha", "Bravo"]


def test_a_builds_line_sums_what_its_headline_counts(db: None) -> None:
    build, other = factories.make_build(activities_counted=["tidying"]), factories.make_build("Launch engine")
    part = factories.make_part(build)
    factories.make_part(build, number="15", operations=[])
    factories.make_entry(build, DAY, 60, part=part)
    factories.make_entry(build, DAY, 30, activity="tidying")
    factories.make_entry(build, DAY + timedelta(days=2), 500, activity="buying")
    factories.make_entry(build, DAY, None, part=part)
    log.remove_entry(entry=factories.make_entry(build, DAY + timedelta(days=9), 99, part=part), by=None)
    factories.make_entry(other, DAY, 7, activity="other")

    lines = {line.build.name: line for line in builds_list(TODAY)}

    first = lines["Beam engine"]
    assert (first.parts, first.minutes, first.entries, first.last_on) == (2, 90, 4, DAY + timedelta(days=2))
    assert (lines["Launch engine"].minutes, lines["Launch engine"].parts) == (7, 0)


def test_a_build_without_a_log_has_no_last_day(db: None) -> None:
    factories.make_build()
    (line,) = builds_list(TODAY)

    assert (line.last_on, line.minutes, line.entries, line.parts) == (None, 0, 0, 0)


def test_a_builds_line_counts_the_details_that_are_made_and_tells_the_forecast_that_is_kept(db: None) -> None:
    build = factories.make_build()
    first = factories.make_part(build, "1", quantity=2)
    factories.make_part(build, "2", quantity=2)
    factories.make_part(build, "3", role="jig")
    factories.make_entry(build, DAY, 60, part=first, operation=first.operations.get(), good=2)
    (line,) = builds_list(TODAY)
    assert (line.made, line.parts) == (1, 2)
    assert (line.hours_left, line.even_chance, line.forecast) == ("", "", None)

    page = build_page(Build.objects.get(), TODAY)
    told = {cell["label"]: cell["value"] for cell in title_block(page.build_forecast)}
    (line,) = builds_list(TODAY)
    assert line.hours_left
    assert told["Hours left"].startswith(line.hours_left)
    assert told["Even chance"] == line.even_chance
    assert told["Parts finished"] == f"{line.made} of {line.parts}"


def tree_build(size: int = 1) -> Build:
    build = factories.make_build()
    for n in range(size):
        top = factories.make_assembly(build, f"Engine {n}")
        inner = factories.make_assembly(build, f"Cylinder {n}", parent=top)
        for where, assembly in (("t", top), ("i", inner), ("l", None)):
            part = factories.make_part(build, number=f"{where}{n}", assembly=assembly, quantity=2)
            factories.make_entry(build, part=part, minutes=30, good=1)
    return build


@pytest.mark.parametrize("size", [1, 3])
def test_a_builds_page_takes_ten_queries_and_a_parts_page_eleven(
    db: None, django_assert_num_queries: Any, size: int
) -> None:
    build = tree_build(size)
    factories.make_sheet(build)
    milestone = plan.save_milestone(
        milestone=build.milestones.model(build=build, name="First run"), parts=build.parts.all(), assemblies=[], by=None
    )
    assert milestone.pk
    build = Build.objects.get(pk=build.pk)
    part = Part.objects.select_related("build").get(build=build, number="i0")

    with django_assert_num_queries(10):
        assert build_page(build, TODAY).branches
    # The assembly stands in another.
    with django_assert_num_queries(11):
        assert [one.name for one in part_page(part, TODAY).within] == ["Engine 0", "Cylinder 0"]


def test_parts_stand_under_their_assemblies_and_the_loose_ones_come_last(db: None) -> None:
    page = build_page(tree_build(), TODAY)

    top, loose = page.branches
    assert [part.line.part.number for part in top.parts] == ["t0"]
    assert [part.line.part.number for part in top.branches[0].parts] == ["i0"]
    assert [part.line.part.number for part in top.all_parts] == ["t0", "i0"]
    assert (top.depth, top.branches[0].depth) == (0, 1)
    assert loose.assembly is None
    assert [part.line.part.number for part in loose.parts] == ["l0"]
    assert top.minutes_done == 60
    assert top.counts.details.made == 0


def test_a_build_without_parts_is_an_empty_tree(db: None) -> None:
    assert build_page(factories.make_build(), TODAY).branches == ()


def test_a_bar_is_full_only_when_everything_is_finished(db: None) -> None:
    build = factories.make_build()
    cylinder = factories.make_assembly(build)
    nearly = factories.make_part(build, "1", assembly=cylinder, quantity=1000, operations=[{"minutes_per_unit": 0.001}])
    factories.make_entry(build, part=nearly, minutes=6000, good=999)
    (branch,) = build_page(build, TODAY).branches
    assert (branch.percent_done, branch.parts[0].percent_done) == ("99", "99")

    factories.make_entry(build, part=nearly, minutes=1, good=1)
    (branch,) = build_page(build, TODAY).branches
    assert (branch.percent_done, branch.parts[0].percent_done, branch.counts.details.made) == ("100", "100", 1)


def test_a_part_without_any_figure_is_drawn_by_its_pieces(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, quantity=4, operations=[{"minutes_per_unit": None}])
    factories.make_entry(build, part=part, minutes=None, good=1)

    (branch,) = build_page(build, TODAY).branches
    assert branch.parts[0].line.unestimated
    assert branch.parts[0].hours_left is None
    assert branch.parts[0].percent_done == "25"


def test_an_assembly_is_begun_at_nothing(db: None) -> None:
    build = factories.make_build()
    factories.make_part(build, assembly=factories.make_assembly(build))

    (branch,) = build_page(build, TODAY).branches
    assert (branch.percent_done, branch.minutes_done, branch.counts.details.made) == ("0", 0, 0)
    assert branch.hours_left is not None
    assert branch.hours_left.p50 > 0


def test_a_parts_page_shows_its_neighbours_and_its_own_kept_entries(db: None) -> None:
    build = factories.make_build()
    parts = [factories.make_part(build, number=str(n), name=f"Part {n}") for n in range(3)]
    kept = factories.make_entry(build, DAY, part=parts[1], good=1)
    log.remove_entry(entry=factories.make_entry(build, DAY, part=parts[1]), by=None)
    factories.make_entry(build, DAY, part=parts[0])

    first, middle, last = (part_page(Part.objects.get(pk=part.pk), TODAY) for part in parts)

    assert (first.before, first.after) == (None, parts[1])
    assert (middle.before, middle.after) == (parts[0], parts[2])
    assert (last.before, last.after) == (parts[1], None)
    assert middle.entries == (kept,)
    assert middle.line.quantity_made


def test_a_parts_page_shows_its_five_newest_entries(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build)
    Entry.objects.bulk_create(
        Entry(build=build, part=part, worked_on=DAY + timedelta(days=day), bench_minutes=1) for day in range(15)
    )

    entries = part_page(part, TODAY).entries
    assert [entry.worked_on for entry in entries] == [DAY + timedelta(days=day) for day in range(14, 9, -1)]


def test_a_route_tells_how_many_passed_each_operation(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, quantity=9, operations=[{"kind": "sawing"}, {"kind": "turning"}])
    sawing, turning = part.operations.all()
    factories.make_entry(build, part=part, operation=turning, good=4)

    page = part_page(part, TODAY)
    route = [(line.operation, passed, to_go) for line, passed, to_go, _held in page.route_with_passed]
    assert route == [(sawing, 4, 5), (turning, 4, 5)]


@pytest.mark.parametrize("number", ["1", "", "x", "-3", "999999", "1.5", None, "9" * 40])
def test_a_page_of_events_that_makes_no_sense_gives_the_nearest(db: None, number: Any) -> None:
    build = factories.make_build()
    factories.make_part(build)

    assert events_page(build, number).object_list


def test_events_stand_newest_first_and_say_which_were_undone(db: None, django_assert_num_queries: Any) -> None:
    build = factories.make_build()
    factories.make_assembly(build)
    undo(event=build.events.first(), by=factories.make_builder())

    with django_assert_num_queries(2):
        page = events_page(build)
        told = [(str(event), event.undone, str(event.by)) for event in page]
    assert told == [
        ("undid: added assembly Cylinder", False, "Ada"),
        ("added assembly Cylinder", True, "None"),
        ("began the build Beam engine", False, "None"),
    ]


def test_what_was_undone_is_told_from_another_page_at_the_cost_of_one_query(
    db: None, monkeypatch: pytest.MonkeyPatch, django_assert_num_queries: Any
) -> None:
    monkeypatch.setattr("builds.queries.log.events.EVENTS_A_PAGE", 2)
    build = factories.make_build()
    for name in ("Cylinder", "Piston"):
        factories.make_assembly(build, name)
    for event in list(build.events.all()[:2]):
        undo(event=undo(event=event, by=None), by=None)

    with django_assert_num_queries(3):
        told = [str(event) for event in events_page(build, 2)]
    assert told == ["undid: undid: added assembly Piston", "undid: added assembly Piston"]
    assert str(events_page(build, 1)[0]) == "undid: undid: added assembly Cylinder"
