"""Twelve rings measured on a phone beside the lathe: taps are counted, and nothing typed is lost."""

from collections.abc import Callable
from typing import Any

import pytest

from builds.models import Measurement
from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

# In two minutes somebody taps so often, at one tap a second (a judgement: thumbs on digits are about twice as quick).
TAPS_IN_TWO_MINUTES = 120
RINGS = ["12.01", "12.00", "12.03", "12.01", "12.02", "12.01", "12.00", "12.01", "12.01", "11.99", "12.01", "12.01"]


@pytest.fixture
def bore(transactional_db: None) -> Any:
    factories.make_user()
    part = factories.make_part(factories.make_build(), quantity=12, operations=[{"kind": "inspecting"}])
    return factories.make_size(part, "bore", "12 H7")


def where(bore: Any) -> str:
    return f"/builds/{bore.part.build.slug}/parts/{bore.part.pk}/measure/"


class Thumb:
    """Taps on a page and on the keyboard that it opens, counted."""

    def __init__(self, page: Any) -> None:
        self.page, self.taps = page, 0

    def tap(self, target: Any) -> None:
        target.click()
        self.taps += 1

    def type(self, text: str) -> None:
        self.page.keyboard.type(text)
        self.taps += len(text)

    def enter(self) -> None:
        self.page.keyboard.press("Enter")
        self.taps += 1


def test_twelve_rings_are_measured_in_under_two_minutes_of_taps(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], bore: Any
) -> None:
    page = open_page()
    sign_in(page)
    page.goto(where(bore))
    thumb = Thumb(page)
    thumb.tap(page.get_by_label("Piece 1", exact=True))
    for figure in RINGS:
        thumb.type(figure)
        thumb.enter()
    page.get_by_text("12 pieces are measured.").wait_for()
    assert thumb.taps == 73
    assert thumb.taps < TAPS_IN_TWO_MINUTES
    assert list(Measurement.objects.order_by("piece").values_list("typed", flat=True)) == RINGS
    assert page.get_by_text("Piece 3: bore 12.03 mm over 12.018 mm.").is_visible()


def test_twelve_rings_by_a_gauge_set_to_a_master(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], bore: Any
) -> None:
    page = open_page()
    sign_in(page)
    page.goto(where(bore))
    thumb = Thumb(page)
    thumb.tap(page.get_by_role("button", name="Difference to a master"))
    thumb.tap(page.get_by_label("Gauge set to"))
    thumb.type("12")
    thumb.tap(page.get_by_label("Piece 1", exact=True))
    for piece in range(1, 13):
        thumb.type("0.01")
        if piece == 5:
            thumb.tap(page.get_by_label("Piece 5 lies below the master"))
            page.locator("#told-5").get_by_text("11.99 mm").wait_for()
            thumb.tap(page.get_by_label("Piece 5", exact=True))
        thumb.enter()
    page.get_by_text("12 pieces are measured.").wait_for()
    assert thumb.taps < TAPS_IN_TWO_MINUTES
    assert sorted(set(Measurement.objects.values_list("millimetres", flat=True))) == [11.99, 12.01]


def test_twelve_rings_by_a_limit_gauge(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], bore: Any
) -> None:
    page = open_page()
    sign_in(page)
    page.goto(where(bore))
    thumb = Thumb(page)
    thumb.tap(page.get_by_role("button", name="Limit gauge"))
    for piece in range(1, 13):
        row = page.get_by_role("group", name=f"Piece {piece}", exact=True)
        thumb.tap(row.get_by_text("out" if piece == 4 else "goes", exact=True))
    thumb.tap(page.get_by_role("button", name="Keep these").last)
    page.get_by_text("12 pieces are measured.").wait_for()
    assert thumb.taps == 14
    assert Measurement.objects.get(gauged="no go").piece == 4


def test_in_or_out_is_said_while_the_figure_is_typed(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], bore: Any
) -> None:
    page = open_page()
    sign_in(page)
    page.goto(where(bore))
    page.get_by_label("Piece 2", exact=True).fill("12.03")
    page.locator("#told-2").get_by_text("out, 0.012 mm over").wait_for()
    assert "✗" in page.locator("#told-2").inner_text()
    page.get_by_label("Piece 2", exact=True).fill("12.01")
    page.locator("#told-2").get_by_text("✓").wait_for()
    assert page.get_by_label("Piece 2", exact=True).input_value() == "12.01"


def test_without_script_figures_are_kept_and_refusals_lose_nothing(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], bore: Any
) -> None:
    page = open_page(script=False, refused=True)
    sign_in(page)
    page.goto(where(bore))
    page.get_by_label("Piece 1", exact=True).fill("12.01")
    page.get_by_label("Piece 2", exact=True).fill("the bore")
    page.get_by_role("button", name="Keep these").last.click()
    assert page.get_by_label("Piece 1", exact=True).input_value() == "12.01"
    assert "✓ within" in page.locator("#told-1").inner_text()
    page.get_by_label("Piece 2", exact=True).fill("12.03")
    page.keyboard.press("Enter")
    page.get_by_text("2 pieces are measured.").wait_for()
    page.go_back()
    page.go_forward()
    assert Measurement.objects.count() == 2
