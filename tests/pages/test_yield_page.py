"""The yield of one part as a page."""

from typing import Any

import pytest
from django.test import Client

from tests import factories

ROUTE = [{"kind": kind, "minutes_per_unit": 10.0} for kind in ("turning", "lapping")]


@pytest.fixture
def ring(make_build: Any, make_part: Any) -> Any:
    return make_part(make_build(), quantity=12, spares=2, operations=ROUTE)


def address(part: Any) -> str:
    return f"/builds/{part.build.slug}/parts/{part.pk}/yield/"


def count(part: Any, number: int, **counts: Any) -> None:
    factories.make_entry(part.build, part=part, operation=part.operations.get(number=number), **counts)


def test_it_names_both_intervals_ranks_the_reasons_and_draws_them(signed_in: Client, ring: Any) -> None:
    for number in (1, 2):
        batch = factories.make_batch(ring, 20, number)
        count(ring, 20, batch=batch, good=14, reworked=6, scrap=6, scrap_reason="broke at the gap")
        count(ring, 10, batch=batch, good=19, scrap=1, scrap_reason="measured wrong")
    text = signed_in.get(address(ring)).content.decode()
    for words in ("Clopper and Pearson", "Wilson", "First-time yield", "40 %", "Whole route"):
        assert words in text
    assert text.index("broke at the gap") < text.index("measured wrong")
    for chart in (f"yield-{ring.pk}", "scrap-reasons", "yield-by-batch"):
        assert f'id="{chart}"' in text
    assert "Too few to tell one way or the other" in text


def test_without_counts_it_says_so(signed_in: Client, ring: Any) -> None:
    text = signed_in.get(address(ring)).content.decode()
    assert "Nothing was counted on this part yet." in text
    assert "Too few to tell: this part has no batch yet" in text
    assert "the planned time stands" in text


def test_a_curve_is_told_from_six_timed_pieces_on(signed_in: Client, ring: Any) -> None:
    for _ in range(2):
        count(ring, 20, good=2)
    assert "too few to tell" in signed_in.get(address(ring)).content.decode()
    count(ring, 20, minutes=40, good=2)
    text = signed_in.get(address(ring)).content.decode()
    assert "too few to tell" not in text
    assert "With twice the pieces" in text
    assert f'id="learning-{ring.operations.get(number=20).pk}"' in text


def test_a_part_without_times_has_no_next_piece(signed_in: Client, make_build: Any, make_part: Any) -> None:
    part = make_part(make_build(), operations=[{"kind": "turning"}])
    assert "Not known: no operation of the route has a time yet." in signed_in.get(address(part)).content.decode()
    bare = make_part(part.build, "2", operations=[])
    assert signed_in.get(address(bare)).status_code == 200


def test_a_name_cannot_break_the_page(signed_in: Client, make_build: Any, make_part: Any) -> None:
    part = make_part(make_build(), name="<b>ring</b> & $x^2$", operations=ROUTE)
    count(part, 20, good=3, scrap=1, scrap_reason='<script>alert("x")</script>')
    text = signed_in.get(address(part)).content.decode()
    assert "<b>ring</b>" not in text
    assert "<script>alert" not in text


def test_notes_and_names_of_the_log_stay_out(signed_in: Client, ring: Any) -> None:
    count(ring, 20, good=3, scrap=1, note="told in confidence", builder=factories.make_builder("Ottoline"))
    text = signed_in.get(address(ring)).content.decode()
    assert "told in confidence" not in text
    assert "Ottoline" not in text


def test_it_is_not_reached_through_another_build(signed_in: Client, make_build: Any, ring: Any) -> None:
    other = make_build("Other")
    for page in ("yield", "blanks", "batches/new"):
        assert signed_in.get(f"/builds/{other.slug}/parts/{ring.pk}/{page}/").status_code == 404


def test_pages_of_a_repeated_part_ask_the_same_for_one_and_for_three(
    signed_in: Client, ring: Any, make_part: Any, django_assert_max_num_queries: Any
) -> None:
    build = ring.build
    urls = [address(ring), address(ring).replace("yield", "blanks"), address(ring).replace("yield", "batches/new")]
    urls += [f"/builds/{build.slug}/counter/"]
    build.for_counter = True
    build.save()
    asked = []
    for more in (1, 2):
        for number in range(more):
            batch = factories.make_batch(ring, 12, 10 * more + number)
            count(ring, 20, batch=batch, good=3, scrap=1, scrap_reason="lost")
            make_part(build, f"9{more}{number}", operations=ROUTE)
        for url in urls:
            signed_in.get(url)
            with django_assert_max_num_queries(18) as captured:
                assert signed_in.get(url).status_code == 200
            asked.append(len(captured.captured_queries))
    assert asked[: len(urls)] == asked[len(urls) :]
