"""What was measured travels with the build, and its instruments with it."""

import json
from datetime import date

import pytest

from builds.models import Build, Builder, Instrument, Measurement
from builds.queries.repeats.measured import measured
from builds.transfer.complaints import RecordError
from builds.transfer.record.reader import import_record
from builds.transfer.record.writer import export_record, export_text
from tests import factories
from tests.factories import TODAY

FIGURE = {"part": "14", "size": "bore", "piece": 1, "date": "2026-11-25", "millimetres": 12.01}


def with_measurements(*measurements: dict[str, object], **more: object) -> dict[str, object]:
    part = {"number": "14", "name": "Piston ring", "quantity": 12, "sizes": [{"name": "bore", "made": "12 H7"}],
            "operations": [{"number": 10, "kind": "boring"}]}  # fmt: skip
    batch = {"part": "14", "number": 1, "blanks": 10, "started_on": "2026-02-01"}
    return {"format": "swarfbook-record", "version": 1, "build": {"name": "Beam engine"}, "parts": [part],
            "batches": [batch], "measurements": list(measurements), **more}  # fmt: skip


def taken(*measurements: dict[str, object], **more: object) -> Build:
    import_record(with_measurements(*measurements, **more), today=TODAY)
    return Build.objects.get()


def test_out_in_and_out_again_is_the_same_file(db: None) -> None:
    build = factories.make_build(units="in")
    part = factories.make_part(build, operations=[{"kind": "inspecting"}])
    bore = factories.make_size(part, made="0.500 +0.001 -0")
    plug, batch = factories.make_instrument("Plug", ".0001 in"), factories.make_batch(part)
    factories.make_measurements(
        bore, {1: ".5004", 2: "12.71 mm"}, batch=batch, instrument=plug, operation=part.operations.get(),
        by=factories.make_builder("Kit"),
    )  # fmt: skip
    factories.make_measurements(bore, {1: "go"})
    text, sizes = export_text(build), measured(part).sizes
    before = [(one.key, one.figure, one.words, one.instrument, one.by) for one in sizes[0].pieces]
    build.delete()
    Builder.objects.all().delete()
    import_record(json.loads(text), today=TODAY)
    again = Build.objects.get()
    assert export_text(again) == text
    after = measured(again.parts.get()).sizes[0].pieces
    assert [(one.key, one.figure, one.words, one.instrument, one.by) for one in after] == before


def test_a_build_in_which_nothing_was_measured_says_nothing_of_it(db: None) -> None:
    factories.make_instrument()
    factories.make_size(factories.make_part(factories.make_build()))
    out = export_record(Build.objects.get())
    assert not {"instruments", "measurements"} & out.keys()


def test_the_shops_own_instrument_keeps_its_figures(db: None) -> None:
    factories.make_instrument("Plug", "0.002 mm")
    taken({**FIGURE, "instrument": "Plug"}, instruments=[{"name": "Plug", "uncertainty": "0.01 mm"}])
    assert Instrument.objects.get().uncertainty == "0.002 mm"
    assert Measurement.objects.get().instrument == Instrument.objects.get()


def test_a_figure_without_a_token_is_given_one(db: None) -> None:
    taken(FIGURE, {**FIGURE, "piece": 2}, FIGURE)
    assert len({one.token for one in Measurement.objects.all()}) == 3
    assert Measurement.objects.first().measured_on == date(2026, 11, 25)  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("wrong", "path"),
    [
        ({"part": "15"}, "measurements[0].part"),
        ({"size": "width"}, "measurements[0].size"),
        ({"batch": 2}, "measurements[0].batch"),
        ({"batch": 1, "piece": 11}, "measurements[0].batch"),
        ({"operation": "20"}, "measurements[0].operation"),
        ({"instrument": "Plug"}, "measurements[0].instrument"),
        ({"date": "2026-12-25"}, "measurements[0].date"),
        ({"piece": 0}, "measurements[0].piece"),
        ({"millimetres": -1}, "measurements[0].millimetres"),
        ({"gauged": "go"}, "measurements[0].millimetres"),
        ({"gauged": "nearly"}, "measurements[0].gauged"),
        ({"millimetres": None}, "measurements[0].millimetres"),
        ({"millimetres": None, "gauged": "go", "figure": "12"}, "measurements[0].figure"),
        ({"colour": "red"}, "measurements[0].colour"),
    ],
)
def test_what_cannot_be_is_refused_by_its_path(db: None, wrong: dict[str, object], path: str) -> None:
    with pytest.raises(RecordError) as refused:
        taken({**FIGURE, **wrong})
    assert str(refused.value).startswith(path)
    assert not Build.objects.exists()


def test_one_token_is_not_given_twice(db: None) -> None:
    with pytest.raises(RecordError, match=r"measurements\[1\].token"):
        taken({**FIGURE, "token": "x"}, {**FIGURE, "token": "x", "piece": 2})
