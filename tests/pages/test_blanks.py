"""How many blanks: the question, its answer, and what is no question."""

from typing import Any

import pytest
from django.test import Client

from tests import factories

ROUTE = [{"kind": kind, "minutes_per_unit": 10.0, "setup_minutes": 20.0} for kind in ("turning", "lapping")]


@pytest.fixture
def ring(make_build: Any, make_part: Any) -> Any:
    return make_part(make_build(), quantity=12, spares=2, operations=ROUTE)


def ask(client: Client, part: Any, *, htmx: bool = False, **question: str) -> Any:
    headers = {"HX-Request": "true"} if htmx else {}
    return client.get(f"/builds/{part.build.slug}/parts/{part.pk}/blanks/", question, headers=headers)


def test_a_plain_visit_has_its_answer_at_once(signed_in: Client, ring: Any) -> None:
    answer = ask(signed_in, ring)
    text = answer.content.decode()
    assert answer.status_code == 200
    assert "14 good pieces are still wanted" in text
    assert "For 9 chances in 10, start" in text
    assert "For the fewest hours, start" in text
    for chart in ("chance-by-blanks", "hours-by-blanks"):
        assert f'id="{chart}"' in text


def test_another_question_has_another_answer(signed_in: Client, ring: Any) -> None:
    blanks = [ask(signed_in, ring, confidence=sure).context["answer"].sure.blanks for sure in ("50", "80 %", "0.95")]
    assert blanks == sorted(blanks)
    assert blanks[0] < blanks[2]
    assert ask(signed_in, ring, good="3", spares="0").context["answer"].needed == 3


def test_htmx_gets_the_question_and_the_answer_without_the_page(signed_in: Client, ring: Any) -> None:
    text = ask(signed_in, ring, htmx=True, good="3").content.decode()
    assert "<html" not in text
    assert text.lstrip().startswith('<div class="stack" id="blanks">')
    assert 'value="3"' in text
    refused = ask(signed_in, ring, htmx=True, good="0")
    assert refused.status_code == 422
    assert "Give at least one good piece." in refused.content.decode()


@pytest.mark.parametrize(
    ("question", "sentence"),
    [
        ({"good": "0"}, "Give at least one good piece."),
        ({"good": "-2"}, "Give at least one good piece."),
        ({"good": ""}, "Give a number of pieces."),
        ({"good": "four"}, "Give a whole number of pieces."),
        ({"good": "1e9"}, "Give a whole number of pieces."),
        ({"good": "9999999"}, "more is no batch for one person"),
        ({"spares": "-1"}, "Give 0 spares or more."),
        ({"blanks": "0"}, "A batch starts with at least one blank."),
        ({"confidence": "1"}, "No number of blanks makes it certain."),
        ({"confidence": "100 %"}, "No number of blanks makes it certain."),
        ({"confidence": "100"}, "No number of blanks makes it certain."),
        ({"confidence": "0"}, "lies above 0 and below 100 %"),
        ({"confidence": "120"}, "lies above 0 and below 100 %"),
        ({"confidence": "-0.5"}, "lies above 0 and below 100 %"),
        ({"confidence": "nan"}, "lies above 0 and below 100 %"),
        ({"confidence": "inf"}, "lies above 0 and below 100 %"),
        ({"confidence": "quite"}, "“quite” is no confidence"),
        ({"confidence": "99.99999"}, "Give between 1 % and 99.9 %"),
        ({"confidence": ""}, "Give a confidence"),
        ({"work": "perhaps"}, "not in the list"),
    ],
)
def test_what_is_no_question_is_refused_with_a_sentence(
    signed_in: Client, ring: Any, question: dict[str, str], sentence: str
) -> None:
    answer = ask(signed_in, ring, **question)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert "To be" not in answer.content.decode()


def test_enough_is_said_where_enough_is_had(signed_in: Client, ring: Any) -> None:
    factories.make_entry(ring.build, part=ring, operation=ring.operations.get(number=20), good=14)
    assert "14 good pieces are finished already" in ask(signed_in, ring).content.decode()
    assert "For 9 chances in 10" in ask(signed_in, ring, work="none").content.decode()


def test_a_number_that_is_tried_out_is_told_of(signed_in: Client, ring: Any) -> None:
    text = ask(signed_in, ring, blanks="13").content.decode()
    assert "If you start 13" in text
    assert "0 %" in text


def test_a_yield_too_low_and_a_part_without_a_route_are_told(
    signed_in: Client, make_build: Any, make_part: Any
) -> None:
    build = make_build()
    poor = make_part(build, "1", operations=ROUTE[:1])
    factories.make_entry(build, part=poor, operation=poor.operations.get(), scrap=900)
    assert "yield is too low" in ask(signed_in, poor, good="200").content.decode()
    bare = make_part(build, "2", operations=[])
    assert "no route yet" in ask(signed_in, bare).content.decode()


def test_without_times_the_hours_are_not_known(signed_in: Client, make_build: Any, make_part: Any) -> None:
    part = make_part(make_build(), quantity=4, operations=[{"kind": "turning"}])
    text = ask(signed_in, part).content.decode()
    assert "no operation of the route has a time yet" in text
    assert 'id="chance-by-blanks"' in text
    assert 'id="hours-by-blanks"' not in text


def test_the_answer_leads_to_a_batch_of_that_size(signed_in: Client, ring: Any) -> None:
    answer = ask(signed_in, ring)
    blanks = answer.context["answer"].sure.blanks
    to = f"/builds/{ring.build.slug}/parts/{ring.pk}/batches/new/?blanks={blanks}"
    assert to in answer.content.decode()
    assert f'value="{blanks}"' in signed_in.get(to).content.decode()


def test_the_material_is_told_with_its_working(signed_in: Client, make_build: Any, make_part: Any) -> None:
    brass = factories.make_material("Brass", density=8500)
    part = make_part(make_build(), quantity=4, blank="20 mm dia x 50", material=brass, operations=ROUTE)
    text = ask(signed_in, part).content.decode()
    assert "of bar, with 3 mm for each cut" in text
    assert "Show the working: Bar for a batch" in text
