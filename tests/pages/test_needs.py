"""Saying what comes first, on a part's page; held operations on the route."""

import html
import re
from typing import Any

import pytest
from django.test import Client

from builds.models import Need, Part
from tests import factories

ROUTE = [{"kind": "sawing"}, {"kind": "boring"}]


@pytest.fixture
def part(db: None) -> Part:
    return factories.make_part(factories.make_build(), "211", "Piston", operations=ROUTE)


def plain(page: str) -> str:
    """The text of a page, with its white space made one."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


def where(part: Part) -> str:
    return f"/builds/{part.build.slug}/parts/{part.pk}/needs/"


def options(page: str) -> list[str]:
    inside = page.partition('name="other"')[2].partition("</select>")[0]
    return [one.strip() for one in re.findall(r"<option[^>]*>([^<]*)</option>", inside)]


def test_what_comes_first_is_chosen_and_stands_on_the_route_until_it_is_done(signed_in: Client, part: Part) -> None:
    block = factories.make_part(part.build, "201", "Block", operations=ROUTE)
    page = signed_in.get(where(part)).content.decode()
    assert options(page) == ["choose …", "201 Block as a whole", "201 · 10 sawing", "201 · 20 boring"]

    _sawing, boring = block.operations.all()
    sent = {"operation": part.operations.last().pk, "other": f"o{boring.pk}"}
    answer = signed_in.post(where(part), sent, follow=True)
    assert "201 Block, 20 boring before 211 Piston, 20 boring: that is kept." in plain(answer.content.decode())

    of_part = f"/builds/{part.build.slug}/parts/{part.pk}/"
    assert "first: 201 Block, 20 boring" in plain(signed_in.get(of_part).content.decode())
    factories.make_entry(part.build, part=block, operation=boring, good=1)
    done = plain(signed_in.get(of_part).content.decode())
    assert "first: 201" not in done
    assert "201 Block, 20 boring done" in done


def test_a_search_is_offered_only_where_there_is_more_than_is_listed(signed_in: Client, part: Part) -> None:
    assert 'name="find"' not in signed_in.get(where(part)).content.decode()
    factories.make_part(part.build, "201", "Block", operations=[{"kind": "boring"}] * 61)
    assert 'name="find"' in signed_in.get(where(part)).content.decode()


def test_a_circle_is_refused_in_a_sentence_and_what_was_chosen_stays(signed_in: Client, part: Part) -> None:
    block = factories.make_part(part.build, "201", "Block")
    factories.make_need(block, part)
    answer = signed_in.post(where(part), {"other": f"p{block.pk}", "find": "bl"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "211 Piston needs 201 Block" in plain(page)
    assert f'value="p{block.pk}" selected' in page
    assert Need.objects.count() == 1


@pytest.mark.parametrize("other", ["", "p999999", "o0", "atidying", "pnonsense", "o" + "9" * 40])
def test_what_is_no_part_is_refused_beside_the_list(signed_in: Client, part: Part, other: str) -> None:
    answer = signed_in.post(where(part), {"other": other, "operation": "x"})
    assert answer.status_code == 422
    assert "Choose the part or the operation that comes first." in answer.content.decode()
    assert not Need.objects.exists()


def test_the_form_of_an_operation_leads_to_what_it_needs(signed_in: Client, part: Part) -> None:
    operation = part.operations.last()
    form = signed_in.get(f"/builds/{part.build.slug}/operations/{operation.pk}/edit/").content.decode()
    to = f"{where(part)}?operation={operation.pk}"
    assert f'href="{to}"' in form
    assert f'value="{operation.pk}" selected' in signed_in.get(to).content.decode()


def test_the_route_card_tells_what_comes_first(signed_in: Client, part: Part) -> None:
    block = factories.make_part(part.build, "201", "Block", operations=ROUTE)
    factories.make_need(part.operations.last(), block.operations.last())
    factories.make_need(part, factories.make_part(part.build, "213", "Rod"))
    card = plain(signed_in.get(f"/builds/{part.build.slug}/parts/{part.pk}/card/").content.decode())
    assert "First 213 Rod" in card
    assert "20 boring first: 201 Block, 20 boring" in card


def test_a_large_build_lists_what_is_near_and_finds_the_rest(signed_in: Client, part: Part) -> None:
    for n in range(35):
        factories.make_part(part.build, f"5{n:02}", f"Stud {n}", operations=ROUTE)
    assert len(options(signed_in.get(where(part)).content.decode())) < 35 * 3
    found = options(signed_in.get(where(part), {"find": "stud 34"}).content.decode())
    assert found == ["choose …", "534 Stud 34 as a whole", "534 · 10 sawing", "534 · 20 boring"]

    assert options(signed_in.get(where(part), {"find": "zzz <b>"}).content.decode()) == ["nothing found"]

    # Without script the button sends the form: it is shown again with what was found, and nothing is kept.
    answer = signed_in.post(where(part), {"find": "507", "search": "yes", "operation": part.operations.last().pk})
    assert "507 Stud 7 as a whole" in options(answer.content.decode())
    assert re.search(r'<option value="\d+" selected>20 boring', answer.content.decode())
    assert not Need.objects.exists()


def test_an_operation_that_may_not_change_places_says_why(signed_in: Client, part: Part) -> None:
    block = factories.make_part(part.build, "201", "Block")
    sawing, boring = part.operations.all()
    factories.make_need(block, sawing)
    factories.make_need(boring, block)
    to = f"/builds/{part.build.slug}/operations/{boring.pk}/move/"
    assert "circle" in signed_in.post(to, {"way": "earlier"}, follow=True).content.decode()
    assert list(part.operations.values_list("kind", flat=True)) == ["sawing", "boring"]


@pytest.mark.parametrize("size", [1, 6])
def test_the_page_takes_as_many_queries_however_much_is_said(
    signed_in: Client, part: Part, django_assert_max_num_queries: Any, size: int
) -> None:
    for n in range(size):
        factories.make_need(part, factories.make_part(part.build, str(n), operations=ROUTE))
    with django_assert_max_num_queries(22):
        signed_in.get(where(part))
