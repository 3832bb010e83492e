"""A refused form says so where the eye is: on top, in focus, in the title, and no bar covers its sentences."""

from collections.abc import Callable
from typing import Any

import pytest

from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

# How much of the sentence beside a field is covered by a bar or lies outside of the view, in px.
COVERED = """(id) => {
  const field = document.getElementById(id).closest(".field");
  const sentence = field.querySelector(".field__error").getBoundingClientRect();
  const at = document.elementFromPoint(sentence.x + 8, sentence.y + sentence.height / 2);
  return field.contains(at) ? 0 : 1;
}"""

LET_ALL_BE_TYPED = """() => {
  document.querySelectorAll("form").forEach((form) => { form.noValidate = true; });
  document.querySelectorAll("details.fold").forEach((fold) => { fold.open = true; });
}"""


@pytest.fixture
def shop(transactional_db: None) -> Any:
    factories.make_user(owner=True)
    build = factories.make_build()
    part = factories.make_part(build, quantity=3, operations=[{"kind": "turning", "minutes_per_unit": 30.0}])
    factories.make_batch(part, blanks=4)
    return build


def send_refused(page: Any, field: str, text: str, button: str) -> None:
    page.locator(f"main [name$='{field}']").first.fill(text)
    page.get_by_role("button", name=button, exact=True).click()
    page.locator("#refused").wait_for()


def check_refused(page: Any, fields: list[str]) -> None:
    """The summary is in view and in focus, the title says it, and each link leads to a sentence that is seen."""
    assert page.title().strip().startswith(("Not accepted yet", "No answer yet"))
    page.locator("#refused:focus").wait_for(timeout=3_000)
    box = page.locator("#refused").bounding_box()
    assert box["y"] >= 0
    assert box["y"] + box["height"] <= page.viewport_size["height"]
    links = page.locator("#refused a")
    assert [links.nth(n).inner_text() for n in range(links.count())] == fields
    for n in range(links.count()):
        to = links.nth(n).get_attribute("href").removeprefix("#")
        links.nth(n).click()
        assert page.evaluate("document.activeElement.id") == to
        page.wait_for_timeout(50)
        assert page.evaluate(COVERED, to) == 0


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_a_refused_form_says_so_on_top_on_every_page(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any, script: bool
) -> None:
    page = open_page(script=script, refused=True)
    sign_in(page)
    part, base = shop.parts.get(), f"/builds/{shop.slug}"
    page.goto(f"{base}/bench/")
    page.get_by_label("Good", exact=True).fill("2")
    page.get_by_text("change date or builder").click()
    page.get_by_label("Date", exact=True).fill("2031-01-01")
    send_refused(page, "time", "a while", "Log it")
    check_refused(page, ["Another time"])
    assert page.get_by_label("Good", exact=True).input_value() == "2"
    page.get_by_label("Another time").fill("1h")
    page.get_by_role("button", name="Log it").click()
    page.get_by_text("That day has not come yet.").first.wait_for()
    check_refused(page, ["Date"])
    batch = part.batches.get()
    page.goto(f"{base}/batches/{batch.pk}/grid/")
    send_refused(page, "time", "a while", "Log this batch")
    check_refused(page, ["10 turning, Time"])
    for path, field, text, button in (
        ("parts/new/", "rough", "12", "Add this part"),
        (f"parts/{part.pk}/edit/", "quantity", "-1", "Save"),
        ("edit/", "hourly_figure", "1234567890", "Save"),
        (f"parts/{part.pk}/operations/new/", "setup_minutes", "12", "Add this operation"),
        ("sizes/", "full_size", "long", "Add this size"),
    ):
        page.goto(f"{base}/{path}")
        page.evaluate(LET_ALL_BE_TYPED)
        for required in page.locator("main input[required]").all():
            required.fill("7")
        send_refused(page, field, text, button)
        check_refused(page, page.locator("#refused a").all_inner_texts())
        assert page.locator("#refused a").count() >= 1
        assert page.locator(f"main [name='{field}']").input_value() == text
    for path, field, text, button in (
        ("/shop/machines/", "speeds", "fast", "Add this machine"),
        ("/shop/people/", "password", "1", "Let them sign in"),
    ):
        page.goto(path)
        page.evaluate(LET_ALL_BE_TYPED)
        for required in page.locator("main input[required]").all():
            required.fill("seven")
        send_refused(page, field, text, button)
        check_refused(page, page.locator("#refused a").all_inner_texts())


def test_a_route_form_that_htmx_sends_says_so_too(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page(refused=True)
    sign_in(page)
    part = shop.parts.get()
    page.goto(f"/builds/{shop.slug}/parts/{part.pk}/")
    page.get_by_label("Edit 10 turning").click()
    page.get_by_label("Time for one").wait_for()
    send_refused(page, "minutes_per_unit", "12", "Save this operation")
    check_refused(page, ["Time for one"])
    page.get_by_label("Time for one").fill("12 min")
    page.get_by_role("button", name="Save this operation").click()
    page.get_by_label("Edit 10 turning").wait_for()
    assert page.title().strip().startswith("14 Piston ring")


def test_what_is_wrong_in_a_closed_fold_is_refused_in_an_open_one(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page(refused=True)
    sign_in(page)
    page.goto(f"/builds/{shop.slug}/parts/new/")
    page.get_by_label("Item").fill("15")
    page.get_by_label("Name", exact=True).fill("Cover")
    more = page.get_by_text("More about it")
    more.click()
    page.get_by_label("Spares").fill("-3")
    more.click()
    assert not page.get_by_label("Spares").is_visible()
    page.get_by_role("button", name="Add this part").click()
    check_refused(page, ["Spares"])
    assert page.get_by_label("Spares").input_value() == "-3"
    assert page.get_by_label("Item").input_value() == "15"


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_a_question_that_is_refused_says_so_on_top_of_its_page(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any, script: bool
) -> None:
    page = open_page(script=script, refused=True)
    sign_in(page)
    base, part = f"/builds/{shop.slug}", shop.parts.get()
    for address, fields in (
        ("/arithmetic/speeds/?speed=25+mm", ["Cutting speed"]),
        (f"{base}/parts/{part.pk}/blanks/?good=0", ["Good pieces"]),
        (f"{base}/forecast/?hours=none", ["Hours a week instead"]),
        (f"{base}/log/?since=never", ["From"]),
    ):
        page.goto(address)
        check_refused(page, fields)
