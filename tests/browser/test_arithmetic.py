"""Shop arithmetic in a real browser: with script the answer follows what is typed, and without script it works too."""

from collections.abc import Callable
from typing import Any

import pytest

from builds.arithmetic.sheets import SHEETS
from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def shop(transactional_db: None) -> Any:
    return factories.make_user()


def test_the_answer_follows_and_what_is_being_typed_meanwhile_stays(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page(size=(1280, 900))
    sign_in(page)
    page.goto("/arithmetic/bolt-circle/")
    page.get_by_label("Diameter of the bolt circle").fill("4 in")
    page.get_by_label("Holes", exact=True).press("End")
    page.get_by_label("Holes", exact=True).press_sequentially("0")
    page.get_by_text("4 in → 4 in = 101.6 mm").wait_for()
    # The answer to the first field has come; the second, still being typed, was left alone.
    assert page.get_by_label("Holes", exact=True).input_value() == "60"
    page.get_by_label("Angle of the first hole").focus()
    page.get_by_text("60 holes, anticlockwise").wait_for()
    page.wait_for_url("**holes=60**")
    assert "diameter=4+in" in page.url or "diameter=4%20in" in page.url


def test_a_working_that_was_opened_stays_open_in_the_next_answer(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page(size=(1280, 900))
    sign_in(page)
    page.goto("/arithmetic/cylinder-and-crank/")
    steps = page.locator("#answer details.working ol").first
    assert not steps.is_visible()
    page.locator("#answer details.working > summary").first.click()
    page.get_by_label("Crank angle").fill("123")
    page.get_by_label("Crank angle").press("Tab")
    page.locator("figcaption", has_text="Crank at 123°").wait_for()
    assert steps.is_visible()
    page.get_by_label("Turn the crank").press("ArrowRight")
    page.locator("figcaption", has_text="Crank at 124°").wait_for()
    assert steps.is_visible()


def test_what_lies_folded_stands_on_paper(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page(script=False)
    sign_in(page)
    page.goto("/arithmetic/threads/")
    table, steps = page.get_by_role("columnheader", name="Hole"), page.locator("#answer details.working ol").first
    assert not table.is_visible()
    assert not steps.is_visible()
    page.emulate_media(media="print")
    assert page.locator("#answer table").first.is_visible()
    assert steps.is_visible()


def test_a_refusal_stands_beside_its_field_and_goes_when_it_is_put_right(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page()
    sign_in(page)
    page.goto("/arithmetic/speeds/")
    speed = page.get_by_label("Cutting speed")
    speed.fill("25 mm")
    speed.press("Tab")
    page.locator("#id_speed_field .field__error").wait_for()
    page.get_by_text("There is no answer yet").wait_for()
    speed.fill("25 m/min")
    speed.press("Tab")
    page.locator(".answer__number").wait_for()
    assert page.locator("#id_speed_field .field__error").count() == 0
    assert speed.get_attribute("aria-invalid") is None


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_the_process_brings_its_own_fields(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any, script: bool
) -> None:
    page = open_page(script=script)
    sign_in(page)
    page.goto("/arithmetic/speeds/")
    page.get_by_label("Process").select_option("tapping")
    if not script:
        page.get_by_role("button", name="Work it out").click()
    page.get_by_label("Pitch").wait_for()
    assert page.get_by_label("Length of cut").count() == 0
    assert page.locator(".answer__number").count() == 1
    assert "what=tapping" in page.url


@pytest.mark.parametrize(
    ("size", "dark"), [((390, 844), True), ((1280, 900), False)], ids=["phone in the evening", "desk by day"]
)
def test_every_page_fits_its_screen_and_its_readers(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any, size: tuple[int, int], dark: bool
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    page = open_page(size=size, dark=dark)
    sign_in(page)
    addresses = ["", *(f"{name}/" for name in SHEETS), "threads/?what=drills", "triangles/?what=taper&centres=9+in"]
    for address in (*addresses, "speeds/?diameter=0&speed=25+mm", "bolt-circle/?holes=24&centre_x=10"):
        page.goto(f"/arithmetic/{address}")
        wider = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wider <= 0, f"{address} is {wider} px wider than the screen"
        found = Axe().run(page).response["violations"]
        assert not found, (address, [(v["id"], [n["html"][:120] for n in v["nodes"][:3]]) for v in found])
