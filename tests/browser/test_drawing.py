"""A drawing on a phone: looked at closely, moved, and a remark put at a place on it."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from builds.models import Remark
from builds.services.plan.drawings import add_drawing, make_pictures
from tests import factories, scanned

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SHOWN = "document.querySelector('.viewer__page').getAttribute('viewBox').split(' ').map(Number)"


@pytest.fixture
def where(data_dir: Path) -> str:
    factories.make_user()
    sheet = factories.make_sheet(factories.make_build(), "3", title="Cylinder")
    drawing = add_drawing(sheet=sheet, upload=scanned.sent(scanned.pdf()), by=None)
    list(make_pictures(drawing.pk))
    return f"/builds/{sheet.build.slug}/sheets/{sheet.pk}/"


def pinch(page: Any, box: dict[str, float], apart: int) -> None:
    """Two fingers on the middle of the picture, taken apart by so many pixels each."""
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    devices = page.context.new_cdp_session(page)

    def touch(kind: str, off: int) -> None:
        points = [{"x": x - off, "y": y, "id": 1}, {"x": x + off, "y": y, "id": 2}] if kind != "touchEnd" else []
        devices.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    touch("touchStart", 20)
    for off in range(20, 20 + apart, 10):
        touch("touchMove", off)
    touch("touchEnd", 0)


def test_a_drawing_is_taken_closer_and_moved_by_hand_and_keys(
    phone: Callable[[], Any], sign_in: Callable[[Any], None], where: str
) -> None:
    page = phone().pages[0]
    sign_in(page)
    page.goto(where)
    picture = page.locator(".viewer__page")
    assert page.evaluate(SHOWN) == [0, 0, 1600, 1131]
    picture.scroll_into_view_if_needed()
    pinch(page, picture.bounding_box(), 60)
    near = page.evaluate(SHOWN)
    assert 200 < near[2] < 800
    box = picture.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 60, y - 30, steps=4)
    page.mouse.up()
    moved = page.evaluate(SHOWN)
    assert moved[0] > near[0]
    assert moved[1] > near[1]
    assert page.get_by_label("From the left, %").input_value() == ""
    picture.focus()
    page.keyboard.press("ArrowLeft")
    assert page.evaluate(SHOWN)[0] < moved[0]
    page.keyboard.press("0")
    assert page.evaluate(SHOWN) == [0, 0, 1600, 1131]
    page.get_by_role("button", name="Closer").tap()
    assert page.evaluate(SHOWN)[2] < 1100


def test_a_tap_puts_a_remark_at_its_place(phone: Callable[[], Any], sign_in: Callable[[Any], None], where: str) -> None:
    page = phone().pages[0]
    sign_in(page)
    page.goto(where)
    picture = page.locator(".viewer__page")
    box = picture.bounding_box()
    picture.tap(position={"x": box["width"] / 4, "y": box["height"] / 2})
    page.get_by_label("The drawing says").fill("bore 12")
    page.get_by_label("We made").fill("12.5")
    page.get_by_role("button", name="Add this remark").tap()
    pin = page.locator("a .viewer__pin")
    pin.wait_for()
    remark = Remark.objects.get()
    assert (remark.page, remark.by.name) == (1, "ada")
    assert remark.across == pytest.approx(0.25, abs=0.02)
    assert remark.down == pytest.approx(0.5, abs=0.02)
    # As large as a fingertip wants it once the script has seen how large the picture stands.
    for _moment in range(100):
        if pin.bounding_box()["width"] >= 24:
            break
        page.wait_for_timeout(50)
    assert pin.bounding_box()["width"] >= 24


def test_without_script_it_is_a_picture_and_a_remark_takes_figures(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], where: str
) -> None:
    page = open_page(script=False)
    sign_in(page)
    page.goto(where)
    assert page.locator(".viewer__page image").is_visible()
    assert not page.get_by_role("button", name="Closer").is_visible()
    for label, text in {
        "The drawing says": "bore 12",
        "We made": "12.5",
        "From the left, %": "10",
        "From the top, %": "20",
    }.items():
        page.get_by_label(label).fill(text)
    page.get_by_role("button", name="Add this remark").click()
    remark = Remark.objects.get()
    assert (remark.across, remark.down) == (0.1, 0.2)
