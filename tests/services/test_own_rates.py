"""Own rates taken over: one step, undone in one, and the forecast takes the ratio once."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from builds.models import Build, Event, Operation
from builds.queries.forecast.build_forecast import seed_of
from builds.queries.rates.apply_rates import preview_of
from builds.queries.snapshot import read_snapshot
from builds.services.plan import records as plan
from builds.services.rates import NewRate, apply_rates
from builds.services.undo import undo
from calcs.forecast import forecast
from tests import factories
from tests.factories import TODAY

ROUTE = ({"kind": "turning", "setup_minutes": 20, "minutes_per_unit": 30.0, "origin": "rough"},)


@pytest.fixture
def build(db: None) -> Build:
    """Six parts turned at twice their plan, and two not begun."""
    build = factories.make_build()
    for n in range(8):
        part = factories.make_part(build, str(n), f"Stud {n}", quantity=4, operations=ROUTE)
        if n < 6:
            day = TODAY - timedelta(weeks=n + 1)
            factories.make_entry(build, day, 280, part=part, operation=part.operations.get(), good=4)
    build.refresh_from_db()
    return build


def not_begun(build: Build) -> list[Operation]:
    return list(Operation.objects.filter(part__build=build, entries__isnull=True).select_related("part"))


def take(build: Build, ratio: float = 2.0, **how: Any) -> Event:
    rates = [NewRate(operation, ratio) for operation in not_begun(build)]
    return apply_rates(build=build, rates=rates, by=None, today=TODAY, **how)


def figures(build: Build) -> list[tuple[float | None, str]]:
    return [(one.minutes_per_unit, one.origin) for one in not_begun(build)]


def test_it_is_one_event_and_undone_in_one(build: Build) -> None:
    before = figures(build)
    revision = build.revision

    event = take(build)

    assert figures(build) == [(60.0, "own rate")] * 2
    assert build.revision == revision + 1
    assert str(event) == "took own rates for 2 operations not begun"

    undo(event=event, by=None)

    assert figures(build) == before == [(30.0, "rough")] * 2
    assert [one.worked for one in not_begun(build)] == [None, None]


def test_the_forecast_does_not_take_the_ratio_twice(build: Build) -> None:
    seed = seed_of(build)
    before = forecast(read_snapshot(build, TODAY).build_plan(), TODAY, seed=seed)

    take(build)

    assert forecast(read_snapshot(build, TODAY).build_plan(), TODAY, seed=seed) == before


def test_what_is_worked_at_an_own_rate_goes_on_teaching_the_ratio_to_the_first_plan(build: Build) -> None:
    take(build)
    operation = not_begun(build)[0]
    factories.make_entry(build, TODAY, 280, part=operation.part, operation=operation, good=4)

    from calcs.forecast.observations import rate_observations

    snapshot = read_snapshot(build, TODAY)
    ratios = [one.actual_minutes / one.planned_minutes for one in rate_observations(p.plan for p in snapshot.parts)]

    assert ratios == [2.0] * 7


def test_done_again_it_starts_from_what_was_first_planned(build: Build) -> None:
    take(build, 2.0)
    take(build, 1.5)

    assert figures(build) == [(45.0, "own rate")] * 2


def test_a_figure_changed_by_hand_since_stands_for_itself(build: Build) -> None:
    take(build)
    operation = not_begun(build)[0]
    operation.minutes_per_unit, operation.origin = 50.0, "by hand"
    plan.save(record=operation, by=None)

    planned = [line.plan.operations[0].minutes_per_piece for line in read_snapshot(build, TODAY).parts]

    assert sorted(planned[-2:]) == [30.0, 50.0]


def test_a_rough_figure_stays_rough_for_the_forecast(build: Build) -> None:
    take(build)

    assert all(line.plan.operations[0].rough for line in read_snapshot(build, TODAY).parts)


def test_a_plan_that_changed_since_the_preview_is_refused(build: Build) -> None:
    seen = build.revision
    factories.make_entry(build, TODAY, 30, activity="tidying")
    build.refresh_from_db()

    with pytest.raises(ValidationError, match="Somebody else changed this"):
        take(build, seen=seen)

    assert figures(build) == [(30.0, "rough")] * 2


def test_one_that_was_begun_is_refused_and_nothing_changes(build: Build) -> None:
    rates = [NewRate(operation, 2.0) for operation in not_begun(build)]
    factories.make_entry(build, TODAY, 30, part=rates[1].operation.part, operation=rates[1].operation)

    with pytest.raises(ValidationError, match="has been begun"):
        apply_rates(build=build, rates=rates, by=None, today=TODAY)

    assert figures(build) == [(30.0, "rough")]


@pytest.mark.parametrize("ratio", [0.0, -1.0, float("nan"), float("inf")])
def test_a_ratio_that_is_none_is_refused(build: Build, ratio: float) -> None:
    with pytest.raises(ValidationError, match="above nothing"):
        take(build, ratio)


def test_another_builds_operation_is_refused(build: Build) -> None:
    other = factories.make_part(factories.make_build("Launch engine"), operations=ROUTE).operations.get()

    with pytest.raises(ValidationError, match="another build"):
        apply_rates(build=build, rates=[NewRate(other, 2.0)], by=None, today=TODAY)


def test_the_preview_says_too_little_to_go_by(build: Build) -> None:
    snapshot = read_snapshot(build, TODAY)
    rates = forecast(snapshot.build_plan(), TODAY, seed=1).rates
    few = tuple(replace(rate, operations=4) for rate in rates)

    preview = preview_of(snapshot, few, leave_worked_out=False)

    assert preview.changes == ()
    assert "4 operations have been logged" in preview.refusal


def test_the_preview_tells_hours_before_and_after(build: Build) -> None:
    snapshot = read_snapshot(build, TODAY)
    rates = forecast(snapshot.build_plan(), TODAY, seed=1).rates

    preview = preview_of(snapshot, rates, leave_worked_out=False)

    assert [(kind.kind, len(kind.changes), kind.origins) for kind in preview.kinds] == [("turning", 2, (("rough", 2),))]
    ratio = next(rate.ratio for rate in rates if rate.kind == "turning")
    assert 1.7 < ratio < 2.1
    assert preview.hours_before == pytest.approx(2 * (20 + 4 * 30) / 60)
    assert preview.hours_after == pytest.approx(2 * (20 + 4 * 30 * ratio) / 60)
