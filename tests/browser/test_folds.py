"""A fold fetches its inside when it is opened: once, with the keyboard too, and without script by a link."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest

from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def forecast(transactional_db: None) -> str:
    """The address of the forecast of a build that was worked on."""
    factories.make_user(owner=True)
    build = factories.make_build()
    part = factories.make_part(build, quantity=3, operations=[{"kind": "turning", "minutes_per_unit": 60.0}])
    for week in range(3):
        day = date.today() - timedelta(weeks=week + 1)
        factories.make_entry(build, day, 90, part=part, operation=part.operations.get(), good=1)
    return f"/builds/{build.slug}/forecast/"


def test_a_fold_is_filled_once_and_the_focus_stays_on_it(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], forecast: str
) -> None:
    page, asked = open_page(), []
    sign_in(page)
    page.goto(forecast)
    page.on("request", lambda request: asked.append(request.url) if forecast in request.url else None)
    summary = page.get_by_text("How it was worked out", exact=True)
    summary.focus()
    for _time in range(3):
        page.keyboard.press("Enter")
        page.locator("#working .working__steps").wait_for(state="attached")
    assert page.locator("#working .working__steps").is_visible()
    assert page.evaluate("document.activeElement.textContent") == "How it was worked out"
    assert [url.partition("/forecast/")[2] for url in asked] == ["working/"]


def test_without_script_the_inside_has_a_page_of_its_own(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], forecast: str
) -> None:
    page = open_page(script=False)
    sign_in(page)
    page.goto(forecast)
    page.get_by_text("How it was worked out", exact=True).click()
    page.locator("#working").get_by_role("link", name="On a page of its own").click()
    page.locator("h1", has_text="How it was worked out").wait_for()
    assert page.locator(".working__steps").is_visible()
    page.get_by_role("link", name="Back to the figures").click()
    page.wait_for_url(f"**{forecast}")
