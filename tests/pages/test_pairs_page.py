"""Which piece goes with which: the question as it is typed, the pairs with their stamps, and who is left."""

import re
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from builds.models import Size
from tests import factories


@pytest.fixture
def sizes(db: None) -> tuple[Size, Size]:
    """A bore of 12 H7 and a piston to go into it."""
    build = factories.make_build()
    bore = factories.make_size(factories.make_part(build, "1", "Cylinder", quantity=4), "bore", "12 H7")
    piston = factories.make_size(factories.make_part(build, "2", "Piston", quantity=4), "outside", "11.99 ±0.02")
    return bore, piston


def ask(client: Client, sizes: tuple[Size, Size], **fields: str) -> Any:
    outer, inner = sizes
    asked = {"outer": outer.pk, "inner": inner.pk, "least": "0.01 mm", "most": "0.03", "wanted": "", **fields}
    return client.get(f"/builds/{outer.part.build.slug}/pairs/", asked)


def text_of(answer: Any) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", answer.content.decode()))


def pairs_of(answer: Any) -> list[tuple[int, str, str, str]]:
    found = answer.context["found"]
    return [(pair.stamp, pair.outer_name, pair.inner_name, pair.clearance) for pair in found.pairs]


def test_pairs_have_a_number_to_stamp_and_their_clearance(signed_in: Client, sizes: tuple[Size, Size]) -> None:
    bore, piston = sizes
    factories.make_measurements(bore, {1: "12.004", 2: "12.016", 3: "12.010"})
    factories.make_measurements(piston, {1: "11.996", 2: "11.990", 3: "11.984"})
    answer = ask(signed_in, sizes)
    assert pairs_of(answer) == [(1, "1", "3", "0.02 mm"), (2, "2", "1", "0.02 mm"), (3, "3", "2", "0.02 mm")]
    page = text_of(answer)
    assert "3 pairs" in page
    assert "Clearance from 0.01 mm to 0.03 mm, wanted 0.02 mm." in page
    assert "Left over" not in page


def test_clearances_are_read_in_thou_as_well(signed_in: Client, sizes: tuple[Size, Size]) -> None:
    bore, piston = sizes
    factories.make_measurements(bore, {1: "12.004"})
    factories.make_measurements(piston, {1: "11.984"})
    answer = ask(signed_in, sizes, least=".0005 in", most="one thou", wanted="0.02 mm")
    assert answer.context["found"].question.least == pytest.approx(0.0127)
    assert answer.context["found"].question.most == pytest.approx(0.0254)
    assert pairs_of(answer) == [(1, "1", "1", "0.02 mm")]


def test_an_interference_is_a_clearance_below_nothing(signed_in: Client, sizes: tuple[Size, Size]) -> None:
    bore, piston = sizes
    factories.make_measurements(bore, {1: "12.000"})
    factories.make_measurements(piston, {1: "12.010"})
    assert pairs_of(ask(signed_in, sizes, least="-0.02", most="−0.005", wanted="")) == [(1, "1", "1", "−0.01 mm")]


def test_who_is_left_over_is_told_what_the_mate_would_have_to_measure(
    signed_in: Client, sizes: tuple[Size, Size]
) -> None:
    bore, piston = sizes
    factories.make_measurements(bore, {1: "12.004", 2: "12.016"})
    factories.make_measurements(piston, {1: "11.984"})
    answer = ask(signed_in, sizes)
    assert pairs_of(answer) == [(1, "1", "1", "0.02 mm")]
    page = text_of(answer)
    assert "To pair all of them it takes 1 more of 2 Piston: outside." in page
    assert "2 12.016 mm 11.986 mm to 12.006 mm 11.996 mm" in page


def test_a_mate_past_the_limits_of_its_size_is_told(signed_in: Client, sizes: tuple[Size, Size]) -> None:
    bore, piston = sizes
    factories.make_measurements(bore, {1: "12.004"})
    factories.make_measurements(piston, {1: "11.984"})
    [left] = ask(signed_in, sizes, least="0.04", most="0.06").context["found"].inner_left
    # A bore of 12.024 to 12.044 where 12 H7 ends at 12.018.
    assert (left.low, left.high, left.beyond) == ("12.024 mm", "12.044 mm", True)
    assert "past the limits of that size" in text_of(ask(signed_in, sizes, least="0.04", most="0.06"))


def test_a_piece_that_is_out_of_any_size_or_only_gauged_is_left_out_with_the_reason(
    signed_in: Client, sizes: tuple[Size, Size]
) -> None:
    bore, piston = sizes
    length = factories.make_size(bore.part, "length", "20 ±0.05")
    factories.make_measurements(bore, {1: "12.004", 2: "12.03", 3: "go", 4: "12.006"})
    factories.make_measurements(length, {1: "20.01", 4: "20.2"})
    factories.make_measurements(piston, {1: "11.984"})
    answer = ask(signed_in, sizes)
    assert pairs_of(answer) == [(1, "1", "1", "0.02 mm")]
    assert {(one.name, one.reason) for one in answer.context["found"].outer.left_out} == {
        ("2", "bore: out, 0.012 mm over"),
        ("3", "only gauged, without a figure"),
        ("4", "length: out, 0.15 mm over"),
    }


def test_a_clearance_that_the_instruments_leave_in_doubt_is_marked(signed_in: Client, sizes: tuple[Size, Size]) -> None:
    bore, piston = sizes
    micrometer = factories.make_instrument(uncertainty="±2 µm")
    factories.make_measurements(bore, {1: "12.009"}, instrument=micrometer)
    factories.make_measurements(piston, {1: "11.980"}, instrument=micrometer)
    answer = ask(signed_in, sizes)
    assert [pair.sure for pair in answer.context["found"].pairs] == [False]
    assert "0.029 mm ?" in text_of(answer)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"least": "some"}, "not understood"),
        ({"least": "0.01 to 0.02"}, "Give one clearance, such as 0.01 mm, .0005 in."),
        ({"most": "--1"}, "Give one clearance"),
        ({"most": "-"}, "Give one clearance"),
        ({"wanted": "tba"}, "Give one clearance, such as 0.02 mm."),
        ({"least": "0.05"}, "smaller than the smallest"),
        ({"wanted": "0.2"}, "must lie between"),
        ({"most": ""}, "Give one clearance, such as 0.03 mm, .001 in."),
        ({"outer": "999"}, "not in the list"),
        ({"inner": "x" * 50}, "not in the list"),
    ],
)
def test_what_cannot_be_answered_is_told_beside_what_was_typed(
    signed_in: Client, sizes: tuple[Size, Size], fields: dict[str, str], words: str
) -> None:
    for size, figure in zip(sizes, ("12.004", "11.984"), strict=True):
        factories.make_measurements(size, {1: figure})
    answer = ask(signed_in, sizes, **fields)
    assert answer.status_code == 422
    assert words in text_of(answer)
    for name in ("least", "most", "wanted"):
        typed = {"least": "0.01 mm", "most": "0.03", "wanted": "", **fields}[name]
        assert answer.context["form"][name].value() == typed


def test_a_form_sent_empty_says_what_it_wants(signed_in: Client, sizes: tuple[Size, Size]) -> None:
    factories.make_measurements(sizes[0], {1: "12.004"})
    answer = ask(signed_in, sizes, least="", most="")
    assert answer.status_code == 422
    assert text_of(answer).count("Give one clearance") >= 2


def test_a_part_does_not_go_into_itself(signed_in: Client, sizes: tuple[Size, Size]) -> None:
    bore, _ = sizes
    factories.make_measurements(bore, {1: "12.004"})
    answer = ask(signed_in, (bore, bore))
    assert "Both sizes are of one part." in text_of(answer)


def test_a_visit_without_figures_asks_nothing_and_keeps_the_chosen_size(
    signed_in: Client, sizes: tuple[Size, Size]
) -> None:
    bore, _ = sizes
    factories.make_measurements(bore, {1: "12.004"})
    answer = signed_in.get(f"/builds/{bore.part.build.slug}/pairs/", {"outer": bore.pk})
    assert answer.status_code == 200
    assert f'<option value="{bore.pk}" selected>' in answer.content.decode()
    assert "field__error" not in answer.content.decode()


def test_sizes_of_another_build_are_not_offered(signed_in: Client, sizes: tuple[Size, Size]) -> None:
    other = factories.make_size(factories.make_part(factories.make_build("Beam"), "9"), "eye", "3 H7")
    factories.make_measurements(sizes[0], {1: "12.004"})
    factories.make_measurements(other, {1: "3.004"})
    answer = ask(signed_in, (sizes[0], other))
    assert answer.status_code == 422
    assert str(other.part) not in answer.content.decode()


def test_where_every_piece_is_out_there_is_a_sentence(signed_in: Client, sizes: tuple[Size, Size]) -> None:
    for size in sizes:
        factories.make_measurements(size, {1: "12.2"})
    answer = ask(signed_in, sizes)
    assert answer.status_code == 422
    assert "No piece of 1 Cylinder: bore has a figure with which it could be paired." in text_of(answer)


def test_before_anything_is_measured_the_page_says_what_it_wants(signed_in: Client, sizes: tuple[Size, Size]) -> None:
    answer = signed_in.get(f"/builds/{sizes[0].part.build.slug}/pairs/")
    assert "No figures yet" in text_of(answer)
    assert "Find the pairs" not in text_of(answer)


def test_more_pieces_ask_no_more_queries(signed_in: Client, sizes: tuple[Size, Size]) -> None:
    counts = []
    for piece in (1, 2, 3):
        for size, figure in zip(sizes, ("12.004", "11.984"), strict=True):
            factories.make_measurements(size, {piece: figure})
        with CaptureQueriesContext(connection) as queries:
            assert len(pairs_of(ask(signed_in, sizes))) == piece
        counts.append(len(queries))
    assert counts[1] == counts[2]
