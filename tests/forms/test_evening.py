"""The bench form: what people type at the end of an evening, and what becomes of it."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from builds.forms.log.bench import EveningForm, EveningLines
from builds.forms.log.counts import reasons_used
from builds.forms.log.work import WorkChoices
from builds.models import Build, Entry, Operation
from builds.queries.log.bench import likely_picks
from builds.queries.snapshot import PartsAtHand
from builds.services.log.entries import LogLine, record_entries
from tests import factories

TODAY = factories.TODAY
DAY = date(2026, 3, 2)


@pytest.fixture
def build(db: None) -> Build:
    build = factories.make_build()
    factories.make_part(build, "1", "Bed", operations=[{"kind": "milling"}, {"kind": "drilling"}], quantity=9)
    factories.make_part(build, "2", "Column", quantity=9)
    return build


def work(build: Build, number: str, kind: str) -> str:
    return f"o{build.parts.get(number=number).operations.get(kind=kind).pk}"


def formset(build: Build, *lines: dict[str, Any], **more: Any) -> Any:
    data = {"form-TOTAL_FORMS": len(lines), "form-INITIAL_FORMS": 0, **more}
    data |= {f"form-{n}-{name}": value for n, line in enumerate(lines) for name, value in line.items()}
    return EveningLines(
        data, choices=WorkChoices(PartsAtHand(build, TODAY)), picks=likely_picks(PartsAtHand(build, TODAY))
    )


def read(build: Build, *lines: dict[str, Any], since: date | None = None) -> list[LogLine]:
    """The lines that a form makes; fails where the form refuses one."""
    forms = formset(build, *lines)
    assert forms.is_valid(), forms.errors
    evening = {"worked_on": TODAY, "since_on": since, "builder": None}
    read: list[LogLine] = forms.lines(evening)
    assert not any(form.errors for form in forms.forms), forms.errors
    return read


def refusals(build: Build, *lines: dict[str, Any]) -> list[dict[str, list[str]]]:
    """What each line of a form was refused for, by its fields and then by what they add up to."""
    forms = formset(build, *lines)
    if forms.is_valid():
        forms.lines({"worked_on": TODAY, "since_on": None, "builder": None})
    return [dict(form.errors) for form in forms.forms]


def tidying(**fields: Any) -> dict[str, Any]:
    return {"other": "atidying", "token": "t", **fields}


def test_an_evening_in_one_touch_and_one_word(build: Build) -> None:
    milling = work(build, "1", "milling")

    (line,) = read(build, {"work": milling, "usual": "120", "good": "2", "token": "t"})

    assert line.operation is not None
    assert (f"o{line.operation.pk}", line.bench_minutes, line.bench_is, line.good) == (milling, 120, "exact", 2)
    assert (line.worked_on, line.token, line.activity) == (TODAY, "t", "")


def test_nothing_said_makes_no_line_and_is_refused_kindly(build: Build) -> None:
    lines = read(build, {"work": work(build, "1", "milling"), "token": "t"})

    assert lines == []
    with pytest.raises(ValidationError, match="There is nothing to log yet"):
        record_entries(build=build, lines=lines, by=None, today=TODAY)


def test_a_blank_second_line_is_skipped_and_a_third_is_not(build: Build) -> None:
    lines = read(build, tidying(time="1h"), {"other": "", "token": "u"}, tidying(time="2h", token="v"))

    assert [(line.bench_minutes, line.token) for line in lines] == [(60, "t"), (120, "v")]


def test_time_without_work_is_asked_what_it_was_for(build: Build) -> None:
    assert refusals(build, {"time": "2h"}) == [{"other": ["Say what was worked on."]}]


def test_something_else_goes_before_the_pick(build: Build) -> None:
    (line,) = read(build, {"work": work(build, "1", "milling"), "other": "abuying", "time": "1h"})

    assert (line.part, line.operation, line.activity) == (None, None, "buying")


@pytest.mark.parametrize("typed", ["2h30", "unknown"])
def test_a_typed_time_and_another_tapped_one_are_never_chosen_between_unseen(build: Build, typed: str) -> None:
    forms = formset(build, tidying(usual="30", time=typed))
    assert not forms.is_valid()
    assert forms.forms[0].errors == {
        "time": [f"30 min was chosen and {typed} typed: the typed one stands now. Send it again."]
    }
    # The form that comes back has let go of the chip.
    assert forms.forms[0]["usual"].value() is None
    assert read(build, tidying(usual="30", time=" "))[0].bench_minutes == 30
    assert read(build, tidying(usual="30", time="0:30"))[0].bench_minutes == 30


@pytest.mark.parametrize(
    ("typed", "minutes", "sure"),
    [
        ("2:30", 150, "exact"),
        ("1½ h", 90, "exact"),
        ("150m", 150, "exact"),
        ("19:00-21:15", 135, "exact"),
        ("3-4 h", 210, "rough"),
        ("~3h", 180, "rough"),
        ("unknown", None, "unknown"),
        ("?", None, "unknown"),
        ("0", 0, "exact"),
        ("24h", 1440, "exact"),
    ],
)
def test_zero_unknown_and_roughly_are_three_things(build: Build, typed: str, minutes: int | None, sure: str) -> None:
    (line,) = read(build, tidying(time=typed))

    assert (line.bench_minutes, line.bench_is) == (minutes, sure)
    assert record_entries(build=build, lines=[line], by=None, today=TODAY).entries[0].bench_is == sure


def test_counting_pieces_whose_time_is_in_the_log_adds_no_minutes_of_its_own(build: Build) -> None:
    """Their time was logged before, by the clock or on the evenings that led up to the count."""
    milling = work(build, "1", "milling")
    operation = Operation.objects.get(pk=milling[1:])
    factories.make_entry(build, DAY, 90, part=operation.part, operation=operation)
    (line,) = read(build, {"work": milling, "good": "3"})

    assert (line.bench_minutes, line.bench_is, line.good) == (0, "exact", 3)


def test_counting_pieces_without_any_time_for_them_leaves_their_time_unknown(build: Build) -> None:
    (line,) = read(build, {"work": work(build, "1", "milling"), "good": "3"})

    assert (line.bench_minutes, line.bench_is, line.good) == (None, "unknown", 3)


@pytest.mark.parametrize("typed", ["90", "two and a half moons", "-1h", "1e9", "9" * 150, "25:99"])
def test_what_is_not_understood_is_refused_in_a_sentence(build: Build, typed: str) -> None:
    (errors,) = refusals(build, tidying(time=typed))

    assert set(errors) == {"time"}
    assert errors["time"][0].endswith(".")


def test_a_meter_logs_what_it_ran_on_since_the_log(build: Build) -> None:
    factories.make_entry(build, DAY, 1280 * 60, since_on=date(2026, 1, 1), activity="other")

    (line,) = read(build, tidying(time="to date 1,283"))

    assert (line.bench_minutes, line.bench_is) == (180, "exact")


def test_a_meter_leaves_out_shop_time_that_the_headline_leaves_out(db: None) -> None:
    build = factories.make_build(activities_counted=["tidying"])
    factories.make_entry(build, DAY, 600, activity="buying")
    factories.make_entry(build, DAY, 600, activity="tidying")

    assert read(build, tidying(time="to date 12 h"))[0].bench_minutes == 120


def test_the_first_reading_of_a_meter_may_be_the_whole_build(build: Build) -> None:
    assert read(build, tidying(time="to date 1,283"))[0].bench_minutes == 1283 * 60


def test_a_meter_does_not_run_back(build: Build) -> None:
    factories.make_entry(build, DAY, 600, activity="other")

    assert refusals(build, tidying(time="to date 9 h")) == [
        {"time": ["The log stands at 10 h already, and a running total does not go back."]}
    ]
    assert read(build, tidying(time="to date 10 h"))[0].bench_minutes == 0


def test_more_than_a_day_needs_the_day_it_began(build: Build) -> None:
    assert "more than a day" in refusals(build, tidying(time="24h01"))[0]["time"][0]
    (line,) = read(build, tidying(time="40h"), since=TODAY - timedelta(days=20))

    assert (line.bench_minutes, line.since_on) == (2400, TODAY - timedelta(days=20))


def test_only_the_line_that_is_wrong_is_refused(build: Build) -> None:
    assert refusals(build, tidying(time="1h"), tidying(time="99h")) == [
        {},
        {"time": ["That is more than a day has. For several days in one line, give the day it began under “Since”."]},
    ]


def test_time_that_a_machine_ran_by_itself_is_kept_apart(build: Build) -> None:
    (line,) = read(build, tidying(unattended="9 h"))
    assert (line.bench_minutes, line.unattended_minutes) == (0, 540)

    for typed, sentence in (("to date 90 h", "not a running total"), ("unknown", "leave it empty")):
        (errors,) = refusals(build, tidying(unattended=typed))
        assert set(errors) == {"unattended"}
        assert sentence in errors["unattended"][0]


@pytest.mark.parametrize("value", ["x", "o0", "o987654", "p987654", "asleeping", "o", "o-1", "o" + "9" * 40, "o²"])
@pytest.mark.parametrize("field", ["work", "other"])
def test_tampered_work_is_refused(build: Build, field: str, value: str) -> None:
    (errors,) = refusals(build, {field: value, "time": "1h"})

    assert set(errors) == {"other"}


def test_work_of_another_build_is_refused(build: Build) -> None:
    foreign = factories.make_part(factories.make_build("Launch engine"))

    assert set(refusals(build, {"work": f"p{foreign.pk}", "time": "1h"})[0]) == {"other"}


def test_a_pick_that_has_gone_since_the_page_was_opened_is_still_taken(build: Build) -> None:
    """Another builder may have logged the last piece meanwhile; this evening happened all the same."""
    milling = work(build, "1", "milling")
    data = {"form-TOTAL_FORMS": 1, "form-INITIAL_FORMS": 0, "form-0-work": milling, "form-0-time": "1h"}
    forms = EveningLines(data, choices=WorkChoices(PartsAtHand(build, TODAY)), picks=())

    assert forms.is_valid(), forms.errors
    (line,) = forms.lines({"worked_on": TODAY})
    assert f"o{line.operation.pk}" == milling


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("usual", "1441", "not in the list"),
        ("good", "-1", "Give 0 or more"),
        ("good", "100001", "Give at most 100000"),
        ("good", "9" * 5000, ""),
        ("good", "2.5", "whole number"),
        ("scrap", "-1", "Give 0 or more"),
        ("reworked", "two", "whole number"),
        ("note", "n" * 5000, "At most 4000"),
        ("scrap_reason", "n" * 121, "At most 120"),
        ("batch", "987654", "not in the list"),
        ("token", "t" * 65, "At most 64"),
    ],
)
def test_tampered_and_endless_fields_are_refused_each_in_its_place(
    build: Build, field: str, value: str, sentence: str
) -> None:
    (errors,) = refusals(build, tidying(time="1h", **{field: value}))

    assert set(errors) == {field}
    assert sentence in errors[field][0]


@pytest.mark.parametrize("total", ["", "x", "-1", "31", "1000000"])
def test_a_tampered_number_of_lines_is_refused(build: Build, total: str) -> None:
    forms = formset(build, tidying(time="1h"), **{"form-TOTAL_FORMS": total})
    evening = {"worked_on": TODAY, "since_on": None, "builder": None}

    assert not forms.is_valid() or forms.lines(evening) == []
    assert len(forms.forms) <= 30


def test_the_longest_note_is_kept_whole(build: Build) -> None:
    (line,) = read(build, tidying(time="1h", note="n" * 4000))

    assert record_entries(build=build, lines=[line], by=None, today=TODAY).entries[0].note == "n" * 4000


def test_a_batch_is_the_one_chosen_or_the_parts_only_one(build: Build) -> None:
    milling = work(build, "1", "milling")
    first = factories.make_batch(build.parts.get(number="1"))
    assert read(build, {"work": milling, "time": "1h"})[0].batch == first

    second = factories.make_batch(build.parts.get(number="1"), number=2)
    assert read(build, {"work": milling, "time": "1h"})[0].batch is None
    assert read(build, {"work": milling, "time": "1h", "batch": str(second.pk)})[0].batch == second
    assert read(build, tidying(time="1h"))[0].batch is None


def test_a_form_sent_twice_logs_its_added_line_once_as_well(build: Build) -> None:
    """A line that was added on the page comes back without a token of its own."""
    sent = [tidying(time="1h"), {"other": "abuying", "time": "2h"}]
    for _ in range(2):
        record_entries(build=build, lines=read(build, *sent), by=None, today=TODAY)

    assert sorted(Entry.objects.values_list("bench_minutes", flat=True)) == [60, 120]


def test_an_added_line_keeps_its_token_where_the_first_says_nothing(build: Build) -> None:
    sent = [{"token": "t"}, {"other": "abuying", "time": "2h"}]

    assert [line.token for line in read(build, *sent)] == ["t-1"]


def test_a_fresh_form_offers_the_first_pick_and_a_token_of_its_own(build: Build) -> None:
    first, second = (
        EveningLines(
            choices=WorkChoices(PartsAtHand(build, TODAY)), picks=likely_picks(PartsAtHand(build, TODAY))
        ).forms[0]
        for _ in range(2)
    )

    assert first.initial["work"] == likely_picks(PartsAtHand(build, TODAY))[0].value
    assert first.initial["token"] != second.initial["token"]
    assert [str(counter.name) for counter in first.counters] == ["good", "reworked", "scrap"]


def test_everything_that_can_be_worked_on_is_offered_once(build: Build) -> None:
    factories.make_part(build, "3", "Nut", operations=[])
    choices = WorkChoices(PartsAtHand(build, TODAY))

    offered = [value for _, group in choices.grouped() for value, _ in group]

    assert len(offered) == len(set(offered)) == 6 + 3 + 1 + 1
    for value in offered:
        part, operation, activity = choices.chosen(value)
        assert (part is not None) != bool(activity)
        assert operation is None or operation.part_id == part.pk  # type: ignore[union-attr]


def test_the_evening_takes_a_date_and_asks_for_one_it_can_read(db: None) -> None:
    good = EveningForm({"worked_on": "2026-11-25", "since_on": ""})
    assert good.is_valid()
    assert good.cleaned_data["worked_on"] == TODAY
    for typed, sentence in (("yesterday", "That is not a date. Write it as 2026-11-25."), ("", "This is needed.")):
        bad = EveningForm({"worked_on": typed})
        assert sentence in bad.errors["worked_on"][0]
    assert not EveningForm({"worked_on": "2026-11-25", "builder": "987654"}).is_valid()


def test_the_builds_own_scrap_reasons_come_first_and_none_twice() -> None:
    reasons = reasons_used(["cracked", "drill wandered"])

    assert reasons[:2] == ["cracked", "drill wandered"]
    assert len(reasons) == len(set(reasons)) == 6
