"""The whole way of an evening: sign in, log it, see it on the board. With script and without."""

from collections.abc import Callable
from typing import Any

import pytest

from builds.models import Entry
from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def shop(transactional_db: None) -> Any:
    factories.make_user()
    build = factories.make_build(on_board=True, scale="1:6")
    factories.make_part(
        build,
        quantity=3,
        for_visitors="It keeps the steam from slipping past.",
        operations=[{"kind": "turning", "title": "Turn the blank", "minutes_per_unit": 30.0}],
    )
    return build


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_an_evening_is_logged_and_stands_on_the_board(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any, script: bool
) -> None:
    page = open_page(script=script)
    sign_in(page)
    page.goto(f"/builds/{shop.slug}/bench/")
    page.get_by_text("14 Piston ring").first.click()
    page.get_by_label("Another time").fill("2h30")
    page.get_by_label("Good", exact=True).fill("3")
    page.get_by_role("button", name="Log it").click()
    page.get_by_text("finished, 2 h 30 min in all").wait_for()
    entry = Entry.objects.get()
    assert (entry.bench_minutes, entry.good) == (150, 3)

    visitor = open_page(script=script, size=(1920, 1080))
    visitor.goto(f"/board/{shop.slug}/")
    # With script the panels take turns, and all of them stand in the page.
    text = " ".join(visitor.locator("main").text_content().split())
    assert "1 of 1 part made" in text
    assert "2½ hours so far" in text
    assert "ada" not in text.lower()


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_an_odd_entry_is_asked_about_and_one_more_press_logs_it(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any, script: bool
) -> None:
    page = open_page(script=script, refused=True)
    sign_in(page)
    page.goto(f"/builds/{shop.slug}/bench/")
    page.get_by_text("14 Piston ring").first.click()
    page.get_by_label("Another time").fill("2h30")
    page.get_by_label("Good", exact=True).fill("500")
    page.get_by_role("button", name="Log it").click()
    page.get_by_text("500 good of 3 wanted.").first.wait_for()
    assert page.get_by_label("Good", exact=True).input_value() == "500"
    assert page.get_by_label("Another time").input_value() == "2h30"
    assert not Entry.objects.exists()
    page.get_by_role("button", name="It is right, log it").click()
    page.get_by_text("finished, 2 h 30 min in all").wait_for()
    assert Entry.objects.get().remarks == ["500 good of 3 wanted."]


def test_the_reading_of_a_time_stands_beside_it_while_it_is_typed(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page()
    sign_in(page)
    page.goto(f"/builds/{shop.slug}/bench/")
    page.get_by_label("Another time").press_sequentially("2:30")
    page.get_by_text("2 h 30 min").nth(1).wait_for()


def test_pressing_twice_logs_once(open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any) -> None:
    page = open_page()
    sign_in(page)
    page.goto(f"/builds/{shop.slug}/bench/")
    page.get_by_text("1 h", exact=True).click()
    page.get_by_role("button", name="Log it").dblclick()
    page.wait_for_url("**logged=1**")
    page.go_back()
    page.get_by_role("button", name="Log it").click()
    page.wait_for_load_state("networkidle")
    assert Entry.objects.count() == 1


def test_an_operation_is_edited_in_place_by_keyboard(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any
) -> None:
    page = open_page(size=(1280, 900))
    sign_in(page)
    part = shop.parts.get()
    page.goto(f"/builds/{shop.slug}/parts/{part.pk}/")
    page.get_by_label("Edit 10 Turn the blank").focus()
    page.keyboard.press("Enter")
    page.get_by_label("Time for one").fill("45 min")
    page.keyboard.press("Enter")
    page.get_by_label("Edit 10 Turn the blank").wait_for()
    assert part.operations.get().minutes_per_unit == 45
    assert page.url.endswith(f"/parts/{part.pk}/")


@pytest.mark.parametrize("dark", [False, True], ids=["day", "evening"])
@pytest.mark.parametrize("size", [(390, 844), (1280, 900), (1920, 1080)], ids=["phone", "desk", "board"])
def test_pages_fit_their_screen_and_their_readers(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], shop: Any, size: tuple[int, int], dark: bool
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    part = shop.parts.get()
    factories.make_entry(shop, part=part, operation=part.operations.get(), good=1, scrap=1)
    page = open_page(size=size, dark=dark)
    sign_in(page)
    inner = ("", "bench/", f"parts/{part.pk}/", "log/", "forecast/", "repeats/", "milestones/", "events/")
    for address in ("/", *(f"/builds/{shop.slug}/{path}" for path in inner), f"/board/{shop.slug}/"):
        page.goto(address)
        wider = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wider <= 0, f"{address} is {wider} px wider than the screen"
        # A panel of the board that is still fading in is pale for a moment, and axe would measure that moment.
        page.evaluate("Promise.all(document.getAnimations().map((one) => one.finished))")
        found = Axe().run(page).response["violations"]
        assert not found, (address, [(v["id"], [n["html"][:120] for n in v["nodes"][:3]]) for v in found])
