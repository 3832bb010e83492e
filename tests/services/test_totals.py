"""What the entries come to, kept by operation, whatever happens to the entries."""

from datetime import date, timedelta
from importlib import import_module
from typing import Any

import pytest
from django.apps import apps
from django.core.management import CommandError, call_command
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from builds.models import Build, Entry, Event, Part, Total
from builds.queries.snapshot import read_parts, read_snapshot
from builds.services.log.entries import LogLine, amend_entry, remove_entry
from builds.services.log.totals import totals_astray
from builds.services.undo import undo
from tests import factories
from tests.factories import TODAY

ROUTE = ({"kind": "turning", "minutes_per_unit": 20.0}, {"kind": "milling", "minutes_per_unit": 10.0})


def two_parts() -> tuple[Build, list[Part]]:
    build = factories.make_build()
    return build, [factories.make_part(build, number, f"Part {number}", operations=ROUTE) for number in ("1", "2")]


def line_for(parts: list[Part], place: int, number: int) -> dict[str, Any]:
    """One of: either operation of either part, a part alone, shop time."""
    if place == 6:
        return {"activity": "tidying", "bench_minutes": number}
    part = parts[place // 3]
    operation = list(part.operations.order_by("number"))[place % 3] if place % 3 < 2 else None
    counts = {"good": number % 4, "scrap": number % 3 % 2} if operation else {}
    unknown = number % 7 == 0
    time = {"bench_minutes": None, "bench_is": "unknown"} if unknown else {"bench_minutes": number}
    return {"part": part, "operation": operation, "unattended_minutes": number % 5, **counts, **time}


class Whatever(TestCase):
    @settings(max_examples=25)
    @given(
        st.lists(
            st.tuples(
                st.sampled_from(("log", "log", "amend", "remove", "undo")),
                st.integers(0, 6),
                st.integers(1, 60),
                st.integers(0, 40),
            ),
            max_size=9,
        )
    )
    def test_totals_equal_the_sums_after_any_run_of_changes(self, steps: list[tuple[str, int, int, int]]) -> None:
        build, parts = two_parts()
        for what, place, number, ago in steps:
            fields = {**line_for(parts, place, number), "worked_on": TODAY - timedelta(days=ago)}
            kept = list(Entry.objects.kept().order_by("pk"))
            events = list(Event.objects.filter(undoable=True, undone_by=None).order_by("-pk"))
            if what == "log":
                factories.make_entry(build, minutes=fields.pop("bench_minutes"), **fields)
            elif what == "amend" and kept:
                amend_entry(entry=kept[number % len(kept)], line=LogLine(**fields), by=None, today=TODAY)
            elif what == "remove" and kept:
                remove_entry(entry=kept[number % len(kept)], by=None)
            elif what == "undo" and events and events[0].type in ("log", "amend entry", "remove entry"):
                undo(event=events[0], by=None)
            assert totals_astray(build) == {}
        whole, some = read_snapshot(build, TODAY), read_parts(build, TODAY, [part.pk for part in parts])
        assert [row.plan for row in some.parts] == [row.plan for row in whole.parts]
        assert [row.bench_minutes for row in some.parts] == [row.bench_minutes for row in whole.parts]


@pytest.mark.django_db
def test_an_earlier_day_is_told_by_the_entries_and_not_by_the_totals():
    build, (part, _other) = two_parts()
    turning = part.operations.get(kind="turning")
    factories.make_entry(build, date(2026, 3, 2), part=part, operation=turning, good=1)
    factories.make_entry(build, date(2026, 3, 9), part=part, operation=turning, good=1)
    then = read_parts(build, date(2026, 3, 5), [part.pk]).by_part[part.pk]
    assert then.operations[0].tally.good == 1
    assert read_parts(build, TODAY, [part.pk]).by_part[part.pk].operations[0].tally.good == 2


@pytest.mark.django_db
def test_a_total_that_is_astray_is_told_of_and_made_anew(capsys):
    build, (part, _other) = two_parts()
    factories.make_entry(build, part=part, operation=part.operations.get(kind="turning"), good=3)
    Total.objects.update(good=4)
    with pytest.raises(CommandError, match="1 total is not"):
        call_command("check_totals")
    assert "beam-engine" in capsys.readouterr().out
    call_command("check_totals", renew=True)
    assert totals_astray(build) == {}
    assert Total.objects.get().good == 3


@pytest.mark.django_db
def test_an_older_data_folder_gets_its_totals_counted():
    build, parts = two_parts()
    for place in range(7):
        for number in (3, 7, 11):
            line = line_for(parts, place, number)
            factories.make_entry(build, minutes=line.pop("bench_minutes"), **line)
    Total.objects.all().delete()
    assert len(totals_astray(build)) == 6
    import_module("builds.migrations.0005_totals").count(apps, None)
    assert totals_astray(build) == {}


@pytest.mark.django_db
def test_a_change_of_the_plan_leaves_the_totals_alone():
    build, (part, _other) = two_parts()
    factories.make_entry(build, part=part, operation=part.operations.get(kind="turning"), good=3)
    kept = Total.objects.get().pk
    part.name = "Piston"
    factories.plan.save(record=part, by=None)
    assert Total.objects.get().pk == kept
