"""Figures of pieces written down: once, all or none, with a way back, and no piece counted by it."""

from datetime import date
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from builds.models import Build, Measurement, Part, Size
from builds.models.choices import EventType
from builds.services.plan import records as plan
from builds.services.shop import items as shop
from builds.services.undo import undo
from tests import factories


@pytest.fixture
def bore(db: None) -> Size:
    return factories.make_size(factories.make_part(factories.make_build(), quantity=12))


def newest_event(build: Build) -> Any:
    return build.events.order_by("-pk").first()


def test_one_event_for_all_pieces_says_what_was_measured(bore: Size) -> None:
    build, revision = bore.part.build, bore.part.build.revision
    factories.make_measurements(bore, {1: "12.01", 2: "12.02"}, by=factories.make_builder())
    build.refresh_from_db()
    assert build.revision == revision + 1
    event = newest_event(build)
    assert event.type == EventType.MEASURE
    assert str(event) == "measured 2 pieces: bore of 14 Piston ring"
    assert {one.by.name for one in Measurement.objects.select_related("by") if one.by} == {"Ada"}


def test_a_form_sent_twice_keeps_each_figure_once(bore: Size) -> None:
    first = factories.make_measurements(bore, {1: "12.01", 2: "12.02"}, token="form")
    events = bore.part.build.events.count()
    again = factories.make_measurements(bore, {1: "12.01", 2: "12.02"}, token="form")
    assert [one.pk for one in again] == [one.pk for one in first]
    assert (Measurement.objects.count(), bore.part.build.events.count()) == (2, events)


def test_a_figure_changed_in_a_form_that_was_sent_before_is_kept_as_the_newest(bore: Size) -> None:
    factories.make_measurements(bore, {1: "12.01", 2: "12.02"}, token="form")
    factories.make_measurements(bore, {1: "12.01", 2: "12.00"}, token="form")
    assert [one.typed for one in Measurement.objects.order_by("pk")] == ["12.01", "12.02", "12.00"]


def test_undone_it_is_gone_and_its_form_may_be_sent_again(bore: Size) -> None:
    factories.make_measurements(bore, {1: "12.01"}, token="form")
    undo(event=newest_event(bore.part.build), by=None)
    assert not Measurement.objects.exists()
    factories.make_measurements(bore, {1: "12.01"}, token="form")
    assert Measurement.objects.count() == 1


def test_a_removed_figure_comes_back_as_it_was(bore: Size) -> None:
    batch = factories.make_batch(bore.part)
    micrometer = factories.make_instrument()
    [kept] = factories.make_measurements(bore, {3: "12.01"}, batch=batch, instrument=micrometer)
    event = plan.remove(record=kept, by=None)
    assert not Measurement.objects.exists()
    undo(event=event, by=None)
    back = Measurement.objects.get()
    assert (back.piece, back.typed, back.batch, back.instrument) == (3, "12.01", batch, micrometer)


def test_a_removed_part_comes_back_with_what_was_measured_at_it(bore: Size) -> None:
    batch = factories.make_batch(bore.part)
    factories.make_measurements(bore, {3: "12.01"}, batch=batch, operation=bore.part.operations.get())
    event = plan.remove(record=bore.part, by=None)
    assert not Measurement.objects.exists()
    undo(event=event, by=None)
    back = Measurement.objects.get()
    part = Part.objects.get()
    assert (back.piece, back.batch, back.operation) == (3, batch, part.operations.get())


def test_an_operation_lets_go_of_its_figures_and_takes_them_up_again(bore: Size) -> None:
    inspecting = factories.make_operation(bore.part, "inspecting")
    factories.make_measurements(bore, {1: "12.01"}, operation=inspecting)
    kept = inspecting.pk
    event = plan.remove(record=inspecting, by=None)
    assert Measurement.objects.get().operation is None
    undo(event=event, by=None)
    assert Measurement.objects.get().operation_id == kept


def test_a_batch_whose_pieces_were_measured_stays_with_its_part(bore: Size) -> None:
    batch = factories.make_batch(bore.part)
    factories.make_measurements(bore, {1: "12.01"}, batch=batch)
    with pytest.raises(ValidationError, match="were measured, so it stays"):
        plan.remove(record=batch, by=None)
    other = factories.make_part(bore.part.build, "15", "Pin")
    for record in (batch, bore):
        record.part = other
        with pytest.raises(ValidationError, match="Pieces of another part"):
            plan.save(record=record, by=None)


def test_an_instrument_that_measured_something_stays(bore: Size) -> None:
    micrometer = factories.make_instrument()
    factories.make_measurements(bore, {1: "12.01"}, instrument=micrometer)
    with pytest.raises(ValidationError, match="Micrometer is used 1 time"):
        shop.remove(item=micrometer)


@pytest.mark.parametrize(
    ("figures", "more", "words"),
    [
        ({}, {}, "nothing to keep"),
        ({1: "12.01"}, {"measured_on": date(2027, 1, 1)}, "has not come yet"),
        ({11: "12.01"}, {"batch": True}, "no piece 11"),
        ({0: "12.01"}, {}, "counted from 1"),
    ],
)
def test_what_is_refused_leaves_nothing(bore: Size, figures: dict[int, str], more: dict[str, Any], words: str) -> None:
    fields = {**more, "batch": factories.make_batch(bore.part)} if "batch" in more else more
    with pytest.raises(ValidationError, match=words):
        factories.make_measurements(bore, {**figures}, **fields)
    assert not Measurement.objects.exists()


def test_what_belongs_to_another_part_is_refused(bore: Size) -> None:
    other = factories.make_part(bore.part.build, "15", "Pin")
    for more in ({"batch": factories.make_batch(other)}, {"operation": other.operations.get()}):
        with pytest.raises(ValidationError, match=r"not one of|not on the route"):
            factories.make_measurements(bore, {1: "12.01"}, **more)


def test_no_piece_is_counted_by_being_measured(bore: Size) -> None:
    factories.make_measurements(bore, {1: "12.01"})
    assert not bore.part.build.entries.exists()
