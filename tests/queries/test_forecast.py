"""The forecast is kept, and what is kept is never trusted blindly."""

from django.core.cache import cache

from builds.queries.forecast.build_forecast import forecast_from
from builds.queries.snapshot import read_snapshot
from calcs.forecast import ARITHMETIC
from tests import factories
from tests.factories import TODAY


def test_what_an_earlier_version_kept_in_another_shape_is_worked_out_afresh(db: None) -> None:
    build = factories.make_build()
    factories.make_part(build)
    snapshot = read_snapshot(build, TODAY)
    cache.set(f"forecast:{ARITHMETIC}:{build.uid}:{build.revision}:{TODAY.isoformat()}", {"as_of": "2026-11-25"})

    assert forecast_from(snapshot).planned_hours_left == 0.5
