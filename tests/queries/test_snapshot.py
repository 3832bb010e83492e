"""The snapshot: what is known of a build on a day, from which every page starts."""

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from builds.models import Build, Closure, Entry, Milestone, Operation, Part
from builds.queries.plan.role_counts import counts_of
from builds.queries.snapshot import LogRow, Tally, read_snapshot
from builds.services.log import entries as log
from builds.services.plan import records as plan
from calcs.parts.remaining import nothing_left
from tests import factories

TODAY = factories.TODAY
DAY = date(2026, 3, 2)
LATER = date(2026, 6, 1)


def full_build(size: int) -> Build:
    """A build with `size` of everything that a snapshot reads."""
    build = factories.make_build()
    for n in range(1, size + 1):
        assembly, sheet = factories.make_assembly(build, f"Assembly {n}"), factories.make_sheet(build, str(n))
        part = factories.make_part(
            build,
            number=str(n),
            assembly=assembly,
            sheet=sheet,
            material=factories.make_material(f"Material {n}"),
            operations=[{"machine": factories.make_machine(f"Machine {n}.{m}")} for m in range(size)],
        )
        batch = factories.make_batch(part)
        for operation in part.operations.all():
            factories.make_entry(build, part=part, operation=operation, batch=batch, good=1)
        Closure.objects.create(build=build, from_on=DAY, to_on=DAY)
        milestone = Milestone.objects.create(build=build, name=f"Milestone {n}")
        milestone.parts.set([part])
        milestone.assemblies.set([assembly])
    return build


@pytest.mark.parametrize("size", [1, 3])
def test_a_snapshot_takes_ten_queries_whatever_the_builds_size(
    db: None, django_assert_num_queries: Any, size: int
) -> None:
    build = Build.objects.get(pk=full_build(size).pk)

    with django_assert_num_queries(10):
        snapshot = read_snapshot(build, TODAY)
        assert len(snapshot.build_plan().parts) == size
        for line in snapshot.parts:
            assert str(line.part.material) + str(line.part.sheet) + str(line.part.assembly)
            assert all(one.operation.machine for one in line.operations)


def test_an_empty_build_has_an_empty_snapshot(db: None) -> None:
    snapshot = read_snapshot(factories.make_build(), TODAY)

    assert (snapshot.parts, snapshot.rows, snapshot.headline_minutes, snapshot.unattended_minutes) == ((), (), 0, 0)
    assert snapshot.build_plan().started_on == date(2026, 1, 1)


def test_a_build_without_a_start_began_with_its_first_entry(db: None) -> None:
    build = factories.make_build(started_on=None)
    assert read_snapshot(build, TODAY).build_plan().started_on is None
    factories.make_entry(build, activity="tidying", worked_on=DAY)

    assert read_snapshot(build, TODAY).build_plan().started_on == DAY


def test_as_of_a_day_only_what_was_there_that_day_is_known(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, quantity=4, operations=[{"kind": "turning"}])
    turning = part.operations.get()
    factories.make_entry(build, DAY, part=part, good=1)
    factories.make_entry(build, LATER, part=part, operation=turning, good=2)
    factories.make_batch(part, blanks=5, number=1, started_on=DAY)
    factories.make_batch(part, blanks=7, number=2, started_on=LATER)
    plan.add_operation(operation=Operation(part=part, kind="lapping"), by=None, today=LATER)

    before, after = read_snapshot(build, DAY).parts[0], read_snapshot(build, LATER).parts[0]

    assert [line.operation.kind for line in before.operations] == ["turning"]
    assert (before.operations[0].tally.good, before.plan.blanks_started) == (1, 5)
    assert [line.operation.kind for line in after.operations] == ["turning", "lapping"]
    assert (after.operations[0].tally.good, after.plan.blanks_started) == (3, 12)


def test_a_part_that_joined_later_is_not_told_as_unestimated_before(db: None) -> None:
    build = factories.make_build()
    first = factories.make_part(build, number="1")
    factories.make_entry(build, DAY, part=first)
    plan.add_part(part=Part(build=build, number="2", name="Column"), rough_minutes=60, by=None, today=TODAY)
    bare = factories.make_part(build, number="3", operations=[])

    assert [line.part.number for line in read_snapshot(build, TODAY - timedelta(days=1)).parts] == ["1", "3"]
    assert [line.part.number for line in read_snapshot(build, TODAY).parts] == ["1", "2", "3"]
    assert read_snapshot(build, TODAY).by_part[bare.pk].unestimated


def test_a_part_that_the_log_knows_is_never_left_out(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, operations=[])
    factories.make_entry(build, DAY, part=part, minutes=40)
    plan.add_operation(operation=Operation(part=part, kind="lapping"), by=None, today=TODAY)

    (line,) = read_snapshot(build, DAY).parts
    assert (line.operations, line.bench_minutes) == ((), 40)


def test_states_said_by_hand_hold_from_their_day_on(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, quantity=3, finished_on=DAY, waiting_for="post", waiting_since_on=DAY)
    milestone = Milestone.objects.create(build=build, name="First run", reached_on=DAY)
    milestone.parts.set([part])

    before, after = read_snapshot(build, DAY - timedelta(days=1)), read_snapshot(build, DAY)

    assert [(led.parts[0].quantity_made, led.parts[0].plan.waiting) for led in (before, after)] == [
        (False, False),
        (True, True),
    ]
    assert [len(led.build_plan().milestones) for led in (before, after)] == [1, 0]
    assert after.parts[0].count.uncounted == 3
    assert after.parts[0].count.had == 0


def test_a_removed_entry_counts_nowhere(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, quantity=9)
    entry = factories.make_entry(build, part=part, good=3, scrap=1, unattended_minutes=50)
    log.remove_entry(entry=entry, by=None)

    snapshot = read_snapshot(build, TODAY)

    assert (snapshot.rows, snapshot.headline_minutes, snapshot.unattended_minutes) == ((), 0, 0)
    assert (snapshot.parts[0].bench_minutes, snapshot.parts[0].begun, snapshot.parts[0].count.had) == (0, False, 0)


def test_each_build_says_which_shop_time_its_headline_counts(db: None) -> None:
    for counted, headline in ((["fixtures and tools"], 90), ([], 60), (["tidying", "fixtures and tools"], 210)):
        build = factories.make_build(activities_counted=counted)
        factories.make_entry(build, part=factories.make_part(build), minutes=60, unattended_minutes=500)
        factories.make_entry(build, activity="fixtures and tools", minutes=30)
        factories.make_entry(build, activity="tidying", minutes=120)

        snapshot = read_snapshot(build, TODAY)

        assert snapshot.headline_minutes == headline
        assert snapshot.unattended_minutes == 500


def test_minutes_before_a_count_belong_to_the_pieces_counted_and_those_after_stay_open(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, quantity=9)
    for day, minutes, good in ((0, 40, 0), (1, 50, 2), (2, 30, 0)):
        factories.make_entry(build, DAY + timedelta(days=day), minutes, part=part, good=good)

    tally = read_snapshot(build, TODAY).parts[0].operations[0].tally

    assert (tally.counted_minutes, tally.open_minutes, tally.bench_minutes) == (90, 30, 120)
    assert (tally.entries, tally.last_on) == (3, DAY + timedelta(days=2))


def test_entries_are_taken_by_their_day_not_by_when_they_were_typed(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, quantity=9)
    factories.make_entry(build, DAY + timedelta(days=1), 50, part=part, good=2)
    factories.make_entry(build, DAY, 40, part=part)

    tally = read_snapshot(build, TODAY).parts[0].operations[0].tally
    assert (tally.counted_minutes, tally.open_minutes) == (90, 0)


def test_an_unknown_time_is_marked_and_is_not_a_zero(db: None) -> None:
    build = factories.make_build()
    unknown, zero = factories.make_part(build, number="1"), factories.make_part(build, number="2")
    factories.make_entry(build, part=unknown, minutes=None, good=1)
    factories.make_entry(build, part=zero, minutes=0, good=1)

    tallies = [line.operations[0].tally for line in read_snapshot(build, TODAY).parts]
    assert [(tally.times_unknown, tally.bench_minutes) for tally in tallies] == [(True, 0), (False, 0)]


def test_time_on_a_part_without_an_operation_named_stands_apart(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, operations=[{"kind": "sawing"}, {"kind": "turning"}])
    factories.make_entry(build, part=part, minutes=25)
    factories.make_entry(build, part=part, operation=part.operations.get(kind="sawing"), minutes=35)

    (line,) = read_snapshot(build, TODAY).parts

    assert (line.elsewhere.bench_minutes, line.operations[0].tally.bench_minutes, line.bench_minutes) == (25, 35, 60)
    assert line.plan.bench_minutes_elsewhere == 25


def test_more_pieces_than_could_have_come_are_a_hole(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, quantity=9, operations=[{"kind": "sawing"}, {"kind": "turning"}])
    sawing, turning = part.operations.all()
    factories.make_entry(build, part=part, operation=sawing, good=3)
    factories.make_entry(build, part=part, operation=turning, good=5, scrap=1)

    (line,) = read_snapshot(build, TODAY).parts

    (gap,) = line.count.gaps
    assert (gap.key, gap.counted, gap.could_have_reached, gap.missing) == (turning.pk, 6, 3, 3)
    assert line.count.passed == (6, 5)


def test_spares_are_not_needed_for_a_part_to_be_finished(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, quantity=2, spares=3)
    factories.make_entry(build, part=part, good=2)

    snapshot = read_snapshot(build, TODAY)

    assert snapshot.parts[0].quantity_made
    assert snapshot.parts[0].next_operation is None
    assert counts_of(snapshot.parts).details.made == 1


def test_a_bought_part_takes_no_bench_time_unless_it_has_operations(db: None) -> None:
    build = factories.make_build()
    factories.make_part(build, number="1", role="bought", operations=[])
    factories.make_part(build, number="2", role="bought", operations=[{"kind": "fitting", "minutes_per_unit": None}])
    factories.make_part(build, number="3", operations=[])

    bare, fitted, made = read_snapshot(build, TODAY).parts

    assert [nothing_left(line.plan) for line in (bare, fitted, made)] == [True, False, False]
    assert [line.unestimated for line in (bare, fitted, made)] == [False, True, True]
    # Bought, but nobody has said that it has come.
    assert [line.quantity_made for line in (bare, fitted, made)] == [False, False, False]


def test_a_zero_figure_is_a_figure(db: None) -> None:
    build = factories.make_build()
    factories.make_part(build, number="1", operations=[{"minutes_per_unit": 0.0}])
    factories.make_part(build, number="2", operations=[{"minutes_per_unit": None}])
    factories.make_part(build, number="3", operations=[{"minutes_per_unit": 5.0, "origin": "rough"}])

    lines = read_snapshot(build, TODAY).parts

    assert [line.unestimated for line in lines] == [False, True, False]
    assert [line.operations[0].plan.rough for line in lines] == [False, False, True]
    assert [line.plan.operations[0].minutes_per_piece for line in lines] == [0.0, None, 5.0]


def test_a_milestone_needs_what_nests_in_its_assemblies(db: None) -> None:
    build = factories.make_build()
    engine = factories.make_assembly(build, "Engine")
    cylinder = factories.make_assembly(build, "Cylinder", parent=engine)
    piston = factories.make_assembly(build, "Piston", parent=cylinder)
    stand = factories.make_assembly(build, "Stand")
    parts = {
        name: factories.make_part(build, number=name, assembly=assembly).pk
        for name, assembly in {"ring": piston, "cover": cylinder, "bed": stand, "loose": None, "nut": stand}.items()
    }
    on_air = Milestone.objects.create(build=build, name="First turn on air")
    on_air.assemblies.set([engine])
    on_air.parts.set([parts["nut"]])
    Milestone.objects.create(build=build, name="Nothing needed")

    first, empty = read_snapshot(build, TODAY).build_plan().milestones

    assert first.part_keys == {parts["ring"], parts["cover"], parts["nut"]}
    assert empty.part_keys == set()


def test_set_ups_done_are_the_batches_that_were_worked_on(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, quantity=20)
    first, second = factories.make_batch(part, number=1), factories.make_batch(part, number=2)
    for batch in (first, first, second):
        factories.make_entry(build, part=part, batch=batch, good=1)

    assert read_snapshot(build, TODAY).parts[0].operations[0].plan.setups_done == 2


def test_another_builds_records_do_not_leak_in(db: None) -> None:
    other = full_build(1)
    build = factories.make_build("Launch engine")

    snapshot = read_snapshot(build, TODAY)

    assert (snapshot.parts, snapshot.rows, snapshot.assemblies, snapshot.closures, snapshot.milestones) == (
        (),
        (),
        (),
        (),
        (),
    )
    assert len(read_snapshot(other, TODAY).rows) == 1


figures = st.integers(0, 50)
rows = st.lists(st.tuples(st.one_of(st.none(), figures), figures, figures, figures, figures), max_size=12)


@given(rows=rows)
def test_a_tally_loses_no_minute_and_no_piece(rows: list[Any]) -> None:
    tally = Tally()
    for n, (minutes, alone, good, reworked, scrap) in enumerate(rows):
        more = (alone, good, min(reworked, good), scrap)
        tally.take(LogRow(n, DAY, None, 1, 1, None, "", minutes, "exact", *more, ""))

    assert tally.bench_minutes == sum(row[0] or 0 for row in rows)
    assert tally.unattended_minutes == sum(row[1] for row in rows)
    assert tally.good == sum(row[2] for row in rows)
    assert tally.scrap == sum(row[4] for row in rows)
    assert tally.reworked <= tally.good
    assert tally.times_unknown == any(row[0] is None for row in rows)
    counts = [place for place, row in enumerate(rows) if row[2] or row[4]]
    assert tally.open_minutes == sum(row[0] or 0 for row in rows[counts[-1] + 1 if counts else 0 :])


days = st.lists(st.tuples(st.integers(0, 40), st.sampled_from(["", "tidying", "buying"]), figures), max_size=8)


@settings(
    max_examples=15,
    deadline=None,
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(entries=days, asked=st.integers(0, 40))
def test_the_headline_of_a_day_is_the_sum_of_what_was_logged_by_then(db: None, entries: list[Any], asked: int) -> None:
    build = factories.make_build(activities_counted=["tidying"])
    part = factories.make_part(build)
    Entry.objects.bulk_create(
        Entry(
            build=build,
            worked_on=DAY + timedelta(days=day),
            part=None if activity else part,
            activity=activity,
            bench_minutes=minutes,
        )
        for day, activity, minutes in entries
    )

    snapshot = read_snapshot(build, DAY + timedelta(days=asked))

    by_then = [(activity, minutes) for day, activity, minutes in entries if day <= asked]
    assert snapshot.headline_minutes == sum(m for activity, m in by_then if activity != "buying")
    assert snapshot.parts[0].bench_minutes == sum(m for activity, m in by_then if not activity)


def test_minutes_go_to_the_pieces_counted_next_in_the_order_logged(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, quantity=9)
    at = {"part": part, "operation": part.operations.get()}
    factories.make_entry(build, date(2026, 3, 1), 60, **at)
    factories.make_entry(build, date(2026, 3, 2), 30, good=2, scrap=1, **at)
    factories.make_entry(build, date(2026, 3, 3), 50, good=3, **at)
    factories.make_entry(build, date(2026, 3, 4), 20, **at)

    (line,) = read_snapshot(build, TODAY).by_part[part.pk].operations

    assert line.plan.piece_minutes == ((90.0, 3), (50.0, 3))
    assert (line.plan.bench_minutes_counted, line.plan.bench_minutes_open) == (140, 20)
