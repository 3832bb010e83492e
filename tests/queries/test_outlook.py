"""The outlook is kept, and what is kept is never trusted blindly."""

from django.core.cache import cache

from builds.queries.ledger import read_ledger
from builds.queries.outlook import ARITHMETIC, outlook_of
from tests import factories
from tests.factories import TODAY


def test_what_an_earlier_version_kept_in_another_shape_is_worked_out_afresh(db: None) -> None:
    build = factories.make_build()
    factories.make_part(build)
    ledger = read_ledger(build, TODAY)
    cache.set(f"outlook:{ARITHMETIC}:{build.uid}:{build.revision}:{TODAY.isoformat()}", {"as_of": "2026-11-25"})

    assert outlook_of(ledger).planned_hours_left == 0.5
