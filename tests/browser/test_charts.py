"""The figure behind a point of a chart: pointed at, or stepped to by keyboard; and letters that stay apart."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
COLLIDING = """() => {
  const drawn = [...document.querySelectorAll(".chart__svg")].filter((one) => one.getClientRects()[0]);
  const letters = drawn.map((svg) => [...svg.querySelectorAll("text")].map((one) => [one.textContent,
    one.getBoundingClientRect(), parseFloat(getComputedStyle(one).fontSize) * svg.getScreenCTM().a]));
  const over = (a, b) => a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 4 && b.top < a.bottom - 4;
  return {
    smallest: Math.min(...letters.flat().map((one) => one[2])),
    hits: letters.flatMap((all) => all.flatMap((one, n) => all.slice(0, n).filter((other) => over(one[1], other[1]))
      .map((other) => `${one[0]} | ${other[0]}`))),
  };
}"""


@pytest.fixture
def worked(transactional_db: None) -> Any:
    """A build with a year and a half of evenings and half of its pieces to make."""
    factories.make_user()
    build = factories.make_build("Beam engine")
    route = ({"kind": "turning", "setup_minutes": 30, "minutes_per_unit": 60.0},)
    for number in range(1, 5):
        part = factories.make_part(build, str(number), f"Part {number}", quantity=8, operations=route)
        for month in range(1, 4):
            day, done = date(2024 + month // 3, number * 3, 2 + month), 60 + 55 * month + 20 * number
            factories.make_entry(build, day, done, part=part, operation=part.operations.get(), good=1)
    return build


def test_the_row_behind_a_point_is_said_by_pointer_and_by_keyboard(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], worked: Any
) -> None:
    page = open_page(size=(1280, 900))
    sign_in(page)
    page.goto(f"/builds/{worked.slug}/years/2025/")
    chart = page.locator("figure.chart").first
    drawing, said, rows = chart.locator(".chart__drawing"), chart.locator("output"), chart.locator("tbody tr")
    drawing.scroll_into_view_if_needed()
    shown = chart.locator(".chart__svg:visible")
    x, y = (float(at) for at in shown.get_attribute("data-at").split()[2].split(","))
    box, across = shown.bounding_box(), float(shown.get_attribute("viewBox").split()[2])
    # Well below the top of the bar: it is looked for along the months.
    page.mouse.move(box["x"] + x * box["width"] / across + 2, box["y"] + y * box["width"] / across + 60)
    assert said.inner_text().startswith("March · Bench hours ")
    assert shown.locator(".chart__point").is_visible()
    page.mouse.move(5, 5)
    assert not said.is_visible()
    drawing.focus()
    page.keyboard.press("ArrowLeft")
    assert said.inner_text().startswith("February · ")
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    last = rows.nth(rows.count() - 1).locator("th").text_content()
    assert said.inner_text().startswith(f"{last} · ")


@pytest.mark.parametrize("wide", [360, 1280])
def test_letters_on_the_drawings_never_stand_on_one_another(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], worked: Any, wide: int
) -> None:
    page = open_page(size=(wide, 900), script=False)
    sign_in(page)
    for address in ("forecast/", "rates/", "years/2025/", f"parts/{worked.parts.first().pk}/yield/"):
        page.goto(f"/builds/{worked.slug}/{address}")
        assert page.locator(".chart__svg:visible").count() > 0, address
        found = page.evaluate(COLLIDING)
        assert found["hits"] == [], address
        assert found["smallest"] >= 12, address
