"""What is supposed changes what it should and nothing else."""

from datetime import timedelta

import pytest

from builds.models import Build
from builds.queries.forecast.build_forecast import forecast_of, seed_of
from builds.queries.forecast.what_if import WhatIfInput, changed_plan, spares_to_make, usual_evening, what_if
from builds.queries.snapshot import read_snapshot
from calcs.forecast import forecast
from tests import factories
from tests.factories import TODAY


@pytest.fixture
def build(db: None) -> Build:
    build = factories.make_build()
    for n in range(4):
        route = [{"kind": "turning", "setup_minutes": 30, "minutes_per_unit": 240.0}]
        part = factories.make_part(build, str(n), f"Part {n}", quantity=12, spares=2, operations=route)
        for week in range(0, 40, 2):
            day = TODAY - timedelta(weeks=week, days=n)
            factories.make_entry(build, day, 120, part=part, operation=part.operations.get(), good=week % 4 // 2)
        factories.make_entry(build, TODAY - timedelta(weeks=n), 60, activity="tidying")
    return build


def test_another_pace_leaves_the_hours_as_they_are(build: Build) -> None:
    """The hours added to the log count for the pace alone: not for shop time, growth or rates."""
    plan, seed = read_snapshot(build, TODAY).build_plan(), seed_of(build)

    now, then = (forecast(changed_plan(plan, f, without_spares=False), TODAY, seed=seed) for f in (1.0, 1.5))

    assert then.hours_left == now.hours_left
    assert (then.shop_share, then.growth, then.rates, then.parts) == (
        now.shop_share,
        now.growth,
        now.rates,
        now.parts,
    )
    assert now.pace
    assert then.pace
    assert then.pace.mean_hours == pytest.approx(1.5 * now.pace.mean_hours)
    assert then.pace.empty_share == now.pace.empty_share


def test_half_again_the_pace_takes_two_thirds_of_the_time(build: Build) -> None:
    """Every week is lengthened in proportion and the draws are the same, so each date shrinks as it must."""
    plan, seed = read_snapshot(build, TODAY).build_plan(), seed_of(build)

    now, then = (forecast(changed_plan(plan, f, without_spares=False), TODAY, seed=seed) for f in (1.0, 1.5))

    assert now.finish_on
    assert then.finish_on
    assert now.finish_on.p50
    assert then.finish_on.p50
    assert (then.finish_on.p50 - TODAY).days == pytest.approx((now.finish_on.p50 - TODAY).days / 1.5, rel=0.1)


def test_the_pace_as_it_is_gives_the_forecast_as_it_is(build: Build) -> None:
    build_forecast = forecast_of(build, TODAY)

    found = what_if(build_forecast, WhatIfInput(hours=build_forecast.forecast.pace_hours_per_week))

    assert found.then == found.as_it_stands
    assert found.days_sooner == 0


def test_evenings_come_on_top_of_the_pace(build: Build) -> None:
    build_forecast = forecast_of(build, TODAY)

    found = what_if(build_forecast, WhatIfInput(evenings=2))

    assert found.evening == 2.0
    assert found.pace is not None
    assert found.new_pace == pytest.approx(found.pace + 4.0)


def test_an_evening_is_the_middle_day_of_single_days(build: Build) -> None:
    lump = TODAY - timedelta(days=30)
    factories.make_entry(build, TODAY, 3000, activity="other", since_on=lump)

    assert usual_evening(read_snapshot(build, TODAY)) == 2.0


def test_spares_of_finished_parts_are_not_to_make(build: Build) -> None:
    assert spares_to_make(read_snapshot(build, TODAY)) == 8
    build.parts.filter(number="0").update(finished_on=TODAY)
    assert spares_to_make(read_snapshot(build, TODAY)) == 6


def test_it_is_worked_out_once(build: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    import calcs.forecast

    build_forecast, times, real = forecast_of(build, TODAY), [], calcs.forecast.forecast

    def noted(*args: object, **kwargs: object) -> object:
        times.append(kwargs)
        return real(*args, **kwargs)  # type: ignore[arg-type]

    monkeypatch.setattr(calcs.forecast, "forecast", noted)
    first = what_if(build_forecast, WhatIfInput(evenings=1))
    again = what_if(build_forecast, WhatIfInput(evenings=1))
    what_if(build_forecast, WhatIfInput(evenings=2))

    assert first == again
    assert len(times) == 2
