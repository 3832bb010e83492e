"""Days that are typed for a time are asked about with the usual day of whoever types, wherever a time is logged."""

from datetime import date
from typing import Any

import pytest
import time_machine
from django.test import Client

from builds.models import Builder
from builds.queries.log.usual_day import usual_day
from builds.services.shop.builders import builder_for
from tests import factories
from tests.pages.test_bench_page import EVENING, evening

ASKED = "At your usual 3 h this is 6 h"


@pytest.fixture
def me(user: Any) -> Builder:
    return builder_for(user=user)


@pytest.fixture
def ring(make_build: Any, make_part: Any, me: Builder) -> Any:
    """A part on which I worked for three hours on a day; somebody else works for ten."""
    part = make_part(make_build(), operations=[{"kind": "turning"}])
    for day, minutes in ((2, 120), (2, 60), (3, 180), (4, 190)):
        factories.make_entry(part.build, date(2026, 3, day), minutes, part=part, builder=me)
        factories.make_entry(part.build, date(2026, 3, day), 600, part=part, builder=factories.make_builder())
    return part


def test_a_usual_day_is_the_middle_one_of_a_builder_in_all_builds(
    ring: Any, me: Builder, make_build: Any, django_assert_num_queries: Any
) -> None:
    with django_assert_num_queries(1):
        assert usual_day(me) == 180
    other = make_build("Mill engine")
    for day in range(5, 9):
        factories.make_entry(other, date(2026, 3, day), 60, activity="tidying", builder=me)
    assert usual_day(me) == 60


def test_lumps_and_an_empty_log_tell_nothing_of_a_usual_day(ring: Any, make_build: Any) -> None:
    newcomer = factories.make_builder("Ben")
    factories.make_entry(ring.build, date(2026, 3, 9), 900, part=ring, builder=newcomer, since_on=date(2026, 3, 2))
    assert usual_day(newcomer) is None


@time_machine.travel(EVENING)
def test_every_form_of_the_log_asks_with_it(signed_in: Client, ring: Any, me: Builder) -> None:
    base = f"/builds/{ring.build.slug}/"
    batch = factories.make_batch(ring)
    step = ring.operations.get()
    line = {"work": f"o{step.pk}", "time": "2 full days"}
    sheet = {"worked_on": "2026-11-25", "other": f"o{step.pk}", "time": "2 days", "line": "x", "line_read": "x"}
    entry = ring.build.entries.filter(builder=me).first()
    amended = {"worked_on": "2026-03-02", "other": f"o{step.pk}", "time": "2 days"}
    sent: dict[str, dict[str, Any]] = {
        f"{base}bench/evening/": evening(line, log="yes"),
        f"{base}bench/catch-up/": evening(sheet, log="yes"),
        f"{base}log/{entry.pk}/amend/": amended,
        f"{base}batches/{batch.pk}/grid/log/": {"worked_on": "2026-11-25", f"o{step.pk}-time": "2 evenings"},
    }
    for address, data in sent.items():
        assert ASKED in signed_in.post(address, data).content.decode(), address


@time_machine.travel(EVENING)
def test_the_clock_asks_with_it(signed_in: Client, ring: Any) -> None:
    bench = f"/builds/{ring.build.slug}/bench/"
    signed_in.post(f"{bench}clock/on/", {"form-0-work": f"o{ring.operations.get().pk}"})
    page = signed_in.post(f"{bench}clock/off/", {"before": "2 days", "worked": "2 full days"}).content.decode()
    assert page.count(ASKED) >= 2


def test_what_is_being_typed_is_answered_with_it(signed_in: Client, ring: Any) -> None:
    assert ASKED in signed_in.get("/read/time/", {"worked": "2 sessions"}).content.decode()


def test_somebody_who_never_logged_is_asked_for_the_hours(signed_in: Client) -> None:
    answer = signed_in.get("/read/time/", {"worked": "2 days"}).content.decode()
    assert "Days and evenings are of different lengths" in answer
    assert "usual" not in answer
