"""A route card on paper: as many pages and as large as asked for, no buttons, and a code that opens its part."""

import re
from collections.abc import Callable
from typing import Any

import pytest

from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

POINTS_PER_MM = 72 / 25.4
PAPERS = [("a5", 148, 210, 2), ("a4", 210, 297, 1), ("letter", 215.9, 279.4, 1), ("card", 100, 150, 1)]
KINDS = ("sawing", "turning", "boring", "milling", "drilling", "lapping", "inspecting")


@pytest.fixture
def part(transactional_db: None) -> Any:
    factories.make_user()
    build = factories.make_build()
    factories.make_part(build, number="13", name="Gland")
    route = [{"kind": kind, "minutes_per_unit": 12.0, "setup_minutes": 20.0} for kind in KINDS]
    return factories.make_part(build, quantity=6, spares=2, operations=route)


def card_of(part: Any, paper: str) -> str:
    return f"/builds/{part.build.slug}/parts/{part.pk}/card/?paper={paper}"


@pytest.mark.parametrize(("paper", "width", "height", "pages"), PAPERS)
def test_the_paper_has_its_size_and_number_of_pages(
    open_page: Callable[..., Any],
    sign_in: Callable[[Any], None],
    part: Any,
    paper: str,
    width: float,
    height: float,
    pages: int,
) -> None:
    page = open_page()
    sign_in(page)
    page.goto(card_of(part, paper))
    printed = page.pdf(prefer_css_page_size=True)
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", printed)
    assert len(boxes) == pages
    for box in boxes:
        assert [float(side) / POINTS_PER_MM for side in box] == pytest.approx([width, height], abs=0.5)


def test_no_buttons_and_no_links_stand_on_paper(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], part: Any
) -> None:
    page = open_page()
    sign_in(page)
    page.goto(card_of(part, "a4"))
    page.emulate_media(media="print")
    assert page.locator("button:visible, a:visible, input:visible").count() == 0
    text = page.locator("body").inner_text()
    for shown in ("14 Piston ring", "60 lapping", "20 min", "12 min", "6 + 2", "Note"):
        assert shown in text


@pytest.mark.parametrize("paper", ["a5", "card"])
def test_the_code_on_paper_opens_the_bench_on_its_part(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], part: Any, live_server: Any, paper: str
) -> None:
    cv2 = pytest.importorskip("cv2", reason="opencv-python-headless of tests/requirements.txt is not installed.")
    import numpy as np

    page = open_page(dark=True)
    sign_in(page)
    page.goto(card_of(part, paper))
    page.emulate_media(media="print")
    code = page.locator(".routecard__code:visible svg").evaluate("(drawn) => drawn.outerHTML")
    # A printer has more dots than a screen: the same drawing, larger.
    sheet = page.context.new_page()
    sheet.set_content(f"<div style='width: 360px'>{code}</div>")
    seen = sheet.locator("svg").screenshot()
    image = cv2.imdecode(np.frombuffer(seen, np.uint8), cv2.IMREAD_COLOR)
    # The library's plain detector reads 24 of 25 such codes, this one all of 300 that were tried.
    address = cv2.QRCodeDetectorAruco().detectAndDecode(image)[0]
    assert address == f"{live_server.url}/builds/{part.build.slug}/bench/?part={part.pk}"
    page.emulate_media(media="screen")
    page.goto(address)
    chosen = page.locator("input[name='form-0-work']:checked")
    assert "14 Piston ring" in page.locator("label", has=chosen).inner_text()
