"""The log: entries are recorded once, amended and removed, and never lost."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from builds.models import Build, Entry, Event
from builds.services.changes import Stale
from builds.services.log import entries as log
from builds.services.log.entries import LogLine
from tests import factories

TODAY = factories.TODAY
DAY = date(2026, 3, 2)


def line(**fields: Any) -> LogLine:
    return LogLine(**{"worked_on": DAY, "bench_minutes": 60, **fields})


def ring(build: Build, **fields: Any) -> Any:
    return factories.make_part(
        build, operations=[{"kind": "sawing"}, {"kind": "turning"}, {"kind": "lapping"}], **fields
    )


def record(build: Build, *lines: LogLine, **more: Any) -> log.Recorded:
    return log.record_entries(build=build, lines=lines, by=None, today=TODAY, **more)


# ---- the five shapes of real logs ----


def test_one_line_an_evening(db: None) -> None:
    build = factories.make_build()
    part, ada = factories.make_part(build), factories.make_builder("Ada")

    entry = log.record_entry(build=build, line=line(part=part, builder=ada, good=1), by=ada, today=TODAY)

    assert (entry.builder, entry.operation, entry.good, entry.bench_minutes) == (ada, part.operations.get(), 1, 60)
    assert str(build.events.first()) == "logged 1 h on 14 Piston ring"
    assert build.events.first().by == ada


def test_several_parts_in_one_evening_are_one_event(db: None) -> None:
    build = factories.make_build()
    bed, column = factories.make_part(build, "1", "Bed"), factories.make_part(build, "2", "Column")
    before = build.revision

    recorded = record(build, line(part=bed, bench_minutes=40), line(part=column), line(activity="tidying"))

    assert [entry.bench_minutes for entry in recorded.entries] == [40, 60, 60]
    assert build.revision == before + 1
    assert str(build.events.first()) == "logged 2 h 40 min on 3 lines"


def test_a_lump_since_last_time(db: None) -> None:
    build = factories.make_build()
    since = DAY - timedelta(days=30)

    entry = record(build, line(activity="other", since_on=since, bench_minutes=40 * 60)).entries[0]

    assert (entry.since_on, entry.worked_on, entry.bench_minutes) == (since, DAY, 2400)


def test_the_difference_on_a_running_meter_may_be_more_than_a_day_has(db: None) -> None:
    build = factories.make_build()

    assert record(build, line(activity="other", bench_minutes=5000)).entries[0].bench_minutes == 5000


def test_a_monthly_total_of_rough_or_unknown_time(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build)
    month = {"worked_on": date(2026, 3, 31), "since_on": date(2026, 3, 1), "part": part}

    rough = record(build, line(**month, bench_minutes=1800, bench_is="rough")).entries[0]
    unknown = record(build, line(**month, bench_minutes=None, bench_is="unknown", good=1)).entries[0]
    nothing = record(build, line(**month, bench_minutes=0)).entries[0]

    assert [(e.bench_minutes, e.bench_is) for e in (rough, unknown, nothing)] == [
        (1800, "rough"),
        (None, "unknown"),
        (0, "exact"),
    ]


# ---- a form sent twice ----


def test_a_token_sent_twice_makes_one_entry_and_no_event(db: None) -> None:
    build = factories.make_build()
    first = record(build, line(activity="tidying", token="evening"))
    revision, events = build.revision, Event.objects.count()

    again = record(build, line(activity="tidying", bench_minutes=99, token="evening"))

    assert (first.again, again.again) == (False, True)
    assert again.entries == first.entries
    assert Entry.objects.get().bench_minutes == 60
    assert (build.revision, Event.objects.count()) == (revision, events)


def test_a_line_added_to_a_form_that_was_sent_before_is_not_lost(db: None) -> None:
    build = factories.make_build()
    record(build, line(activity="tidying", token="one"))

    more = record(build, line(activity="tidying", token="one"), line(activity="buying", token="two"))

    assert not more.again
    assert [entry.token for entry in more.entries] == ["one", "two"]
    assert Entry.objects.count() == 2


def test_one_token_may_stand_in_two_builds(db: None) -> None:
    for name in ("Beam engine", "Launch engine"):
        assert not record(factories.make_build(name), line(activity="tidying", token="evening")).again


def test_a_form_sent_again_after_its_entry_was_removed_is_logged_again(db: None) -> None:
    build = factories.make_build()
    first = record(build, line(activity="tidying", token="evening")).entries[0]
    log.remove_entry(entry=first, by=None)

    second = record(build, line(activity="tidying", bench_minutes=75, token="evening"))
    third = record(build, line(activity="tidying", bench_minutes=75, token="evening"))

    assert (second.again, third.again) == (False, True)
    assert list(Entry.objects.kept().values_list("bench_minutes", flat=True)) == [75]
    assert Entry.objects.count() == 2


# ---- all or none ----


def test_one_bad_line_refuses_the_evening_and_says_which(db: None) -> None:
    build = factories.make_build()
    before, events = build.revision, Event.objects.count()

    with pytest.raises(ValidationError) as refused:
        record(build, line(activity="tidying"), line(activity="buying", good=2), line(activity="other"))

    assert refused.value.line == 1  # type: ignore[attr-defined]
    assert not Entry.objects.exists()
    assert (Build.objects.get().revision, build.revision, Event.objects.count()) == (before, before, events)


def test_nothing_to_log_is_refused_kindly(db: None) -> None:
    with pytest.raises(ValidationError, match="give a time, or count some pieces"):
        record(factories.make_build())


def test_what_cannot_be_is_refused_beside_its_field(db: None) -> None:
    build, other = factories.make_build(), factories.make_build("Launch engine")
    part = ring(build)
    foreign, neighbour = factories.make_part(other), factories.make_part(build, number="2", name="Column")
    first = part.operations.first()
    cases: list[tuple[str, str, dict[str, Any]]] = [
        ("worked_on", "has not come yet", {"worked_on": TODAY + timedelta(days=1), "activity": "tidying"}),
        ("part", "another build", {"part": foreign}),
        ("operation", "not on the route of 14 Piston ring", {"part": part, "operation": neighbour.operations.get()}),
        ("batch", "not one of 14 Piston ring", {"part": part, "batch": factories.make_batch(neighbour)}),
        ("operation", "at which operation", {"part": part, "good": 1}),
        ("operation", "at which operation", {"part": part, "scrap": 1}),
        ("scrap", "no scrap", {"part": part, "operation": first, "scrap_reason": "drill wandered"}),
        ("__all__", "cannot be more", {"part": part, "operation": first, "good": 1, "reworked": 2}),
        ("__all__", "after the date", {"part": part, "operation": first, "since_on": DAY + timedelta(days=1)}),
        ("__all__", "say that it is not known", {"part": part, "operation": first, "bench_minutes": None}),
        ("__all__", "say that it is not known", {"part": part, "operation": first, "bench_is": "unknown"}),
        ("__all__", "choose one of the two", {}),
        ("__all__", "choose one of the two", {"part": part, "operation": first, "activity": "tidying"}),
        ("bench_minutes", "Give 0 or more", {"part": part, "operation": first, "bench_minutes": -5}),
        ("activity", "not in the list", {"activity": "sleeping"}),
    ]
    for field, sentence, fields in cases:
        with pytest.raises(ValidationError) as refused:
            record(build, line(**fields))
        assert sentence in " ".join(refused.value.message_dict[field]), (field, fields)

    assert not Entry.objects.exists()


def test_pieces_in_shop_time_are_asked_for_their_operation(db: None) -> None:
    with pytest.raises(ValidationError) as refused:
        record(factories.make_build(), line(activity="tidying", good=1))

    assert "Say at which operation" in refused.value.message_dict["operation"][0]


def test_today_is_a_day_that_has_come(db: None) -> None:
    assert record(factories.make_build(), line(activity="tidying", worked_on=TODAY)).entries[0].worked_on == TODAY


def test_an_operation_tells_its_part_and_a_part_with_one_operation_tells_that(db: None) -> None:
    build = factories.make_build()
    part, simple = ring(build), factories.make_part(build, number="2", name="Column")
    turning = part.operations.get(kind="turning")

    assert record(build, line(operation=turning)).entries[0].part == part
    assert record(build, line(part=simple)).entries[0].operation == simple.operations.get()
    assert record(build, line(part=part)).entries[0].operation is None


def test_more_pieces_than_could_have_come_are_logged_all_the_same(db: None) -> None:
    build = factories.make_build()
    lapping = ring(build, quantity=4).operations.get(kind="lapping")

    assert record(build, line(operation=lapping, good=400)).entries[0].good == 400


# ---- putting right and taking out ----


def test_an_amendment_keeps_what_the_entry_was_before(db: None) -> None:
    build = factories.make_build()
    part, ada = factories.make_part(build), factories.make_builder("Ada")
    entry = record(build, line(part=part, bench_minutes=60, good=3, note="first", token="t")).entries[0]
    revision = build.revision

    log.amend_entry(
        entry=entry, line=line(part=part, bench_minutes=90, good=2, scrap=1, builder=ada), by=ada, today=TODAY
    )

    rows = entry.history.order_by("history_id").values_list("bench_minutes", "good", "scrap", "note")
    assert list(rows) == [(60, 3, 0, "first"), (90, 2, 1, "")]
    kept = Entry.objects.get()
    assert (kept.bench_minutes, kept.builder, kept.token, kept.version) == (90, ada, "t", 2)
    assert Build.objects.get().revision == revision + 1
    assert str(build.events.first()) == "amended the entry 2026-03-02: 10 making"


def test_an_amendment_may_turn_work_on_a_part_into_shop_time(db: None) -> None:
    build = factories.make_build()
    entry = record(build, line(part=factories.make_part(build))).entries[0]

    log.amend_entry(entry=entry, line=line(activity="tidying"), by=None, today=TODAY)

    kept = Entry.objects.get()
    assert (kept.part, kept.operation, kept.activity) == (None, None, "tidying")


def test_a_refused_amendment_leaves_the_entry_as_it_was(db: None) -> None:
    build = factories.make_build()
    entry = record(build, line(part=factories.make_part(build))).entries[0]
    revision = build.revision

    with pytest.raises(ValidationError, match="has not come yet"):
        log.amend_entry(
            entry=entry, line=line(part=entry.part, worked_on=TODAY + timedelta(days=1)), by=None, today=TODAY
        )

    assert Entry.objects.get().worked_on == DAY
    assert Build.objects.get().revision == revision
    assert Entry.history.count() == 1


def test_an_amendment_of_an_older_version_is_refused(db: None) -> None:
    build = factories.make_build()
    entry = record(build, line(activity="tidying")).entries[0]
    log.amend_entry(entry=Entry.objects.get(), line=line(activity="buying"), by=None, today=TODAY, seen=1)

    with pytest.raises(Stale):
        log.amend_entry(entry=entry, line=line(activity="other"), by=None, today=TODAY, seen=1)

    assert Entry.objects.get().activity == "buying"


def test_removing_twice_is_the_same_as_once(db: None) -> None:
    build = factories.make_build()
    entry = record(build, line(activity="tidying")).entries[0]
    same = Entry.objects.get()

    assert log.remove_entry(entry=entry, by=None) is not None
    revision = Build.objects.get().revision
    assert log.remove_entry(entry=entry, by=None) is None
    assert log.remove_entry(entry=same, by=None) is None

    assert Build.objects.get().revision == revision
    assert not Entry.objects.kept().exists()
    assert Entry.objects.count() == 1
