"""Putting an entry right: the form shows it as it is, and sent back untouched it changes nothing."""

from datetime import date
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from builds.forms.log.amend import AmendForm
from builds.forms.log.work import WorkChoices
from builds.models import Build, Entry
from builds.queries.snapshot import PartsAtHand
from builds.services.log.entries import LogLine, amend_entry
from tests import factories

TODAY = factories.TODAY


@pytest.fixture
def build(db: None) -> Build:
    build = factories.make_build()
    factories.make_part(build, quantity=9, operations=[{"kind": "sawing"}, {"kind": "turning"}])
    return build


def fresh(entry: Entry) -> AmendForm:
    return AmendForm(entry=entry, choices=WorkChoices(PartsAtHand(entry.build, TODAY)))


def as_sent(entry: Entry, **changed: Any) -> dict[str, Any]:
    """What a browser sends back: every field as the form shows it, but for what was changed."""
    form = fresh(entry)
    shown = {name: form[name].value() for name in form.fields}
    return {name: "" if value is None else value for name, value in {**shown, **changed}.items()}


def sent(entry: Entry, **changed: Any) -> AmendForm:
    return AmendForm(as_sent(entry, **changed), entry=entry, choices=WorkChoices(PartsAtHand(entry.build, TODAY)))


def line(entry: Entry, **changed: Any) -> LogLine:
    form = sent(entry, **changed)
    assert form.is_valid(), form.errors
    return form.line(form.cleaned_data)


def untouched(entry: Entry) -> None:
    before = {f.attname: getattr(entry, f.attname) for f in Entry._meta.concrete_fields}
    amend_entry(entry=Entry.objects.get(pk=entry.pk), line=line(entry), by=None, today=TODAY, seen=entry.version)
    after = {f.attname: getattr(Entry.objects.get(pk=entry.pk), f.attname) for f in Entry._meta.concrete_fields}
    assert after == {**before, "version": before["version"] + 1}


figures = st.integers(0, 500)


@settings(
    max_examples=15,
    deadline=None,
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    place=st.sampled_from(["sawing", "turning", "", "tidying", "fixtures and tools"]),
    minutes=st.one_of(st.none(), st.integers(0, 20_000)),
    rough=st.booleans(),
    lump=st.booleans(),
    alone=figures,
    good=figures,
    reworked=figures,
    scrap=figures,
    note=st.text(alphabet="aé “½\n", max_size=20).map(str.strip),
)
def test_an_entry_sent_back_untouched_is_the_same_entry(
    build: Build,
    place: str,
    minutes: int | None,
    rough: bool,
    lump: bool,
    alone: int,
    good: int,
    reworked: int,
    scrap: int,
    note: str,
) -> None:
    part = build.parts.get()
    counted = place in ("sawing", "turning")
    entry = Entry.objects.create(
        build=build,
        worked_on=date(2026, 3, 2),
        since_on=date(2026, 2, 1) if lump else None,
        part=part if counted or not place else None,
        operation=part.operations.get(kind=place) if counted else None,
        activity="" if counted else place,
        bench_minutes=minutes,
        bench_is="unknown" if minutes is None else "rough" if rough else "exact",
        unattended_minutes=alone,
        good=good if counted else 0,
        reworked=min(good, reworked) if counted else 0,
        scrap=scrap if counted else 0,
        scrap_reason="cracked" if counted and scrap else "",
        note=note,
        builder=factories.make_builder(),
    )

    untouched(entry)


def test_a_part_that_got_its_first_operation_since_is_shown_by_it(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, operations=[])
    entry = factories.make_entry(build, part=part)
    operation = factories.make_operation(part)

    assert line(entry).operation == operation


def test_a_batch_is_only_what_was_chosen(build: Build) -> None:
    part = build.parts.get()
    entry = factories.make_entry(build, part=part, operation=part.operations.first())
    batch = factories.make_batch(part)

    untouched(entry)
    assert line(entry, batch=batch.pk).batch == batch


def test_a_time_that_is_wiped_out_is_asked_for(build: Build) -> None:
    entry = factories.make_entry(build, activity="tidying")

    assert "“unknown”" in sent(entry, time="").errors["time"][0]
    assert "“unknown”" in sent(entry, time=" ").errors["time"][0]
    assert line(entry, time="0").bench_minutes == 0
    assert line(entry, time="unknown").bench_is == "unknown"


def test_a_meters_long_stretch_may_be_amended_but_not_lengthened_into_days(build: Build) -> None:
    entry = factories.make_entry(build, minutes=5000, activity="other")

    assert line(entry, note="read off the meter").bench_minutes == 5000
    form = sent(entry, time="84 h")
    assert form.is_valid()
    with pytest.raises(Exception, match="more than a day has"):
        form.line(form.cleaned_data)


def test_the_form_carries_the_version_it_showed(build: Build) -> None:
    entry = factories.make_entry(build, activity="tidying")

    assert sent(entry).is_valid()
    assert fresh(entry).initial["seen"] == str(entry.version)
    assert "seen" in sent(entry, seen="x").errors


def test_the_work_cannot_be_left_out(build: Build) -> None:
    entry = factories.make_entry(build, activity="tidying")

    assert sent(entry, other="").errors["other"] == ["Say what was worked on."]
    assert "other" in sent(entry, other="o987654").errors
