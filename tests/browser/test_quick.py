"""The usual evening on a phone, counted in taps; nothing of it wants a scroll."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from builds.models import Entry
from builds.models.builder import Builder
from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

IN_SIGHT = """(element) => {
  const box = element.getBoundingClientRect();
  const top = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
  return window.scrollY === 0 && box.top >= 0 && box.bottom <= window.innerHeight
    && (element === top || element.contains(top) || top.contains(element));
}"""


@pytest.fixture
def shop(transactional_db: None) -> Any:
    """A build with four picks of long names, where Ada's evenings are of an hour and three quarters."""
    factories.make_user()
    build = factories.make_build()
    operations = [
        {"kind": "turning", "title": "Turn the outside to a fine finish between centres"},
        {"kind": "lapping"},
    ]
    for number in ("14", "15", "16", "17"):
        name = f"Air-pump valve disc with a name that is long {number}"
        part = factories.make_part(build, number, name, quantity=12, operations=operations)
        for day in (2, 3):
            factories.make_entry(
                build,
                date(2026, 3, day),
                105,
                part=part,
                operation=part.operations.get(number=10),
                builder=Builder.objects.get(name="ada"),
                good=2,
            )
    return build


def test_the_usual_evening_is_logged_in_four_taps_without_scrolling(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page()
    sign_in(page)
    page.goto(f"/builds/{shop.slug}/bench/")
    more = page.get_by_role("button", name="One more: Good")
    taps = [
        page.locator(".chips").get_by_text("1 h 45 min", exact=True),
        more,
        more,
        page.get_by_role("button", name="Log it"),
    ]
    for tap in taps:
        assert tap.evaluate(IN_SIGHT), tap
        tap.click()
    page.wait_for_url("**logged=1**")
    entry = Entry.objects.order_by("-pk")[0]
    assert (entry.bench_minutes, entry.good, entry.part.number) == (105, 2, "17")
    assert entry.operation.number == 10
    assert len(taps) == 4


def test_the_keyboard_goes_through_the_line_in_order_and_enter_logs(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page(size=(1280, 900))
    sign_in(page)
    page.goto(f"/builds/{shop.slug}/bench/")
    page.get_by_label("The evening in one line").focus()
    passed = []
    for _ in range(14):
        page.keyboard.press("Tab")
        passed.append(page.evaluate("(document.activeElement.name || document.activeElement.dataset.step || '')"))
    names = [name.removeprefix("form-0-") for name in passed]
    wanted = ["read", "work", "usual", "good", "reworked", "scrap", "time"]
    assert [name for name in names if name in wanted] == wanted
    page.get_by_label("Another time").fill("1h")
    page.keyboard.press("Enter")
    page.wait_for_url("**logged=1**")
    assert Entry.objects.order_by("-pk")[0].bench_minutes == 60


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_a_notebook_line_fills_the_form_and_is_logged_when_that_is_sent(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any, script: bool
) -> None:
    before = Entry.objects.count()
    page = open_page(script=script)
    sign_in(page)
    page.goto(f"/builds/{shop.slug}/bench/")
    page.get_by_label("The evening in one line").fill("#15 lapped 3, 2h30, stone is worn")
    page.keyboard.press("Enter")
    page.get_by_text("Nothing is logged yet").wait_for()
    assert page.get_by_label("Another time").input_value() == "2h30"
    assert page.get_by_label("Good", exact=True).input_value() == "3"
    assert page.get_by_label("Note").input_value() == "stone is worn"
    assert Entry.objects.count() == before
    page.get_by_role("button", name="Log it").click()
    page.wait_for_url("**logged=1**")
    entry = Entry.objects.order_by("-pk")[0]
    assert (entry.bench_minutes, entry.good, entry.operation.kind) == (150, 3, "lapping")
