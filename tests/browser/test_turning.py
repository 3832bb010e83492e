"""A drawing that turns with the crank: by the slider, by the keyboard, by the number, and without any script."""

from collections.abc import Callable
from typing import Any

import pytest

from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def shop(transactional_db: None) -> Any:
    return factories.make_user()


def test_the_drawing_follows_slider_keyboard_and_number(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page()
    sign_in(page)
    page.goto("/arithmetic/cylinder-and-crank/")
    slider, number = page.get_by_label("Turn the crank"), page.get_by_label("Crank angle")
    slider.focus()
    for _ in range(30):
        page.keyboard.press("ArrowRight")
    page.get_by_role(
        "img", name="Crank at 90°: the piston stands 22.54 mm below its top and goes down."
    ).first.wait_for()
    page.wait_for_url("**angle=90**")
    assert number.input_value() == "90"
    assert page.evaluate("document.activeElement.id") == "turn"
    number.fill("180")
    assert slider.input_value() == "180"
    number.press("Tab")
    page.locator("figcaption", has_text="Crank at 180°: the piston stands at the bottom").wait_for()


def test_without_script_the_small_drawings_turn_the_large_one(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page(script=False)
    sign_in(page)
    page.goto("/arithmetic/star-engine/?cylinders=7&stroke=30+mm")
    assert not page.get_by_label("Turn the crank").is_visible()
    page.get_by_role("link", name="270°").click()
    page.locator("figcaption", has_text="A star of 7, crank at 270°").wait_for()
    assert page.get_by_label("Stroke").input_value() == "30 mm"
    page.get_by_label("Crank angle").fill("45")
    page.get_by_role("button", name="Work it out").click()
    page.locator("figcaption", has_text="A star of 7, crank at 45°").wait_for()
