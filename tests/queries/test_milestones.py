"""What a snapshot hands the arithmetic of milestones."""

from datetime import date, timedelta
from typing import Any

import pytest

from builds.models import Build, Milestone, Operation, Part
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.forecast.ready import ready_by
from builds.queries.snapshot import read_snapshot
from tests import factories
from tests.factories import TODAY

DAY = date(2026, 3, 2)


@pytest.fixture
def erection(db: None) -> Part:
    """A part of three operations of an hour each, in a build with a log and another part."""
    build = factories.make_build()
    part = factories.make_part(build, number="802", name="Erection")
    for kind in ("boring", "fitting", "inspecting"):
        factories.make_operation(part, kind=kind, minutes_per_unit=60)
    other = factories.make_part(build, number="1", name="Bed")
    factories.make_operation(other, minutes_per_unit=600)
    factories.make_entry(build, DAY, part=other, operation=other.operations.first(), minutes=90)
    return part


def milestone(build: Build, **fields: Any) -> Milestone:
    return Milestone.objects.create(build=build, name=fields.pop("name", "First turn on air"), **fields)


def step(part: Part, kind: str) -> Operation:
    return part.operations.get(kind=kind)


def test_a_named_operation_goes_with_its_part_unless_that_is_needed_whole(erection: Part) -> None:
    so_far, whole = milestone(erection.build), milestone(erection.build, name="Runs")
    for one in (so_far, whole):
        one.operations.set([step(erection, "fitting")])
    whole.parts.set([erection])

    first, second = read_snapshot(erection.build, TODAY).build_plan().milestones

    assert (first.part_keys, first.up_to) == (frozenset(), ((erection.pk, step(erection, "fitting").pk),))
    assert (second.part_keys, second.up_to) == ({erection.pk}, ())
    assert first.parts_touched == second.parts_touched == {erection.pk}


def test_an_operation_that_joined_the_plan_later_is_not_asked_for_before(erection: Part) -> None:
    named = step(erection, "fitting")
    Operation.objects.filter(pk=named.pk).update(added_on=DAY + timedelta(days=9))
    milestone(erection.build).operations.set([named])

    before, after = (
        read_snapshot(erection.build, day).build_plan().milestones[0].up_to for day in (DAY, DAY + timedelta(days=9))
    )

    assert (before, len(after)) == ((), 1)


def test_a_milestone_is_reached_from_its_day_on_and_its_day_is_not_known_before(erection: Part) -> None:
    milestone(erection.build, reached_on=DAY + timedelta(days=9)).parts.set([erection])

    before, after = (read_snapshot(erection.build, day).build_plan() for day in (DAY, DAY + timedelta(days=9)))

    assert ([one.reached_on for one in before.milestones], before.reached) == ([None], ())
    assert after.milestones == ()
    assert [one.reached_on for one in after.reached] == [DAY + timedelta(days=9)]


def test_every_stint_says_what_it_was_spent_on(erection: Part) -> None:
    factories.make_entry(erection.build, DAY, part=erection, operation=step(erection, "boring"), minutes=30)

    stints = read_snapshot(erection.build, TODAY).build_plan().stints

    assert (stints[-1].part, stints[-1].operation) == (erection.pk, step(erection, "boring").pk)


def test_the_hours_of_a_milestone_end_with_its_operation(erection: Part) -> None:
    so_far, whole = milestone(erection.build), milestone(erection.build, name="Runs")
    so_far.operations.set([step(erection, "boring")])
    whole.parts.set([erection])

    first, second = forecast_of(erection.build, TODAY).milestones

    assert first.hours_left.p50 == pytest.approx(second.hours_left.p50 / 3, rel=0.25)


def test_a_part_of_which_a_milestone_names_an_operation_is_not_left_for_later(erection: Part) -> None:
    milestone(erection.build).operations.set([step(erection, "boring")])

    found = ready_by(forecast_of(erection.build, TODAY), TODAY + timedelta(days=300))

    assert [row.part.number for row, _left in found.later] == ["1"]
