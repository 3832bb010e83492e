"""The page that copies a part or its route: what it offers, refuses and says."""

import re
from typing import Any

import pytest
from django.test import Client

from builds.models import Part
from tests import factories


@pytest.fixture
def ring(make_build: Any) -> Part:
    return factories.make_part(make_build())


def page_of(part: Part) -> str:
    return f"/builds/{part.build.slug}/parts/{part.pk}/copy/"


def text_of(response: Any) -> str:
    return " ".join(re.sub(r"<[^>]*>", " ", response.content.decode()).split())


def test_the_part_s_own_page_leads_to_it_with_a_free_number(signed_in: Client, ring: Part) -> None:
    assert page_of(ring) in signed_in.get(f"/builds/{ring.build.slug}/parts/{ring.pk}/").content.decode()
    page = signed_in.get(page_of(ring)).content.decode()
    assert 'name="number" value="14B"' in page
    assert 'name="name" value="Piston ring"' in page


def test_a_copy_is_said_with_the_button_that_takes_it_away(signed_in: Client, ring: Part) -> None:
    sent = {"doing": "part", "number": "14L", "name": "Ring, left hand"}
    page = signed_in.post(page_of(ring), sent, follow=True)
    assert "14L Ring, left hand is planned like 14 Piston ring. Undo this" in text_of(page)
    way_back = re.search(r'action="([^"]+/undo/)"', page.content.decode())
    assert way_back is not None
    after = signed_in.post(way_back[1], {"next": page.request["PATH_INFO"]}, follow=True)
    assert after.status_code == 200
    assert not Part.objects.filter(number="14L").exists()


@pytest.mark.parametrize(("number", "sentence"), [("14", "item number already"), ("", "This is needed")])
def test_a_number_that_will_not_do_is_refused_and_stays_typed(
    signed_in: Client, ring: Part, number: str, sentence: str
) -> None:
    answer = signed_in.post(page_of(ring), {"doing": "part", "number": number, "name": "<b>second</b>"})
    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert 'value="&lt;b&gt;second&lt;/b&gt;"' in answer.content.decode()
    assert Part.objects.count() == 1


def test_a_route_is_given_to_another_part(signed_in: Client, ring: Part) -> None:
    other = factories.make_part(ring.build, "15", "Gland", operations=())
    page = signed_in.post(page_of(ring), {"doing": "route", "to": other.pk}, follow=True)
    assert "15 Gland has the route of 14 Piston ring now." in text_of(page)
    assert other.operations.get().minutes_per_unit == 30.0


@pytest.mark.parametrize(
    ("to", "sentence"),
    [
        ("", "This is needed"),
        ("x", "not in the list"),
        ("9" * 30, "not in the list"),
        ("itself", "not in the list"),
        ("logged on", "Work is logged on the route of 15 Gland"),
    ],
)
def test_a_part_that_cannot_take_a_route_is_refused_with_a_sentence(
    signed_in: Client, ring: Part, to: str, sentence: str
) -> None:
    route = ({"kind": "turning"}, {"kind": "boring"})
    gland = factories.make_part(ring.build, "15", "Gland", operations=route)
    factories.make_entry(ring.build, part=gland, operation=gland.operations.first(), good=1)
    keys = {"itself": str(ring.pk), "logged on": str(gland.pk)}
    answer = signed_in.post(page_of(ring), {"doing": "route", "to": keys.get(to, to)})
    assert answer.status_code == 422
    assert sentence in text_of(answer)
