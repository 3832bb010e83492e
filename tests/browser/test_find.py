"""Looking something up in a browser: the key that leads to it, what is found as somebody types, and without script."""

from collections.abc import Callable
from typing import Any

import pytest

from builds.models import Build
from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
DESK = (1280, 900)


@pytest.fixture
def build(transactional_db: None) -> Build:
    factories.make_user()
    build = factories.make_build("Tug")
    factories.make_part(build, "402", "Eccentric strap")
    factories.make_part(build, "212", "Piston ring")
    return build


def focused(page: Any) -> str:
    return str(page.evaluate("document.activeElement.name || document.activeElement.tagName"))


def test_the_key_leads_to_the_field_and_stays_a_sign_where_somebody_types(opened: Callable[..., Any]) -> None:
    page = opened("bench/", size=DESK)
    line = page.locator("input[name=line]").or_(page.locator("main input[type=text]").first).first
    line.click()
    page.keyboard.type("3/8")
    assert line.input_value() == "3/8"
    page.locator("h1").first.click()
    for chord in ("Control+/", "Alt+/", "Meta+/"):
        page.keyboard.press(chord)
        assert focused(page) != "words"
    page.keyboard.press("/")
    assert focused(page) == "words"
    page.keyboard.type("ecc st")
    page.keyboard.press("Enter")
    page.wait_for_url("**/builds/tug/find/?words=ecc+st")
    assert page.get_by_role("link", name="402 Eccentric strap").is_visible()


def test_what_is_found_comes_while_somebody_types_and_the_field_keeps_the_focus(opened: Callable[..., Any]) -> None:
    page = opened("find/", size=DESK)
    page.keyboard.press("/")
    page.keyboard.type("ecc", delay=30)
    page.get_by_role("link", name="402 Eccentric strap").wait_for()
    page.keyboard.type("entric str", delay=30)
    page.wait_for_url("**/find/?words=eccentric%20str")
    assert focused(page) == "words"
    assert page.locator("#id_words").input_value() == "eccentric str"
    page.reload()
    assert page.locator("#id_words").input_value() == "eccentric str"
    assert page.get_by_role("link", name="402 Eccentric strap").is_visible()
    page.go_back()
    assert "/find/" not in page.url


def test_on_a_phone_without_script_a_link_leads_to_the_form(opened: Callable[..., Any]) -> None:
    page = opened("log/", script=False)
    assert not page.locator("header input[type=search]").is_visible()
    page.get_by_role("link", name="Find", exact=True).click()
    page.locator("#id_words").fill("pist ri")
    page.get_by_role("button", name="Find", exact=True).click()
    assert page.get_by_role("link", name="212 Piston ring").is_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
