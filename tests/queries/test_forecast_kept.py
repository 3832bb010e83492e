"""The forecast is worked out once a revision and day, and never shown after a change."""

from datetime import timedelta
from typing import Any

import pytest
from django.core.cache import cache
from django.core.exceptions import ValidationError

from builds.models import Build, Part
from builds.queries.forecast.build_forecast import forecast_from, forecast_of, seed_of
from builds.queries.snapshot import read_snapshot
from builds.services.plan import records as plan
from tests import factories

TODAY = factories.TODAY


@pytest.fixture
def build(db: None) -> Build:
    build = factories.make_build()
    part = factories.make_part(build, quantity=10, operations=[{"kind": "turning", "minutes_per_unit": 60.0}])
    factories.make_part(build, number="15", operations=[])
    for weeks in range(10):
        factories.make_entry(build, TODAY - timedelta(weeks=weeks), 90, part=part)
    return build


def worked_out(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """Every time the sums are done it is noted here; they are done all the same."""
    import calcs.forecast

    real, times = calcs.forecast.forecast, []

    def noted(*args: Any, **kwargs: Any) -> Any:
        times.append(kwargs["seed"])
        return real(*args, **kwargs)

    monkeypatch.setattr(calcs.forecast, "forecast", noted)
    return times


def test_the_sums_are_done_once_and_read_back_the_same(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    times = worked_out(monkeypatch)

    first, again = forecast_from(read_snapshot(build, TODAY)), forecast_from(read_snapshot(build, TODAY))

    assert len(times) == 1
    assert again == first
    assert first.hours_left is not None
    assert first.finish_on is not None


def test_they_are_done_afresh_for_a_change_and_for_another_day(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    times = worked_out(monkeypatch)
    before = forecast_of(build, TODAY)
    factories.make_entry(build, TODAY, 120, part=build.parts.first())

    after = forecast_of(build, TODAY)
    forecast_of(build, TODAY - timedelta(days=1))

    assert len(times) == 3
    assert len(set(times)) == 1
    assert after.forecast.hours_done == before.forecast.hours_done + 2


def test_the_same_build_and_day_give_the_same_figures_at_every_revision(build: Build) -> None:
    first = forecast_from(read_snapshot(build, TODAY))
    cache.clear()

    for revision in range(build.revision, build.revision + 4):
        build.revision = revision
        assert forecast_from(read_snapshot(build, TODAY)) == first
    assert seed_of(build) != seed_of(factories.make_build("Launch engine"))


def test_a_refused_change_does_not_poison_the_forecast_of_the_next(build: Build) -> None:
    """The page that shows the refusal may ask for the forecast with the build it has in hand."""
    with pytest.raises(ValidationError):
        plan.save(record=Part(build=build, number="99", name="Crank", quantity=0), by=None)
    forecast_of(build, TODAY)
    plan.add_part(part=Part(build=build, number="99", name="Crank"), rough_minutes=6000, by=None, today=TODAY)

    after = forecast_of(Build.objects.get(pk=build.pk), TODAY)

    assert build.parts.get(number="99").pk in after.by_part


def test_an_forecast_kept_for_one_database_is_not_shown_for_another_build_of_its_number(build: Build) -> None:
    forecast_from(read_snapshot(build, TODAY))
    other = factories.make_build("Launch engine")
    other.revision = build.revision

    assert forecast_from(read_snapshot(other, TODAY)).parts == ()


def test_parts_without_any_figure_are_named(build: Build) -> None:
    build_forecast = forecast_of(build, TODAY)

    assert [line.part.number for line in build_forecast.unestimated] == ["15"]
    assert all(part.widening >= 0.01 for _, part in build_forecast.widest)
    assert build_forecast.finish_on == build_forecast.forecast.finish_on


def test_a_prospect_takes_ten_queries_whether_it_is_kept_or_not(build: Build, django_assert_num_queries: Any) -> None:
    milestone = build.milestones.create(name="First run")
    milestone.parts.set(build.parts.all())
    milestone.assemblies.set([factories.make_assembly(build)])

    for _ in range(2):
        with django_assert_num_queries(10):
            forecast_of(build, TODAY)
