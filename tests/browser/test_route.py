"""A part's route, changed in place: whoever works with the keyboard goes on where they were."""

from collections.abc import Callable
from typing import Any

import pytest

from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

IN_FOCUS_AND_VIEW = """(id) => {
  const { top, bottom } = document.activeElement.getBoundingClientRect();
  return document.activeElement.id === id && top >= 0 && bottom <= innerHeight;
}"""


def test_the_focus_stays_with_what_was_added_or_moved(
    transactional_db: None, open_page: Callable[..., Any], sign_in: Callable[[Any], None]
) -> None:
    factories.make_user(owner=True)
    part = factories.make_part(factories.make_build(), operations=[{"kind": "turning"}, *({"kind": "milling"},) * 19])
    page = open_page()
    sign_in(page)
    page.goto(f"/builds/{part.build.slug}/parts/{part.pk}/")
    page.get_by_role("link", name="Add an operation").press("Enter")
    page.wait_for_function(IN_FOCUS_AND_VIEW, arg="id_kind")
    page.get_by_label("Title").fill("Polish")
    page.get_by_label("Title").press("Enter")
    page.locator("[aria-label='Edit 210 Polish']:focus").wait_for()
    first = part.operations.first()
    page.locator(f"#later-{first.pk}").press("Enter")
    page.get_by_label("Edit 20 turning").wait_for()
    page.wait_for_function(IN_FOCUS_AND_VIEW, arg=f"later-{first.pk}")
