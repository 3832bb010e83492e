"""Two requests with the same form at the same moment, on a database in a file as in real use."""

import threading
from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import Any

import pytest
from django.db import connection

from builds.models import Build, Clock, Entry
from builds.services.log.clock import clock_off, clock_on
from builds.services.log.entries import LogLine, record_entries
from tests import factories


def at_once(number: int, do: Callable[[], Any]) -> list[Any]:
    """What `do` gave, or the error it raised, in so many threads that start together."""
    gate = threading.Barrier(number)
    came: list[Any] = []

    def run() -> None:
        gate.wait()
        try:
            came.append(do())
        except Exception as error:
            came.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=run) for _ in range(number)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=30)
    return came


@pytest.mark.django_db(transaction=True)
def test_a_form_sent_by_six_requests_at_once_makes_its_entries_once() -> None:
    build = factories.make_build()
    part = factories.make_part(build)
    lines = [
        LogLine(worked_on=date(2026, 3, 2), part=part, bench_minutes=30, good=1, token="one"),
        LogLine(worked_on=date(2026, 3, 2), activity="tidying", bench_minutes=10, token="two"),
    ]
    before = Build.objects.get().revision

    came = at_once(
        6,
        lambda: record_entries(build=Build.objects.get(pk=build.pk), lines=lines, by=None, today=factories.TODAY),
    )

    assert sorted(getattr(one, "again", repr(one)) for one in came) == [False] + [True] * 5
    assert {tuple(entry.token for entry in one.entries) for one in came} == {("one", "two")}
    assert Entry.objects.count() == 2
    assert Build.objects.get().revision == before + 1


@pytest.mark.django_db(transaction=True)
def test_different_forms_at_once_are_all_logged_each_at_its_own_revision() -> None:
    build = factories.make_build()
    before = Build.objects.get().revision

    came = at_once(
        4,
        lambda: record_entries(
            build=Build.objects.get(pk=build.pk),
            lines=[LogLine(worked_on=date(2026, 3, 2), activity="tidying", bench_minutes=10)],
            by=None,
            today=factories.TODAY,
        ),
    )

    assert [one.again for one in came] == [False] * 4
    assert Build.objects.get().revision == before + 4
    assert sorted(build.events.values_list("revision", flat=True)) == list(range(1, before + 5))


@pytest.mark.django_db(transaction=True)
def test_a_clock_pressed_on_twice_at_once_runs_once_and_off_twice_at_once_logs_once() -> None:
    build, builder = factories.make_build(), factories.make_builder()
    on = datetime(2026, 3, 2, 19, 0, tzinfo=UTC)

    clocks = at_once(
        3,
        lambda: clock_on(builder=builder, build=build, part=None, operation=None, activity="tidying", now=on),
    )
    assert {getattr(clock, "pk", repr(clock)) for clock in clocks} == {Clock.objects.get().pk}

    def off() -> Entry:
        clock = clocks[0]
        return clock_off(clock=clock, line=LogLine(worked_on=date(2026, 3, 2)), now=on.replace(hour=21))

    entries = at_once(3, off)
    assert {getattr(entry, "pk", repr(entry)) for entry in entries} == {Entry.objects.get().pk}
    assert Entry.objects.get().bench_minutes == 120
    assert not Clock.objects.exists()
