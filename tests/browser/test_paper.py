"""Pages as they print: the build, the day and the page's number on every sheet, nothing that can be pressed."""

import io
from collections.abc import Callable
from typing import Any

import pytest
from pypdf import PdfReader

from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PAGES = ("parts/{part}/", "forecast/", "log/", "rates/", "years/", "repeats/")
TO_PRESS = ("Sign out", "Add an operation", "Log work on it", "Amend", "Tonight")


@pytest.fixture
def shop(transactional_db: None) -> Any:
    """A shop whose log fills more than one sheet."""
    factories.make_user()
    build = factories.make_build(scale="1:6")
    part = factories.make_part(build, quantity=3, operations=[{"kind": "turning", "title": "Turn the blank"}])
    for place in range(40):
        operation = part.operations.get()
        factories.make_entry(build, part=part, operation=operation, minutes=60 + place, note=f"Note {place}")
    return build


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_sheet_names_the_build_the_day_and_its_number(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any, paper: str
) -> None:
    page = open_page(size=(1280, 900))
    sign_in(page)
    counts = []
    for path in PAGES:
        page.goto(f"/builds/{shop.slug}/{path.format(part=shop.parts.get().pk)}")
        day = page.locator(".paperhead span").last.text_content()
        sheets = PdfReader(io.BytesIO(page.pdf(format=paper))).pages
        texts = [" ".join(sheet.extract_text().split()) for sheet in sheets]
        for number, text in enumerate(texts, 1):
            wanted = (f"{shop.name}, 1:6", day, f"{number} / {len(texts)}")
            assert [words for words in wanted if words not in text] == [], (path, text[:300])
        assert [words for words in TO_PRESS if words in " ".join(texts)] == [], path
        counts.append(len(texts))
    assert max(counts) > 1
