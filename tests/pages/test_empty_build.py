"""Every page of a build with nothing in it leads on to the first step."""

import re

import pytest
from django.test import Client

from tests.factories import make_build, make_user

pytestmark = pytest.mark.django_db

FIRST_PART = "/builds/beam/parts/new/"
BENCH = "/builds/beam/bench/"

LEADS_TO = {
    "": FIRST_PART,
    "parts/": FIRST_PART,
    "repeats/": "/builds/beam/",
    "tonight/": FIRST_PART,
    "forecast/": BENCH,
    "ready/": FIRST_PART,
    "holds/": "/builds/beam/milestones/",
    "rates/": BENCH,
    "replay/": "/builds/beam/forecast/",
    "log/": BENCH,
    "years/": BENCH,
    "to-buy/": FIRST_PART,
    "waiting/": FIRST_PART,
    "sizes/": FIRST_PART,
    "batches/": FIRST_PART,
    "remarks/": "/builds/beam/sheets/",
    "pairs/": "/builds/beam/parts/",
    "counter/": "/builds/beam/edit/",
    "placard/": "/builds/beam/visitors/",
    "talk/": "/builds/beam/visitors/",
}

# The form for the first one stands on the page itself.
FORM_OF_ITS_OWN = ("bench/", "assemblies/", "sheets/", "milestones/", "closures/", "photos/", "book/")


def main_of(client: Client, address: str) -> str:
    answer = client.get(f"/builds/beam/{address}", follow=True)
    assert answer.status_code == 200
    return answer.content.decode().partition("<main")[2].partition("</main>")[0]


@pytest.mark.parametrize("page", LEADS_TO)
def test_a_page_with_nothing_on_it_leads_on(signed_in: Client, page: str) -> None:
    make_build("Beam")
    assert LEADS_TO[page] in re.findall(r'<a[^>]* href="([^"]+)"', main_of(signed_in, page))


@pytest.mark.parametrize("page", FORM_OF_ITS_OWN)
def test_a_page_whose_first_one_is_added_there_has_the_form_for_it(signed_in: Client, page: str) -> None:
    make_build("Beam")
    assert re.search(r'<form\b[^>]*method="post"', main_of(signed_in, page))


def test_an_onlooker_is_led_to_no_page_that_would_turn_them_away(client: Client) -> None:
    make_build("Beam")
    onlooker = make_user("olga")
    onlooker.builder.looks_on = True
    onlooker.builder.save()
    client.force_login(onlooker, backend="builds.permissions.PeopleBackend")
    for page in ("", "parts/", "tonight/", "waiting/", "to-buy/", "batches/", "placard/", "talk/"):
        links = re.findall(r'<a[^>]* href="([^"]+)"', main_of(client, page))
        assert not {FIRST_PART, "/builds/beam/visitors/", BENCH} & set(links), page
