"""Every page of the demonstration on a phone: nothing stands beyond its edge, also where all that folds is open."""

import re
from collections.abc import Callable
from typing import Any

import pytest

from builds.management.demonstration import load_demonstration
from tests import factories
from tests.factories import TODAY

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

NO_PAGE = re.compile(r"\.\w+$|/(static|export|download|sign-out)\b")
OPEN_ALL = "document.querySelectorAll('details').forEach((one) => { one.open = true })"
WIDER = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
LINKS = "[...document.querySelectorAll('a[href]:not([download])')].map((one) => one.pathname)"


def shape(address: str) -> str:
    return re.sub(r"\d+", "n", address)


def test_no_page_of_the_demonstration_is_wider_than_a_phone(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None]
) -> None:
    """One page of every kind that a link leads to."""
    factories.make_user()
    load_demonstration(TODAY)
    page = open_page()
    sign_in(page)
    to_see, seen, too_wide = ["/"], set(), {}
    while to_see:
        address = to_see.pop(0)
        if shape(address) in seen or NO_PAGE.search(address):
            continue
        seen.add(shape(address))
        page.goto(address)
        page.evaluate(OPEN_ALL)
        if (wider := page.evaluate(WIDER)) > 0:
            too_wide[address] = wider
        to_see += page.evaluate(LINKS)
    assert len(seen) > 50
    assert too_wide == {}
