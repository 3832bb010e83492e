"""Two people at one record in two browsers: the later one takes what is right from each with one button."""

from collections.abc import Callable
from typing import Any

import pytest

from builds.models import Part
from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_the_later_one_takes_from_each_what_is_right(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], transactional_db: None, script: bool
) -> None:
    factories.make_user()
    part = factories.make_part(factories.make_build(), quantity=3)
    pages = [open_page(script=script, refused=True) for _ in range(2)]
    for page in pages:
        sign_in(page)
        page.goto(f"/builds/{part.build.slug}/parts/{part.pk}/edit/")
    first, late = pages
    first.locator("[name=quantity]").fill("5")
    first.locator("[name=name]").fill("Piston ring, upper")
    first.get_by_role("button", name="Save").click()
    first.wait_for_url("**/parts/*/")
    late.locator("[name=quantity]").fill("7")
    late.locator("[name=name]").fill("Ring")
    late.get_by_role("button", name="Save").click()
    late.locator("#refused:focus").wait_for()
    late.get_by_label("Take theirs: 5").check()
    late.get_by_label("Take mine: Ring", exact=True).check()
    late.get_by_role("button", name="Save").click()
    late.wait_for_url("**/parts/*/")
    kept = Part.objects.get()
    assert (kept.quantity, kept.name) == (5, "Ring")
