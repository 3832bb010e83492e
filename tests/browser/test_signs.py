"""The sign and the talk sheet on paper, the page in large print on a screen: one page each, and nothing cut off."""

import re
from collections.abc import Callable
from datetime import date
from typing import Any
from urllib.parse import urljoin

import pytest

from builds.models import Exhibit
from builds.services.plan.visitors import keep_exhibit
from builds.views.visitors.placard import PAPERS
from tests import factories
from tests.browser.conftest import PASSWORD

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

POINTS_PER_MM = 72 / 25.4
WORDY = "Hochdruckverbunddampfmaschine Wilhelmshavener Schleppschifffahrtsgesellschaft "
# Of each text the longest that its field holds, in long words, in none that breaks, and in letters that are wide.
LONG = {
    "long words": WORDY * 40,
    "one word": "Zwischenüberhitzer" * 160,
    "wide letters": "MWOHMWOQ MMWW " * 200,
}
# How far the lowest thing on the sign, its foot aside, stands above its foot, and how much sticks out on the right.
ROOM_LEFT = """() => {
  const sign = document.querySelector(".placard").getBoundingClientRect();
  const foot = document.querySelector(".placard__foot").getBoundingClientRect();
  const texts = [...document.querySelectorAll(".placard__text, .placard__title, .placard .facts__code")];
  const boxes = texts.map((one) => one.getBoundingClientRect());
  const wide = texts.filter((one) => one.scrollWidth > one.clientWidth + 1).length;
  return [foot.top - Math.max(...boxes.map((box) => box.bottom)), sign.bottom - foot.bottom, wide];
}"""


def engine(name: str, text: str) -> Any:
    """A build whose every text is as long as it may be, and a part like it."""
    build = factories.make_build(name, on_board=True, subject=text[:200], scale="1:12")
    part = factories.make_part(
        build, "1", text[:160], quantity=40, spares=4, for_visitors=text[:300], finished_mass_grams=12.0,
        material=factories.make_material(text[:80]),
        operations=({"kind": "turning", "title": text[:100], "minutes_per_unit": 20.0, "setup_minutes": 9.0},),
    )  # fmt: skip
    operation = part.operations.get()
    for n in range(3):
        factories.make_entry(
            build, date(2026, 3, 2 + n), 150, part=part, operation=operation, good=4, scrap=3, scrap_reason=text[:60]
        )
    keep_exhibit(
        exhibit=Exhibit(
            build=build, what_it_did=text[:400], real_length="8.4 m", real_height="3 m",
            how_it_works="\n".join(text[start : start + 240].strip() for start in range(0, 2400, 240)),
        ),
        for_visitors=text[:600], on_board=True, date_on_board=True, by=None,
    )  # fmt: skip
    return build


def pages_of(printed: bytes) -> list[tuple[float, float]]:
    """Width and height of each page in mm."""
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", printed)
    return [(float(wide) / POINTS_PER_MM, float(high) / POINTS_PER_MM) for wide, high in boxes]


@pytest.fixture
def printer(transactional_db: None, open_page: Callable[..., Any], live_server: Any, settings: Any) -> Any:
    """A page, signed in under a name that is not only this machine's, so that a sign has its code."""
    settings.ALLOWED_HOSTS = ["*"]
    factories.make_user()
    page = open_page(size=(1280, 900))
    page.goto(live_server.url.replace("localhost", "shop.localhost") + "/sign-in/")
    page.get_by_label("Username").fill("ada")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/")
    return page


@pytest.mark.parametrize("kind", ["usual", *LONG])
def test_a_sign_is_one_page_of_its_paper_with_nothing_cut(printer: Any, kind: str) -> None:
    text = LONG.get(kind, "It drove the looms of a mill. ")
    build = engine(text[:120].strip() if kind in LONG else "Beam engine", text)
    printer.emulate_media(media="print")
    for paper, (_label, size) in PAPERS.items():
        printer.goto(urljoin(printer.url, f"/builds/{build.slug}/placard/?paper={paper}"))
        (wide, high), *more = pages_of(printer.pdf(prefer_css_page_size=True))
        assert (more, wide, high) == ([], pytest.approx(size.width + 20, abs=1), pytest.approx(size.height + 20, abs=1))
        assert printer.locator(".facts__code:visible").count() == 1
        above_foot, below_foot, too_wide = printer.evaluate(ROOM_LEFT)
        assert above_foot > -1, (paper, above_foot)
        assert below_foot > -1, (paper, below_foot)
        assert too_wide == 0, paper
        assert printer.locator("button:visible, nav a:visible").count() == 0


@pytest.mark.parametrize("kind", ["usual", *LONG])
def test_the_talk_sheet_is_one_page_of_a4_and_of_letter(printer: Any, kind: str) -> None:
    text = LONG.get(kind, "It drove the looms of a mill. ")
    build = engine(text[:120].strip() if kind in LONG else "Beam engine", text)
    printer.goto(urljoin(printer.url, f"/builds/{build.slug}/talk/"))
    for paper in ("A4", "Letter"):
        assert len(pages_of(printer.pdf(format=paper))) == 1, paper
    printer.set_viewport_size({"width": 390, "height": 844})
    assert printer.evaluate("document.documentElement.scrollWidth") == 390


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_the_page_in_large_print_is_large_and_fits_the_smallest_phone(
    transactional_db: None, open_page: Callable[..., Any], dark: bool
) -> None:
    build = engine("Beam engine", LONG["one word"])
    page = open_page(script=False, size=(320, 640), dark=dark)
    page.goto(f"/board/{build.slug}/facts/")
    sizes = page.evaluate("""() => [...document.querySelectorAll("main, main *")]
        .filter((one) => [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim()))
        .map((one) => parseFloat(getComputedStyle(one).fontSize))""")
    assert len(sizes) > 15
    assert min(sizes) >= 24
    assert page.evaluate("document.documentElement.scrollWidth") == 320
    assert page.locator("h1").count() == 1
