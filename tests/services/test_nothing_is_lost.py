"""Whatever is done to a log, in whatever order: the revision rises by one each time, and no entry is lost."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.core.cache import cache
from django.core.exceptions import ValidationError
from django.db import transaction
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from builds.models import Build, Entry, Event
from builds.queries.plan.builds_list import builds_list
from builds.queries.snapshot import read_snapshot
from builds.services.log import entries as log
from builds.services.log.entries import LogLine
from builds.services.undo import undo
from tests import factories

TODAY = factories.TODAY
moves = st.lists(
    st.tuples(
        st.sampled_from(["record", "amend", "remove", "undo"]),
        st.integers(0, 9),
        st.sampled_from(["tidying", "buying", "part"]),
        st.one_of(st.none(), st.integers(0, 500)),
    ),
    max_size=10,
)


@pytest.fixture
def build(db: None) -> Build:
    made = factories.make_build(activities_counted=["tidying"])
    factories.make_part(made)
    return made


def line(build: Build, work: str, minutes: int | None, which: int) -> LogLine:
    return LogLine(
        worked_on=date(2026, 3, 2) + timedelta(days=which),
        part=build.parts.get() if work == "part" else None,
        activity="" if work == "part" else work,
        bench_minutes=minutes,
        bench_is="unknown" if minutes is None else "exact",
        good=which if work == "part" else 0,
    )


def do(build: Build, began_at: int, move: str, which: int, work: str, minutes: int | None) -> bool:
    """Do one thing; whether it was a change. What is not there to be changed, or refused, is none."""
    build, given = Build.objects.get(pk=build.pk), line(build, work, minutes, which)
    if move == "record":
        log.record_entry(build=build, line=given, by=None, today=TODAY)
        return True
    if move == "undo":
        events = list(Event.objects.filter(build=build, revision__gt=began_at))
        if not events:
            return False
        try:
            undo(event=events[which % len(events)], by=None)
        except ValidationError:
            return False
        return True
    entries = list(Entry.objects.filter(build=build))
    if not entries:
        return False
    entry = entries[which % len(entries)]
    if move == "remove":
        return log.remove_entry(entry=entry, by=None) is not None
    log.amend_entry(entry=entry, line=given, by=None, today=TODAY)
    return True


def sums_from_the_table(build: Build) -> tuple[int, int]:
    kept = [entry for entry in Entry.objects.filter(build=build) if entry.removed_at is None]
    return len(kept), sum(e.bench_minutes or 0 for e in kept if e.activity in ("", "tidying"))


@settings(
    max_examples=12,
    deadline=None,
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(moves=moves)
def test_no_order_of_changes_loses_an_entry_or_skips_a_revision(build: Build, moves: list[Any]) -> None:
    # Every example takes its changes back, so the next one comes to the same revisions by other ways.
    cache.clear()
    with transaction.atomic():
        seen: set[int] = set()
        for move in moves:
            before = Build.objects.get(pk=build.pk).revision
            changed = do(build, build.revision, *move)
            assert Build.objects.get(pk=build.pk).revision == before + changed
            there = set(Entry.objects.values_list("pk", flat=True))
            assert seen <= there
            seen = there
        number, minutes = sums_from_the_table(build)
        (row,) = builds_list(TODAY)
        assert (row.entries, row.minutes) == (number, minutes)
        snapshot = read_snapshot(Build.objects.get(pk=build.pk), TODAY)
        assert (len(snapshot.rows), snapshot.headline_minutes) == (number, minutes)
        transaction.set_rollback(True)
