"""What takes more than a second shows that it works, and is not done twice by a second press."""

from collections.abc import Callable
from typing import Any

import pytest

from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

# What would have been sent is counted in the place of being sent, so that the page stays as while one waits.
NEVER_ANSWERED = """() => {
  window.sentTimes = 0;
  window.addEventListener("submit", (event) => {
    if (!event.defaultPrevented) window.sentTimes += 1;
    event.preventDefault();
  });
}"""


def test_a_form_that_is_long_in_coming_shows_that_it_works(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], transactional_db: None
) -> None:
    factories.make_user()
    build = factories.make_build()
    page = open_page()
    sign_in(page)
    page.goto(f"/builds/{build.slug}/parts/take-in/")
    page.evaluate(NEVER_ANSWERED)
    working, look = page.get_by_label("Working on it"), page.get_by_role("button", name="Look at it")
    page.get_by_label("pasted").fill("Item\tName\n1\tBed\n")
    look.click()
    assert not working.is_visible()
    working.wait_for(timeout=3_000)
    assert look.is_disabled()
    page.evaluate("document.querySelector('main form').requestSubmit()")
    assert page.evaluate("window.sentTimes") == 1
