"""The drawings of repeated parts: what each says, and that there is none where there is nothing to draw."""

from datetime import date
from typing import Any

import pytest

from builds.charts.repeats.blanks import chance_by_blanks, hours_by_blanks
from builds.charts.repeats.learning_curve import learning_curve
from builds.charts.repeats.scrap_reasons import scrap_reasons
from builds.charts.repeats.yield_by_batch import yield_by_batch
from builds.models import Part
from builds.queries.repeats.blanks import Question, blanks_page
from builds.queries.repeats.learning_curve import most_worked
from builds.queries.repeats.part_yield import yield_page
from tests.charts.parsing import parsed
from tests.factories import TODAY, make_batch, make_build, make_entry, make_part

pytestmark = pytest.mark.django_db

ROUTE = [{"kind": kind, "title": f"{kind} <b>$x^2$</b>", "minutes_per_unit": 10.0} for kind in ("turning", "lapping")]


def ring(**fields: Any) -> Part:
    return make_part(make_build(), quantity=12, operations=fields.pop("operations", ROUTE), **fields)


def count(part: Part, number: int, day: int = 2, minutes: int | None = 60, **counts: Any) -> None:
    operation = part.operations.get(number=number)
    make_entry(part.build, date(2026, 3, day), minutes, part=part, operation=operation, **counts)


def both_drawn(chart: Any) -> None:
    for drawing in chart.drawings:
        assert parsed(drawing).tag.endswith("svg")
        assert "style=" not in drawing
        assert "<b>" not in drawing


def test_blanks_are_drawn_with_the_chosen_number_named() -> None:
    part = Part.objects.select_related("build").get(pk=ring().pk)
    answer = blanks_page(part, Question(12, 0, 0.9), TODAY).answer
    chances, hours = chance_by_blanks(answer, 0.9), hours_by_blanks(answer)
    assert chances is not None
    assert hours is not None
    both_drawn(chances)
    both_drawn(hours)
    assert chances.description.startswith(f"{answer.sure.blanks} blanks leave 12 good with ")
    assert str(answer.cheapest.blanks) in [row[0] for row in hours.rows]
    many = blanks_page(part, Question(200, 0, 0.9), TODAY).answer
    assert len(chance_by_blanks(many, 0.9).rows) <= 40
    assert str(many.sure.blanks) in [row[0] for row in chance_by_blanks(many, 0.9).rows]


def test_without_an_answer_or_times_there_is_nothing_to_draw() -> None:
    part = Part.objects.select_related("build").get(pk=ring(operations=[{"kind": "turning"}]).pk)
    answer = blanks_page(part, Question(4, 0, 0.9), TODAY).answer
    assert hours_by_blanks(answer) is None
    assert chance_by_blanks(answer, 0.9) is not None
    bare = Part.objects.select_related("build").get(pk=make_part(part.build, "2", operations=[]).pk)
    assert chance_by_blanks(blanks_page(bare, Question(4, 0, 0.9), TODAY).answer, 0.9) is None


def test_batches_are_drawn_from_two_on() -> None:
    part = ring()
    count(part, 20, batch=make_batch(part, 12, 1), good=3, scrap=9, scrap_reason="broke <b>")
    assert yield_by_batch(yield_page(part, TODAY)) is None
    count(part, 20, batch=make_batch(part, 10, 2), good=6, scrap=4, scrap_reason="warped")
    page = yield_page(part, TODAY)
    chart = yield_by_batch(page)
    assert chart is not None
    both_drawn(chart)
    assert chart.description.startswith("From 25 % in batch 1 (3 of 12) to 60 % in batch 2 (6 of 10).")
    reasons = scrap_reasons(page.reasons)
    assert reasons is not None
    both_drawn(reasons)
    assert reasons.rows[0] == ("broke <b>", "9", "69 %", "69 %")
    assert scrap_reasons(()) is None


def test_a_learning_curve_is_drawn_from_six_pieces_on_for_the_most_worked() -> None:
    part = ring()
    for day in range(1, 6):
        count(part, 10, day, 100 - 10 * day, good=1)
    assert most_worked(yield_page(part, TODAY).learned) == ()
    assert all(learning_curve(one) is None for one in yield_page(part, TODAY).learned)
    for day in range(6, 10):
        count(part, 10, day, 40, good=1)
        count(part, 20, day, 10, good=2)
    [turned, lapped] = most_worked(yield_page(part, TODAY).learned)
    assert [one.line.operation.number for one in most_worked(yield_page(part, TODAY).learned, most=1)] == [10]
    chart = learning_curve(turned)
    assert chart is not None
    both_drawn(chart)
    assert "Piece 10 may take" in chart.description
    assert chart.rows[0] == ("1", "90")
    assert learning_curve(lapped) is not None
