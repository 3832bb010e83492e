"""What the measurements of a size say: the page, its drawing, its sentences and its sums."""

import re
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from builds.models import Size
from tests import factories
from tests.charts.parsing import rows_drawn, strokes

GOOD = ["12.008", "12.010", "12.009", "12.011", "12.007", "12.009", "12.008", "12.010", "12.009", "12.008", "12.010",
        "12.009"]  # fmt: skip
FEW = {1: "12.008", 2: "12.012", 3: "12.009"}


@pytest.fixture
def bore(db: None) -> Size:
    return factories.make_size(factories.make_part(factories.make_build(), quantity=12), "bore", "12 H7")


def measure(size: Size, figures: list[str], first: int = 1, **fields: Any) -> None:
    factories.make_measurements(size, dict(enumerate(figures, first)), **fields)


def where(size: Size) -> str:
    return f"/builds/{size.part.build.slug}/sizes/{size.pk}/spread/"


def text_of(answer: Any) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", answer.content.decode()))


def test_work_that_holds_its_limits_is_called_so_with_figures_and_sums(signed_in: Client, bore: Size) -> None:
    measure(bore, GOOD)
    answer = signed_in.get(where(bore))
    page = text_of(answer)
    assert "This work holds its limits" in page
    assert "No drift that could be told from luck." in page
    assert "12.009 mm" in page
    # U 12.018, L 12, s 0.00112815: Cp 2.66.
    assert "(12.018 − 12) ÷ (6 × 0.001128) = 2.66" in re.sub(r" = +", " = ", page)
    assert "12 pieces, 12.007 mm to 12.011 mm." in page


def test_few_pieces_are_called_too_few_with_the_number_that_would_tell(signed_in: Client, bore: Size) -> None:
    factories.make_measurements(bore, FEW)
    page = text_of(signed_in.get(where(bore)))
    assert "Too few to tell: of 3 pieces the range is wide. From about 10 pieces like these on it would tell." in page
    assert "Too few to tell a drift: it takes 5 pieces." in page


def test_a_tool_that_wears_shows_as_a_drift_with_the_pieces_to_go(signed_in: Client, bore: Size) -> None:
    measure(bore, ["12.016", "12.0145", "12.014", "12.0125", "12.012", "12.0105", "12.010"])
    page = text_of(signed_in.get(where(bore)))
    assert "Each piece is about 0.001 mm smaller than the one before" in page
    assert "about 9 more pieces fit before half of them are past the limit." in page


def test_one_limit_only_has_a_cpk_and_no_cp(signed_in: Client, bore: Size) -> None:
    least = factories.make_size(bore.part, "wall", "at least 3 mm")
    measure(least, ["3.02", "3.05", "3.03", "3.06", "3.04", "3.05", "3.03", "3.04", "3.06", "3.02"])
    page = text_of(signed_in.get(where(least)))
    assert "Capability Cpk" in page
    assert "Capability Cp " not in page


def test_without_limits_there_is_the_spread_alone(signed_in: Client, bore: Size) -> None:
    free = factories.make_size(bore.part, "length", "20")
    measure(free, ["20.1", "20.2", "20.0"])
    page = text_of(signed_in.get(where(free)))
    assert "No limits are known for this size." in page
    assert "Without limits there is nothing to hold the pieces against." in page
    assert "0.1 mm" in page
    assert "Cpk" not in page.split("What this rests on", maxsplit=1)[0]


def test_batches_stand_apart_and_together(signed_in: Client, bore: Size) -> None:
    first, second = factories.make_batch(bore.part), factories.make_batch(bore.part, number=2)
    measure(bore, GOOD[:6], batch=first)
    measure(bore, ["12.015", "12.016", "12.014"], batch=second)
    page = text_of(signed_in.get(where(bore)))
    rows = page.split("Batch by batch", maxsplit=1)[1]
    assert re.search(r"together 9 12\.0\d+ mm", rows)
    assert re.search(r"batch 1 6 12\.009 mm", rows)
    assert re.search(r"batch 2 3 12\.015 mm", rows)


def test_the_drawing_marks_what_is_out_and_what_is_not_decided(signed_in: Client, bore: Size) -> None:
    micrometer = factories.make_instrument(uncertainty="±2 µm")
    factories.make_measurements(bore, {1: "12.010", 2: "12.03", 3: "12.017", 4: "go"}, instrument=micrometer)
    answer = signed_in.get(where(bore))
    assert "1 out (a cross) and 1 not decided (hollow)" in text_of(answer)
    assert "1 piece was only gauged and has no figure to go by." in text_of(answer)
    chart = answer.context["chart"]
    assert [row[0] for row in chart.rows] == ["1", "2", "3"]
    for drawing in chart.drawings:
        assert strokes(drawing, stroke_width="2.8") == 2
        assert {">largest</text>", ">smallest</text>"} <= set(re.findall(r">\w+</text>", drawing))
        assert len(rows_drawn(drawing)) == 3


def test_one_piece_and_none_are_told_without_a_drawing(signed_in: Client, bore: Size) -> None:
    assert "No figures yet" in text_of(signed_in.get(where(bore)))
    factories.make_measurements(bore, {1: "12.01"})
    answer = signed_in.get(where(bore))
    assert answer.context["chart"] is None
    assert "one piece shows no spread" in text_of(answer)


def test_pieces_that_all_measure_the_same_blame_the_instrument(signed_in: Client, bore: Size) -> None:
    measure(bore, ["12.01"] * 6)
    assert "the instrument is too coarse" in text_of(signed_in.get(where(bore)))


def test_inches_are_told_in_inches(signed_in: Client) -> None:
    part = factories.make_part(factories.make_build(units="in"), quantity=12)
    size = factories.make_size(part, "bore", ".500 +.002 -0")
    measure(size, [".5006", ".5010", ".5009", ".50122"])
    page = text_of(signed_in.get(where(size)))
    assert "0.50093 in" in page
    assert " mm" not in page


def test_more_pieces_and_batches_ask_no_more_queries(signed_in: Client, bore: Size) -> None:
    factories.make_measurements(bore, FEW)
    signed_in.get(where(bore))
    with CaptureQueriesContext(connection) as few:
        signed_in.get(where(bore))
    for number in (1, 2, 3):
        measure(bore, GOOD, batch=factories.make_batch(bore.part, blanks=12, number=number))
    with CaptureQueriesContext(connection) as many:
        signed_in.get(where(bore))
    assert len(many) == len(few)


def test_the_yield_of_a_part_and_its_sizes_lead_to_it(signed_in: Client, bore: Size) -> None:
    part, door = bore.part, f'href="{where(bore)}"'
    at = f"/builds/{part.build.slug}/parts/{part.pk}/"
    assert door in signed_in.get(at).content.decode()
    assert door not in signed_in.get(f"{at}yield/").content.decode()
    factories.make_measurements(bore, {1: "12.01"})
    assert door in signed_in.get(f"{at}yield/").content.decode()
    assert door in signed_in.get(f"{at}measure/").content.decode()


def test_of_very_many_pieces_the_last_are_drawn_and_called_so(
    signed_in: Client, bore: Size, monkeypatch: pytest.MonkeyPatch
) -> None:
    measure(bore, GOOD)
    monkeypatch.setattr("builds.charts.repeats.run_of_sizes.MOST_PIECES", 5)
    chart = signed_in.get(where(bore)).context["chart"]
    assert chart.description.startswith("The last 5 of 12: 5 pieces, 12.008 mm to 12.01 mm.")
    assert [row[0] for row in chart.rows] == ["8", "9", "10", "11", "12"]
    assert ">12</text>" in chart.drawings[0]
    assert ">1</text>" not in chart.drawings[0]
