"""What was measured at the pieces of a part, and what the figures prove."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from builds.models import Part
from builds.queries.repeats.measured import figure_in_words, limit_in_words, measured
from tests import factories


@pytest.fixture
def rings(db: None) -> Part:
    return factories.make_part(factories.make_build(), quantity=12)


def test_each_piece_with_its_newest_figure_and_what_that_proves(rings: Part) -> None:
    bore = factories.make_size(rings)
    factories.make_size(rings, "width", "3 ±0.05")
    micrometer = factories.make_instrument(uncertainty="±2 µm")
    factories.make_measurements(bore, {1: "12.010", 2: "12.03", 3: "12.017"}, instrument=micrometer)
    factories.make_measurements(bore, {2: "12.017"}, measured_on=date(2026, 11, 24))
    first, second = measured(rings).sizes
    assert (first.limits.lower, first.limits.upper) == (12.0, 12.018)
    assert [(piece.piece, piece.figure, piece.words) for piece in first.pieces] == [
        (1, "12.01 mm", "within"), (2, "12.03 mm", "out, 0.012 mm over"), (3, "12.017 mm", "not decided"),
    ]  # fmt: skip
    assert first.pieces[0].instrument == "Micrometer"
    assert first.pieces[0].uncertainty == 0.002
    assert second.pieces == ()


def test_of_one_day_the_figure_entered_last_counts(rings: Part) -> None:
    bore = factories.make_size(rings)
    factories.make_measurements(bore, {1: "12.03"})
    factories.make_measurements(bore, {1: "12.01"})
    [piece] = measured(rings).sizes[0].pieces
    assert (piece.typed, piece.verdict.value) == ("12.01", "in")


def test_pieces_of_two_batches_are_kept_apart(rings: Part) -> None:
    bore = factories.make_size(rings)
    first, second = factories.make_batch(rings), factories.make_batch(rings, number=2)
    factories.make_measurements(bore, {1: "12.01"}, batch=second)
    factories.make_measurements(bore, {1: "12.02", 2: "12.00"}, batch=first)
    factories.make_measurements(bore, {1: "go"})
    assert measured(rings).keys == [(None, 1), (1, 1), (1, 2), (2, 1)]
    assert [piece.words for piece in measured(rings).sizes[0].pieces] == [
        "goes",
        "out, 0.002 mm over",
        "within",
        "within",
    ]


def test_a_gauge_says_go_or_out_and_a_size_without_limits_nothing(rings: Part) -> None:
    width = factories.make_size(rings, "width", "about 3")
    factories.make_measurements(width, {1: "no go", 2: "go", 3: "3.1"})
    pieces = measured(rings).sizes[0].pieces
    assert [piece.words for piece in pieces] == ["out by the gauge", "goes", "no limits"]
    assert [piece.verdict.is_bad for piece in pieces] == [True, False, False]


def test_inches_stay_inches(db: None) -> None:
    part = factories.make_part(factories.make_build(units="in"))
    bore = factories.make_size(part, made="0.500 +0.001 -0")
    factories.make_measurements(bore, {1: ".5015", 2: "12.71 mm"})
    pieces = measured(part).sizes[0].pieces
    assert [piece.words for piece in pieces] == ["out, 0.0005 in over", "within"]


def test_as_many_queries_for_many_pieces_as_for_one(rings: Part) -> None:
    bore = factories.make_size(rings)
    factories.make_measurements(bore, {1: "12.01"}, instrument=factories.make_instrument())
    part = Part.objects.select_related("build").get(pk=rings.pk)
    with CaptureQueriesContext(connection) as few:
        measured(part)
    factories.make_measurements(bore, dict.fromkeys(range(2, 40), "12.01"), batch=factories.make_batch(rings, 40))
    factories.make_measurements(factories.make_size(rings, "width", "3"), {1: "3"})
    with CaptureQueriesContext(connection) as many:
        measured(Part.objects.select_related("build").get(pk=rings.pk))
    assert len(few) == 2
    assert len(many) == 3


def test_a_limit_beside_a_figure_is_the_one_that_is_shown_of_the_size(db: None) -> None:
    # 12.018 mm is 0.473149… in: whoever keeps to what is shown keeps to the limit.
    part = factories.make_part(factories.make_build(units="in"))
    bore = factories.make_size(part, made="12 mm H7")
    factories.make_measurements(bore, {1: "12.03 mm", 2: "11.98 mm"})
    found = measured(part).sizes[0]
    assert found.limits.words == "0.47245 to 0.47314 in"
    assert [limit_in_words(one.found, "in") for one in found.pieces] == ["0.47314 in", "0.47245 in"]
    assert [figure_in_words(12.018, "mm"), figure_in_words(12.7, "in")] == ["12.018 mm", "0.5 in"]
