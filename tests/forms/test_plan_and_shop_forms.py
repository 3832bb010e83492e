"""Forms of the plan, the shop, the log book's filters and the forecast's day."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.http import QueryDict
from hypothesis import given
from hypothesis import strategies as st

from builds.forms.build import BuildForm
from builds.forms.fields import DurationField, PlanMinutesField, StepsField
from builds.forms.forecast import AsOfForm
from builds.forms.log.logbook import LogFilterForm
from builds.forms.plan import (
    AssemblyForm,
    BatchForm,
    ClosureForm,
    MilestoneForm,
    NewPartForm,
    PartForm,
)
from builds.forms.route import OperationForm
from builds.forms.shop import MachineForm, MaterialForm, PhotoForm
from builds.forms.two_people import refuse
from builds.models import Build, Operation
from builds.queries.log.logbook import LogFilter
from tests import factories

TODAY = factories.TODAY


def said(field: Any, value: Any) -> str:
    """The sentence with which a field refuses a value."""
    with pytest.raises(ValidationError) as refused:
        field.clean(value)
    (sentence,) = refused.value.messages
    return sentence


# ---- times in the plan ----


@pytest.mark.parametrize(
    ("typed", "minutes"),
    [
        ("12 min", 12.0),
        ("1 h 30", 90.0),
        ("2:30", 150.0),
        ("1.5", 90.0),
        ("45s", 0.75),
        ("~3 h", 180.0),
        ("2-3 h", 150.0),
        ("0", 0.0),
        ("0 min", 0.0),
        ("", None),
        (None, None),
        ("  ", None),
        ("?", None),
    ],
)
def test_a_planned_time_is_read_and_none_is_none(typed: str | None, minutes: float | None) -> None:
    assert PlanMinutesField().clean(typed) == minutes


@pytest.mark.parametrize("typed", ["12", " 5 ", "007", "٣"])
def test_a_bare_number_is_asked_whether_it_is_minutes_or_hours(typed: str) -> None:
    figure = typed.strip()

    assert said(PlanMinutesField(), typed) == f"{figure} of what? Write {figure} min or {figure} h."


def test_an_endless_number_is_refused_in_a_sentence_of_bearable_length() -> None:
    assert "of what?" in said(PlanMinutesField(), "9" * 5000)
    assert len(said(PlanMinutesField(), "9" * 5000)) < 250


def test_a_running_total_is_no_planned_time() -> None:
    assert said(PlanMinutesField(), "to date 12 h") == "A running total is no planned time. Write 12 min or 1 h 30."


@pytest.mark.parametrize("field", [PlanMinutesField(), DurationField()])
def test_what_is_no_time_is_refused_with_what_would_be(field: Any) -> None:
    assert "Write a time like" in said(field, "soon enough")
    assert "200 characters" in said(field, "1 h " * 60)


def test_a_time_that_is_required_says_so() -> None:
    assert said(DurationField(required=True), "unknown") == "Give a time, such as 12 min or 1 h 30."


@given(st.text(max_size=60))
def test_whatever_is_typed_a_planned_time_is_a_number_or_a_sentence(typed: str) -> None:
    sentences: list[str] = []
    minutes = None
    try:
        minutes = PlanMinutesField().clean(typed)
    except ValidationError as refused:
        sentences = refused.messages

    assert minutes is None or (minutes >= 0 and not sentences)
    assert all(len(sentence) > 10 for sentence in sentences)


@given(st.integers(0, 100_000))
def test_a_planned_time_in_the_form_reads_back_as_itself(minutes: int) -> None:
    field = PlanMinutesField()

    assert field.clean(field.prepare_value(float(minutes))) == minutes


# ---- spindle speeds ----


@pytest.mark.parametrize(
    ("typed", "steps"),
    [
        ("60, 110, 200", [60, 110, 200]),
        ("200 60;110  60", [60, 110, 200]),
        ("37.5, 75", [37.5, 75]),
        ("", []),
        (" , ", []),
        ("1e3", [1000]),
    ],
)
def test_speeds_are_read_sorted_and_each_once(typed: str, steps: list[float]) -> None:
    assert StepsField(required=False).clean(typed) == steps


@pytest.mark.parametrize("typed", ["fast", "60, fast", "60/110", "-60", "0", "1000000", "nan", "inf", "60 rpm"])
def test_what_is_no_speed_is_refused_by_its_name(typed: str) -> None:
    sentence = said(StepsField(), typed)

    assert "is not a speed" in sentence or "is not a spindle speed" in sentence


@given(st.lists(st.one_of(st.integers(1, 9999), st.floats(0.1, 9999).map(lambda x: round(x, 2))), unique=True))
def test_speeds_in_the_form_read_back_as_themselves(steps: list[float]) -> None:
    field = StepsField(required=False)

    assert field.clean(field.prepare_value(sorted(steps))) == sorted(steps)


def test_a_machine_with_half_a_range_is_refused_in_the_form(db: None) -> None:
    half = MachineForm({"name": "Lathe", "speeds": "", "speed_low": "60"})
    whole = MachineForm({"name": "Lathe", "speeds": "60 110", "speed_low": "60", "speed_high": "900"})

    assert "or neither" in half.non_field_errors()[0]
    assert whole.is_valid()
    assert whole.save().speeds == [60, 110]


def test_a_material_without_figures_is_a_material(db: None) -> None:
    assert MaterialForm({"name": "Cast iron"}).is_valid()
    heavy = MaterialForm({"name": "Cast iron", "density": "heavy"})
    assert heavy.errors["density"] == ["Give a number, such as 12 or 0.5."]


# ---- the plan ----


@pytest.fixture
def build(db: None) -> Build:
    return factories.make_build()


@pytest.fixture
def foreign(db: None) -> dict[str, Any]:
    """One of each of another build, none of which may be offered or taken."""
    other = factories.make_build("Launch engine")
    return {
        "assembly": factories.make_assembly(other).pk,
        "sheet": factories.make_sheet(other).pk,
        "part": (part := factories.make_part(other)).pk,
        "operation": factories.make_operation(part).pk,
    }


def test_only_a_builds_own_records_can_be_chosen(build: Build, foreign: dict[str, Any]) -> None:
    part = {"number": "1", "name": "Bed", "quantity": 1, "spares": 0}
    refused = {
        "parent": AssemblyForm({"name": "Piston", "parent": foreign["assembly"]}, build=build),
        "assembly": NewPartForm({**part, "assembly": foreign["assembly"]}, build=build),
        "sheet": NewPartForm({**part, "sheet": foreign["sheet"]}, build=build),
        "part": BatchForm({"part": foreign["part"], "number": 1, "blanks": 3, "started_on": "2026-03-02"}, build=build),
        "parts": MilestoneForm({"name": "First run", "parts": [foreign["part"]]}, build=build),
        "assemblies": MilestoneForm({"name": "First run", "assemblies": [foreign["assembly"]]}, build=build),
        "operations": MilestoneForm({"name": "First run", "operations": [foreign["operation"]]}, build=build),
    }
    for field, form in refused.items():
        assert list(form.errors) == [field]

    assert "part" in PhotoForm({"part": foreign["part"]}, build=build).errors


def test_an_assembly_is_not_offered_to_stand_inside_itself(build: Build) -> None:
    assembly, other = factories.make_assembly(build, "Engine"), factories.make_assembly(build, "Cylinder")

    assert list(AssemblyForm(instance=assembly, build=build).fields["parent"].queryset) == [other]


@pytest.mark.parametrize(("rough", "minutes"), [("2 h", 120.0), ("", None), ("0 min", 0.0)])
def test_a_new_part_takes_a_rough_figure_or_none(build: Build, rough: str, minutes: float | None) -> None:
    form = NewPartForm({"number": "1", "name": "Bed", "quantity": 1, "spares": 0, "rough": rough}, build=build)

    assert form.is_valid(), form.errors
    assert form.cleaned_data["rough"] == minutes


@pytest.mark.parametrize(
    ("field", "value"), [("quantity", "0"), ("quantity", "-1"), ("spares", "-1"), ("quantity", "")]
)
def test_a_part_is_needed_at_least_once(build: Build, field: str, value: str) -> None:
    form = NewPartForm({"number": "1", "name": "Bed", "quantity": 1, "spares": 0, field: value}, build=build)
    form.instance.build = build

    assert not form.is_valid()


def test_a_part_may_be_said_to_wait_only_with_a_date(build: Build) -> None:
    part = factories.make_part(build)
    sent = {"number": "14", "name": "Ring", "quantity": 1, "spares": 0, "role": "detail", "waiting_for": "post"}

    assert not PartForm(sent, instance=part, build=build).is_valid()
    good = PartForm({**sent, "waiting_since_on": "2026-03-02"}, instance=part, build=build)
    assert good.is_valid(), good.errors
    assert PartForm(instance=part, build=build).initial["seen"] == str(part.version)


OPERATION = {
    "kind": "turning",
    "basis": "piece",
    "amount": "1",
    "origin": "by hand",
    "unattended_share": "0",
}


def test_an_operation_with_nothing_but_its_kind_has_no_figure_and_no_set_up(build: Build) -> None:
    form = OperationForm(OPERATION, instance=Operation(part=factories.make_part(build)))

    assert form.is_valid(), form.errors
    assert (form.cleaned_data["minutes_per_unit"], form.cleaned_data["setup_minutes"]) == (None, 0.0)
    assert form.cleaned_data["number"] == 0


def test_an_operation_keeps_its_number_where_none_is_given(build: Build) -> None:
    operation = factories.make_part(build).operations.get()

    assert OperationForm(OPERATION, instance=operation).is_valid()
    assert operation.number == 10


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("kind", "wishing"),
        ("basis", "furlong"),
        ("amount", "0"),
        ("amount", "nan"),
        ("amount", "inf"),
        ("unattended_share", "1.5"),
        ("unattended_share", ""),
        ("minutes_per_unit", "12"),
        ("setup_minutes", "20"),
        ("number", "-10"),
        ("number", "100000"),
        ("machine", "987654"),
        ("note", "n" * 5000),
    ],
)
def test_an_operation_that_cannot_be_is_refused(build: Build, field: str, value: str) -> None:
    form = OperationForm({**OPERATION, field: value}, instance=Operation(part=factories.make_part(build)))

    assert not form.is_valid()


def test_an_operation_in_its_form_is_read_back_as_it_stands(build: Build) -> None:
    part = factories.make_part(build, operations=[{"setup_minutes": 20.0, "minutes_per_unit": 0.75, "amount": 4.0}])
    operation = part.operations.get()
    form = OperationForm(instance=operation)
    shown = {name: form[name].value() for name in form.fields}
    back = OperationForm({k: "" if v is None else v for k, v in shown.items()}, instance=operation)

    assert back.is_valid(), back.errors
    saved = back.save(commit=False)
    assert (saved.setup_minutes, saved.minutes_per_unit, saved.amount, saved.number) == (20.0, 0.75, 4.0, 10)


def test_a_title_block_lets_a_build_count_no_shop_time_at_all(build: Build) -> None:
    form = BuildForm({"name": "Beam engine", "units": "mm", "state": "active"}, instance=build)

    assert form.is_valid(), form.errors
    assert form.save().activities_counted == []
    assert "activities_counted" in BuildForm({"activities_counted": ["sleeping"]}, instance=build).errors


def test_a_closure_runs_forward(build: Build) -> None:
    form = ClosureForm({"from_on": "2026-03-02", "to_on": "2026-03-01", "hours_per_week": "0"}, build=build)

    assert "before the first" in form.non_field_errors()[0]


# ---- what is asked for in an address ----


def wanted(build: Build, address: str) -> LogFilter:
    return LogFilterForm(QueryDict(address) or None, build=build).asked()


def test_a_filter_asks_for_what_stands_in_the_address(build: Build) -> None:
    ada = factories.make_builder("Ada")
    part = factories.make_part(build)
    factories.make_entry(build, part=part, builder=ada)
    address = f"builder={ada.pk}&part={part.pk}&activity=any&since=2026-03-01&until=2026-03-31&words=ring&removed=on"

    assert wanted(build, address) == LogFilter(
        builder=ada,
        part=part,
        activity="any",
        since=date(2026, 3, 1),
        until=date(2026, 3, 31),
        words="ring",
        removed=True,
    )


@pytest.mark.parametrize(
    "address",
    [
        "",
        "page=3",
        "builder=987654&part=x&activity=sleeping&since=soon&until=2026-13-45",
        "words=" + "w" * 200,
        "builder=" + "9" * 40,
        "since=0000-00-00",
    ],
)
def test_what_makes_no_sense_in_a_filter_asks_for_nothing(build: Build, address: str) -> None:
    assert wanted(build, address) == LogFilter()


def test_only_builders_of_this_log_and_parts_of_this_build_are_offered(build: Build, foreign: dict[str, Any]) -> None:
    ben = factories.make_builder("Ben")

    assert wanted(build, f"builder={ben.pk}&part={foreign['part']}") == LogFilter()


@pytest.mark.parametrize(
    ("asked", "day"),
    [("2026-03-02", date(2026, 3, 2)), ("", TODAY), ("soon", TODAY), ("2026-11-26", TODAY), ("2026-11-25", TODAY)],
)
def test_an_forecast_is_asked_for_on_a_day_that_has_come(asked: str, day: date) -> None:
    assert AsOfForm({"as_of": asked}, today=TODAY).day() == day
    assert AsOfForm(None, today=TODAY).day() == TODAY
    tomorrow = AsOfForm({"as_of": (TODAY + timedelta(days=1)).isoformat()}, today=TODAY)
    assert "still to come" in tomorrow.errors["as_of"][0]


# ---- a service's refusal finds its field ----


def test_a_refusal_stands_beside_its_field_or_at_the_top(build: Build) -> None:
    form = AsOfForm({"as_of": ""}, today=TODAY)
    assert form.is_valid()
    refuse(form, ValidationError({"as_of": "Not then.", "elsewhere": "Nor there.", "__all__": "Nor at all."}))
    refuse(form, ValidationError("Nor ever."))

    assert form.errors["as_of"] == ["Not then."]
    assert set(form.non_field_errors()) == {"Nor there.", "Nor at all.", "Nor ever."}
