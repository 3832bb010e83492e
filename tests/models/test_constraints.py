"""Every constraint holds in the database itself, and says its sentence to whoever fills a form."""

import re
from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction

from builds.models import (
    Assembly,
    Batch,
    Build,
    Clock,
    Closure,
    Drawing,
    Entry,
    Event,
    Exhibit,
    Instrument,
    Machine,
    Material,
    Measurement,
    Milestone,
    Need,
    Offer,
    Operation,
    Part,
    Remark,
    Sheet,
    Size,
    Stock,
    Total,
)
from builds.models.choices import Activity
from builds.models.total import Tally
from tests import factories

DAY = date(2026, 3, 2)
EVENING = datetime(2026, 3, 2, 19, tzinfo=UTC)


def good_records() -> dict[type[models.Model], Any]:
    """One sound record of each kind that has constraints; each test then spoils one thing in one of them."""
    build = Build.objects.create(name="Beam engine", slug="beam-engine", started_on=date(2026, 1, 1), revision=1)
    part = Part.objects.create(build=build, number="14", name="Piston ring")
    operation = Operation.objects.create(part=part, number=10, kind="turning")
    other = Part.objects.create(build=build, number="15", name="Piston")
    total_of(part, None)
    at_work = {"build": build, "part": part, "operation": operation}
    return {
        Build: build,
        Assembly: Assembly.objects.create(build=build, name="Cylinder"),
        Sheet: Sheet.objects.create(build=build, number="1"),
        Part: part,
        Operation: operation,
        Need: Need.objects.create(part=part, needed_part=other),
        Size: (size := Size.objects.create(part=part, name="bore")),
        Milestone: Milestone.objects.create(build=build, name="First turn on air"),
        Batch: Batch.objects.create(part=part, number=1, blanks=10, started_on=DAY),
        Machine: factories.make_machine(),
        Instrument: factories.make_instrument(),
        Measurement: Measurement.objects.create(size=size, piece=1, millimetres=12.0, measured_on=DAY, token="form-1"),
        Material: (material := factories.make_material()),
        Stock: Stock.objects.create(material=material, section="20 dia", length="1000"),
        Offer: Offer.objects.create(material=material, section="20 dia", length="1000"),
        Closure: Closure.objects.create(build=build, from_on=DAY, to_on=DAY),
        Entry: Entry.objects.create(**at_work, worked_on=DAY, bench_minutes=60, good=2),
        Clock: Clock.objects.create(builder=factories.make_builder(), build=build, part=part, started_at=EVENING),
        Exhibit: Exhibit.objects.create(build=build),
        Remark: Remark.objects.create(sheet=Sheet.objects.get(), drawing_says="12", we_made="12.5"),
        Drawing: Drawing.objects.create(sheet=Sheet.objects.get(), file="a.pdf"),
        Event: Event.objects.create(build=build, revision=1, type="edit build"),
        Total: total_of(part, operation),
    }


def total_of(part: Part, operation: Operation | None) -> Total:
    total = Total.of(part.pk, operation and operation.pk, Tally(entries=1, last_on=DAY))
    total.save()
    return total


# Constraint, record, what spoils it, and a piece of the sentence that says so.
SPOILT: list[tuple[str, type[models.Model], dict[str, Any], str]] = [
    ("build_units_known", Build, {"units": "ft"}, "Choose one of: millimetres, inches."),
    ("build_finished_on_when_finished", Build, {"finished_on": date(2026, 3, 3)}, "Only a finished build has a day"),
    (
        "build_finished_after_start",
        Build,
        {"state": "finished", "started_on": date(2026, 3, 4), "finished_on": date(2026, 3, 3)},
        "finished before its start",
    ),
    ("part_work_has_no_pieces", Part, {"role": "work on an assembly", "quantity": 2}, "needed once, without spares"),
    ("part_work_has_no_pieces", Part, {"role": "work on an assembly", "quantity": 1, "spares": 1}, "without spares"),
    ("exhibit_words_of_a_day", Exhibit, {"bench_words": "We bore."}, "belong to a day"),
    ("remark_place_whole", Remark, {"page": 1}, "a page and a point on it"),
    ("remark_place_whole", Remark, {"page": 1, "across": 0.5, "down": 1.5}, "a page and a point on it"),
    ("drawing_state_known", Drawing, {"state": "lost"}, "Choose one of: "),
    ("drawing_ready_has_pages", Drawing, {"state": "ready"}, "has a page"),
    ("build_state_known", Build, {"state": "lost"}, "Choose one of: under way, resting, finished."),
    ("build_wish_after_start", Build, {"wished_finish_on": date(2025, 12, 31)}, "lies before the start"),
    ("build_hourly_figure_not_negative", Build, {"hourly_figure": Decimal(-1)}, "An hour cannot have a negative cost."),
    ("part_arrived_after_ordered", Part, {"ordered_on": DAY, "arrived_on": date(2026, 3, 1)}, "before it was ordered"),
    ("build_budget_not_negative", Build, {"budget": Decimal("-1")}, "A budget cannot be negative."),
    ("stock_units_known", Stock, {"units": "ft"}, "Choose one of: millimetres, inches."),
    ("stock_pieces_sane", Stock, {"pieces": 100_001}, "at most 100,000 pieces"),
    ("offer_units_known", Offer, {"units": "ft"}, "Choose one of: millimetres, inches."),
    ("offer_price_not_negative", Offer, {"price": Decimal("-0.01")}, "A price cannot be negative."),
    ("part_blank_cost_not_negative", Part, {"blank_cost": Decimal("-0.01")}, "A blank cannot have a negative cost."),
    ("assembly_not_its_own_parent", Assembly, {"parent_id": "own"}, "cannot stand inside itself"),
    ("part_role_known", Part, {"role": "found"}, "Choose one of: detail, bought in, jig or tool, work on an assembly."),
    ("part_waiting_known", Part, {"waiting_for": "luck", "waiting_since_on": DAY}, "Choose one of: "),
    ("part_needed_at_all", Part, {"quantity": 0}, "needed at least once"),
    ("part_waiting_since_a_date", Part, {"waiting_for": "post"}, "since when, or leave both empty"),
    ("part_waiting_since_a_date", Part, {"waiting_since_on": DAY}, "since when, or leave both empty"),
    ("part_mass_positive", Part, {"finished_mass_grams": 0.0}, "A mass is more than nothing."),
    ("operation_kind_known", Operation, {"kind": "wishing"}, "Choose one of: "),
    ("operation_basis_known", Operation, {"basis": "furlong"}, "Choose one of: "),
    ("operation_origin_known", Operation, {"origin": "heaven"}, "Choose one of: "),
    ("operation_setup_not_negative", Operation, {"setup_minutes": -1.0}, "no less than nothing"),
    ("operation_amount_positive", Operation, {"amount": 0.0}, "more than nothing"),
    ("operation_minutes_not_negative", Operation, {"minutes_per_unit": -0.5}, "no less than nothing"),
    ("operation_share_is_a_share", Operation, {"unattended_share": 1.01}, "between 0 and 1"),
    ("operation_share_is_a_share", Operation, {"unattended_share": -0.01}, "between 0 and 1"),
    ("need_of_another_part", Need, {"needed_part_id": "its part"}, "that of its route"),
    ("batch_has_blanks", Batch, {"blanks": 0}, "at least one blank"),
    ("closure_runs_forward", Closure, {"to_on": date(2026, 3, 1)}, "The last day lies before the first."),
    ("closure_pace_sane", Closure, {"hours_per_week": 169.0}, "between 0 and 168"),
    ("closure_pace_sane", Closure, {"hours_per_week": -1.0}, "between 0 and 168"),
    ("machine_speed_range", Machine, {"speed_low": 500.0, "speed_high": 60.0}, "the lowest first"),
    ("machine_speed_range", Machine, {"speed_low": 0.0, "speed_high": 60.0}, "the lowest first"),
    ("machine_out_of_order_since_a_date", Machine, {"out_of_order_note": "belt"}, "out of order"),
    ("machine_power_positive", Machine, {"power_watts": 0.0}, "more than nothing"),
    ("material_density_sane", Material, {"density": 25_000.0}, "25,000 kg/m³"),
    ("material_density_sane", Material, {"density": 0.0}, "25,000 kg/m³"),
    ("material_speeds_positive", Material, {"cutting_speed": 0.0}, "more than nothing"),
    ("material_speeds_positive", Material, {"cutting_speed_carbide": -3.0}, "more than nothing"),
    ("entry_activity_known", Entry, {"activity": "sleeping"}, "Choose one of: "),
    ("entry_time_known", Entry, {"bench_is": "felt"}, "Choose one of: "),
    ("entry_part_or_activity", Entry, {"activity": "tidying"}, "choose one of the two"),
    ("entry_part_or_activity", Entry, {"part": None, "operation": None}, "choose one of the two"),
    ("entry_unknown_time_has_no_minutes", Entry, {"bench_is": "unknown"}, "say that it is not known"),
    ("entry_unknown_time_has_no_minutes", Entry, {"bench_minutes": None}, "say that it is not known"),
    ("entry_reworked_within_good", Entry, {"reworked": 3}, "they cannot be more"),
    ("entry_since_before_date", Entry, {"since_on": date(2026, 3, 3)}, "after the date of the entry"),
    (
        "entry_pieces_need_a_part",
        Entry,
        {"part": None, "operation": None, "activity": "tidying", "good": 1},
        "not in shop time",
    ),
    (
        "entry_pieces_need_a_part",
        Entry,
        {"part": None, "operation": None, "activity": "tidying", "good": 0, "scrap": 1},
        "not in shop time",
    ),
    ("clock_activity_known", Clock, {"part": None, "activity": "sleeping"}, "Choose one of: "),
    ("clock_part_or_activity", Clock, {"activity": "tidying"}, "choose one of the two"),
    ("clock_part_or_activity", Clock, {"part": None}, "choose one of the two"),
    ("measurement_gauged_known", Measurement, {"millimetres": None, "gauged": "nearly"}, "Choose one of: "),
    ("measurement_piece_counted", Measurement, {"piece": 0}, "Pieces are counted from 1."),
    ("measurement_says_one_thing", Measurement, {"gauged": "go"}, "one of the two"),
    ("measurement_says_one_thing", Measurement, {"millimetres": None}, "one of the two"),
    ("event_type_known", Event, {"type": "guess"}, "Choose one of: "),
]


@pytest.mark.parametrize(("name", "model", "fields", "sentence"), SPOILT)
def test_what_breaks_a_constraint_is_refused_by_the_database_and_told_in_a_sentence(
    db: None, name: str, model: type[models.Model], fields: dict[str, Any], sentence: str
) -> None:
    record = good_records()[model]
    meant = {"own": record.pk, "its part": getattr(record, "part_id", None)}
    fields = {key: meant.get(value, value) if isinstance(value, str) else value for key, value in fields.items()}
    constraint = next(one for one in model._meta.constraints if one.name == name)

    with pytest.raises(IntegrityError, match=name), transaction.atomic():
        model._default_manager.filter(pk=record.pk).update(**fields)
    for field, value in fields.items():
        setattr(record, field, value)
    with pytest.raises(ValidationError, match=re.escape(sentence)):
        constraint.validate(model, record)
    # A word that is none of a field's choices is refused before its constraint is asked, in a sentence about choices;
    # a field that no form shows has its constraint alone.
    shown = [model._meta.get_field(field) for field in fields]
    chosen = "_known" in name and any(field.editable and field.choices for field in shown)
    with pytest.raises(ValidationError, match="not in the list" if chosen else re.escape(sentence)):
        record.full_clean()


# Constraint, a record like one that is there already, and its sentence ("" where no form can come to it).
TWICE: list[tuple[str, Callable[[dict[type[models.Model], Any]], models.Model], str]] = [
    ("assembly", lambda r: Assembly(build=r[Build], name="Cylinder"), "an assembly of that name already"),
    ("sheet", lambda r: Sheet(build=r[Build], number="1"), "a sheet of that number already"),
    ("part", lambda r: Part(build=r[Build], number="14", name="Other"), "a part of that item number already"),
    (
        "operation",
        lambda r: Operation(part=r[Part], number=10, kind="turning"),
        "an operation of that number already",
    ),
    (
        "batch",
        lambda r: Batch(part=r[Part], number=1, blanks=2, started_on=DAY),
        "a batch of that number already",
    ),
    ("need", lambda r: Need(part=r[Part], needed_part=r[Need].needed_part), "That is said already."),
    ("size", lambda r: Size(part=r[Part], name="bore"), "a size of that name already"),
    ("milestone", lambda r: Milestone(build=r[Build], name="First turn on air"), "a milestone of that name already"),
    (
        "entry token",
        lambda r: Entry(
            build=r[Build], part=r[Part], operation=r[Operation], worked_on=DAY, bench_minutes=1, token=r[Entry].token
        ),
        "taken already",
    ),
    ("event", lambda r: Event(build=r[Build], revision=r[Event].revision, type="edit build"), "taken already"),
    ("machine", lambda r: Machine(name="Lathe"), "The shop has a machine of that name already."),
    ("instrument", lambda r: Instrument(name="Micrometer"), "taken already"),
    (
        "measurement token",
        lambda r: Measurement(size=r[Size], piece=2, millimetres=12.0, measured_on=DAY, token="form-1"),
        "taken already",
    ),
    ("material", lambda r: Material(name="Cast iron"), "The shop has a material of that name already."),
    (
        "clock",
        lambda r: Clock(builder=r[Clock].builder, build=r[Build], activity="tidying", started_at=EVENING),
        "taken already",
    ),
    (
        "total of an operation",
        lambda r: Total.of(r[Part].pk, r[Operation].pk, Tally(entries=2, last_on=DAY)),
        "taken already",
    ),
    ("total of a part", lambda r: Total.of(r[Part].pk, None, Tally(last_on=DAY)), "does not allow that"),
]


@pytest.mark.parametrize(("what", "again", "sentence"), TWICE, ids=[row[0] for row in TWICE])
def test_what_must_be_unique_is_refused_twice_over(db: None, what: str, again: Any, sentence: str) -> None:
    records = good_records()

    with pytest.raises(ValidationError, match=sentence):
        again(records).full_clean()
    one = again(records)
    with pytest.raises(IntegrityError), transaction.atomic():
        type(one)._default_manager.bulk_create([one])


def test_the_same_names_and_numbers_may_stand_in_another_build(db: None) -> None:
    good_records()
    other = factories.make_build("Launch engine")

    for record in (
        Assembly(build=other, name="Cylinder"),
        Sheet(build=other, number="1"),
        Part(build=other, number="14", name="Ring"),
        Milestone(build=other, name="First turn on air"),
    ):
        record.full_clean()
        record.save()

    assert other.parts.get().number == "14"


def test_a_build_without_a_name_is_refused_by_the_form_and_by_the_database(db: None) -> None:
    build = factories.make_build()

    with pytest.raises(IntegrityError, match="build_named"), transaction.atomic():
        Build.objects.filter(pk=build.pk).update(name="")
    build.name = ""
    with pytest.raises(ValidationError, match="This is needed"):
        build.full_clean()


def test_an_instrument_without_a_name_is_refused_by_the_form_and_by_the_database(db: None) -> None:
    instrument = factories.make_instrument()
    with pytest.raises(IntegrityError, match="instrument_named"), transaction.atomic():
        Instrument.objects.filter(pk=instrument.pk).update(name="")
    instrument.name = ""
    with pytest.raises(ValidationError, match="This is needed"):
        instrument.full_clean()


def test_every_constraint_of_every_model_is_spoilt_here(db: None) -> None:
    there = {
        constraint.name
        for model in apps.get_app_config("builds").get_models()
        if not hasattr(model, "instance_type")
        for constraint in model._meta.constraints
    }
    unique = {
        "assembly_name_once",
        "sheet_number_once",
        "part_number_once",
        "operation_number_once",
        "batch_number_once",
        "milestone_name_once",
        "size_name_once",
        "need_once",
        "entry_token_once",
        "measurement_token_once",
        "event_one_a_revision",
        "total_once_an_operation",
        "total_once_a_part",
    }

    assert there == {name for name, *_ in SPOILT} | unique | {"build_named", "instrument_named"}


@pytest.mark.parametrize("field", ["good", "reworked", "scrap", "unattended_minutes", "bench_minutes"])
def test_nothing_in_the_log_counts_below_zero(db: None, field: str) -> None:
    entry = good_records()[Entry]

    with pytest.raises(IntegrityError), transaction.atomic():
        Entry.objects.filter(pk=entry.pk).update(**{field: -1})
    setattr(entry, field, -1)
    with pytest.raises(ValidationError, match="Give 0 or more"):
        entry.full_clean()


@pytest.mark.parametrize("given", [{"speed_low": 60.0}, {"speed_high": 900.0}])
def test_half_a_range_of_speeds_is_refused_with_its_sentence(db: None, given: dict[str, float]) -> None:
    with pytest.raises(ValidationError, match="both the lowest and the highest"):
        Machine(name="Drill", **given).full_clean()


def test_zero_minutes_are_a_figure_and_no_minutes_are_none(db: None) -> None:
    records = good_records()
    operation = records[Operation]
    operation.minutes_per_unit = 0.0
    operation.full_clean()
    assert operation.minutes_per_piece == 0.0
    operation.minutes_per_unit = None
    operation.full_clean()
    assert operation.minutes_per_piece is None


def test_shop_time_that_counts_is_kept_in_its_own_order_and_once(db: None) -> None:
    build = factories.make_build(activities_counted=["tidying", "fixtures and tools", "tidying", "sleeping"])

    assert Build.objects.get(pk=build.pk).activities_counted == ["fixtures and tools", "tidying"]
    assert factories.make_build("Other").counted == set(Activity.values)


def test_what_the_log_leans_on_cannot_be_deleted(db: None) -> None:
    records = good_records()

    with pytest.raises(models.ProtectedError):
        records[Part].delete()
    with pytest.raises(models.ProtectedError):
        records[Operation].delete()
    assert Entry.objects.count() == 1
