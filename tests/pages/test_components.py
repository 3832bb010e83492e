"""The page of components: every one in every state, for an owner where the program runs with DEBUG."""

import re
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from builds.views.components import inks
from builds.views.components.page import EVERYWHERE, NOT_SHOWN, OF_ONE_PAGE
from tests.test_stylesheets import BASE, SHEETS, classes, selectors

ROOT = Path(__file__).parent.parent.parent
COMPONENTS = {path.stem for path in (ROOT / "templates/components").glob("*.html")}
STATES = {
    "bar": {"bar"},
    "button": {"button", "button--second", "button--remove", "button--big", "button--small"},
    "flag": {"flag", "flag--waiting", "flag--lead"},
    "message": {"message", "message--success", "message--warning", "message--error"},
    "piece": {f"pieces--{state}" for state in ("good", "reworked", "work", "make", "spare", "scrap")},
}


@pytest.fixture
def shown(signed_in_owner: Client, settings: Any, a_photo: Any) -> Any:
    settings.DEBUG = True
    return signed_in_owner.get("/components/")


@pytest.fixture
def a_photo(make_build: Any) -> Any:
    from builds.models import Photo

    return Photo.objects.create(build=make_build(), image="nothing.jpg", caption="The crosshead")


def classes_of(page: str) -> set[str]:
    return {name for names in re.findall(r' class="([^"]*)"', page) for name in names.split()}


def test_every_component_is_shown_or_said_why_not(shown: Any) -> None:
    assert len(COMPONENTS) > 40
    drawn = {template.name for template in shown.templates if template.name}
    missing = {name for name in COMPONENTS if f"components/{name}.html" not in drawn}
    assert missing == set(NOT_SHOWN)


def test_every_sheet_is_shown_or_leads_to_where_it_is(shown: Any) -> None:
    given = classes_of(shown.content.decode())
    elsewhere = {*OF_ONE_PAGE, *EVERYWHERE}
    for name in sorted(SHEETS.keys() - BASE - elsewhere):
        assert given & {one for selector in selectors(SHEETS[name]) for one in classes(selector)}, name
    assert elsewhere <= SHEETS.keys()


@pytest.mark.parametrize("name", sorted(STATES))
def test_a_component_is_shown_in_every_state(shown: Any, name: str) -> None:
    assert STATES[name] - classes_of(shown.content.decode()) == set()


def test_it_is_there_for_an_owner_with_debug_alone(signed_in_owner: Client, settings: Any) -> None:
    for where in ("/components/", "/components/paper.css"):
        assert signed_in_owner.get(where).status_code == 404, where
        settings.DEBUG = True
        assert signed_in_owner.get(where).status_code == 200, where
        settings.DEBUG = False


def test_a_builder_finds_nothing_there(signed_in: Client, settings: Any) -> None:
    settings.DEBUG = True
    assert signed_in.get("/components/").status_code == 404
    assert signed_in.get("/components/paper.css").status_code == 404


def test_it_asks_the_database_for_little(
    signed_in_owner: Client, settings: Any, a_photo: Any, django_assert_max_num_queries: Any
) -> None:
    settings.DEBUG = True
    with django_assert_max_num_queries(4):
        signed_in_owner.get("/components/")


@pytest.mark.parametrize("look", ["day", "evening"])
def test_a_look_may_be_asked_for(signed_in_owner: Client, settings: Any, look: str) -> None:
    settings.DEBUG = True
    assert f'data-theme="{look}"' in signed_in_owner.get(f"/components/?look={look}").content.decode()


@pytest.mark.parametrize("look", ["paper", "contrast", "forced"])
def test_a_look_of_the_device_comes_as_a_sheet(signed_in_owner: Client, settings: Any, look: str) -> None:
    settings.DEBUG = True
    assert f"/components/{look}.css" in signed_in_owner.get(f"/components/?look={look}").content.decode()
    sheet = signed_in_owner.get(f"/components/{look}.css").content.decode()
    assert "@media all{" in sheet
    assert "@media print{" not in sheet or look != "paper"
    assert signed_in_owner.get("/components/unheard-of.css").status_code == 404


def test_a_ratio_of_contrast_is_the_published_one() -> None:
    """Black on white is 21 to 1 by the definition; #777 on white is 4.48, the well-known grey that is not enough."""
    assert inks.contrast("#000", "#fff") == pytest.approx(21)
    assert inks.contrast("#ffffff", "#777777") == pytest.approx(4.48, abs=0.005)


def test_every_ink_is_read_on_its_ground_in_every_look() -> None:
    assert {look for ink in inks.inks().values() for look in ink if not re.fullmatch("#[0-9a-f]{3,6}", look)} == set()
    assert [(pair.ink, pair.ground, pair.ratios) for pair in inks.pairs() if not pair.enough] == []


def test_who_asks_for_more_contrast_gets_seven_to_one() -> None:
    more = [inks.LOOKS.index(look) for look in inks.LOOKS if look.startswith("more")]
    letters = [pair for pair in inks.pairs() if pair.asked >= 4.5]
    assert [
        (pair.ink, pair.ground, pair.ratios) for pair in letters if min(pair.ratios[place] for place in more) < 7
    ] == []
