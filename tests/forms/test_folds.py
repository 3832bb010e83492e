"""A long form asks a few fields first; a fold opens where one of its fields says something or is refused."""

import re
from typing import Any

import pytest
from django.test import Client

from builds.forms.build import BuildForm
from builds.forms.folds import Fold, FoldedMixin
from builds.forms.plan import MilestoneForm, NewPartForm, PartForm
from builds.forms.route import OperationForm
from builds.forms.shop import MachineForm
from builds.forms.visitors import ExhibitForm
from builds.models import Build, Operation, Part
from builds.models.choices import Kind
from builds.queries.visitors.exhibit import exhibit_of
from tests.factories import TODAY, make_build, make_operation, make_part

pytestmark = pytest.mark.django_db


def first_of(form: FoldedMixin) -> list[str]:
    return [field.name for field in form.shown_first()]


def open_folds(form: FoldedMixin) -> list[Fold]:
    return [fold for fold in form.folded() if fold.open]


def test_a_new_record_asks_a_few_fields_and_folds_the_others() -> None:
    build = make_build()
    new_part = NewPartForm(build=build, instance=Part(build=build))
    operation = OperationForm(instance=Operation(part=make_part(build), kind=Kind.TURNING))
    assert first_of(BuildForm(initial={"started_on": TODAY})) == ["name", "scale", "units"]
    assert first_of(new_part) == ["number", "name", "quantity", "rough"]
    asked = ["kind", "title", "setup_minutes", "minutes_per_unit", "basis", "amount"]
    assert first_of(operation) == asked
    for form in (BuildForm(), new_part, operation, MachineForm(), MilestoneForm(build=build)):
        assert open_folds(form) == [], form


def test_no_field_is_lost_between_the_folds() -> None:
    build = make_build()
    part = make_part(build)
    operation = make_operation(part)
    forms: list[Any] = [BuildForm(), PartForm(build=build, instance=part), NewPartForm(build=build), MachineForm()]
    for form in (*forms, MilestoneForm(build=build), OperationForm(instance=operation)):
        shown = first_of(form) + [field.name for fold in form.folded() for field in fold.fields]
        assert sorted(shown) == sorted(field.name for field in form.visible_fields()), form


def test_a_fold_is_open_where_one_of_its_fields_says_something() -> None:
    part = make_part(make_build(), supplier="The foundry")
    [fold] = open_folds(PartForm(build=part.build, instance=part))
    assert "supplier" in [field.name for field in fold.fields]


def test_a_fold_is_open_where_a_usual_tick_was_taken_away() -> None:
    exhibit = exhibit_of(make_build())
    assert open_folds(ExhibitForm(instance=exhibit)) == []
    exhibit.hours_shown = False
    [fold] = open_folds(ExhibitForm(instance=exhibit))
    assert "hours_shown" in [field.name for field in fold.fields]


def test_a_fold_is_open_where_one_of_its_fields_is_refused() -> None:
    part = make_part(make_build())
    data = {"number": "1", "name": "Bed", "quantity": "1", "spares": "", "rough": ""}
    form = NewPartForm(data, build=part.build, instance=Part(build=part.build))
    assert not form.is_valid()
    assert [fold.open for fold in form.folded()] == [True]


def test_a_work_on_an_assembly_has_no_fold_of_what_pieces_are_made_of() -> None:
    part = make_part(make_build(), role="work on an assembly")
    folds = {field.name for fold in PartForm(build=part.build, instance=part).folded() for field in fold.fields}
    assert "material" in folds
    assert not {"blank", "spares"} & folds


def test_a_refused_page_keeps_what_was_typed_in_a_fold_and_opens_it(signed_in: Client) -> None:
    data = {"name": "Beam engine", "units": "mm", "state": "active", "subject": "A mill", "hourly_figure": "dear"}
    page = signed_in.post("/builds/new/", data).content.decode()
    assert page.count('<details class="fold" open>') >= 2
    assert 'value="A mill"' in page
    assert 'value="dear"' in page
    assert 'href="#id_hourly_figure"' in page
    assert not Build.objects.exists()


def test_a_browser_sends_a_closed_fold_whatever_is_in_it(signed_in: Client) -> None:
    part = make_part(make_build())
    here = f"/builds/{part.build.slug}"
    for page in (
        "/builds/new/",
        f"{here}/parts/new/",
        f"{here}/parts/{part.pk}/operations/new/",
        f"{here}/milestones/",
    ):
        html = signed_in.get(page).content.decode()
        (form,) = re.findall(r"<form\b[^>]*>(?=(?:(?!</form>).)*<details class=.fold)", html, re.DOTALL)
        assert "novalidate" in form, page
