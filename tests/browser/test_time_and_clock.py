"""The chip and the typed time never contradict each other, and the clock keeps what was typed."""

from collections.abc import Callable
from typing import Any

import pytest

from builds.models import Clock, Entry
from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def bench(transactional_db: None) -> str:
    factories.make_user()
    build = factories.make_build()
    factories.make_part(build, quantity=6, operations=[{"kind": "turning", "minutes_per_unit": 30.0}])
    return f"/builds/{build.slug}/bench/"


def test_the_last_of_chip_and_typed_time_wins_visibly(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], bench: str
) -> None:
    page = open_page()
    sign_in(page)
    page.goto(bench)
    time, chip = page.get_by_label("Another time"), page.get_by_label("1 h", exact=True)
    page.get_by_text("1 h", exact=True).click()
    assert chip.is_checked()
    time.press_sequentially("2h")
    assert not chip.is_checked()
    page.get_by_text("1 h", exact=True).click()
    assert (chip.is_checked(), time.input_value()) == (True, "")
    # Tapped again it lets go, by thumb and by keyboard, and the arrows still choose.
    page.get_by_text("1 h", exact=True).click()
    assert not chip.is_checked()
    chip.focus()
    page.keyboard.press("Space")
    assert chip.is_checked()
    page.keyboard.press("Space")
    assert not chip.is_checked()
    page.keyboard.press("Space")
    page.keyboard.press("ArrowRight")
    assert page.get_by_label("1 h 30 min", exact=True).is_checked()
    page.get_by_role("button", name="Log it").click()
    page.wait_for_url("**logged=1**")
    assert Entry.objects.get().bench_minutes == 90


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_the_clock_keeps_what_was_typed_and_its_start_is_set_back(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], bench: str, script: bool
) -> None:
    page = open_page(script=script)
    sign_in(page)
    page.goto(bench)
    page.get_by_label("Another time").fill("30m")
    page.get_by_label("Good", exact=True).fill("2")
    page.get_by_label("Note").fill("third ring next")
    page.get_by_role("button", name="Clock on to this instead").click()
    clock = page.get_by_label("Your running clock")
    assert clock.get_by_label("Note").input_value() == "third ring next"
    assert clock.get_by_label("Good", exact=True).input_value() == "2"
    assert clock.get_by_label("Worked before it ran").input_value() == "30m"
    clock.get_by_label("Good", exact=True).fill("3")
    began = Clock.objects.get().started_at
    clock.get_by_label("Began at").fill("00:00")
    clock.get_by_role("button", name="Set the start").click()
    page.get_by_text("since").first.wait_for()
    assert Clock.objects.get().started_at < began
    assert clock.get_by_label("Good", exact=True).input_value() == "3"
    assert clock.get_by_label("Note").input_value() == "third ring next"
    clock.get_by_role("button", name="Stop it without logging").click()
    page.get_by_role("button", name="Put it back").click()
    assert clock.get_by_label("Good", exact=True).input_value() == "3"
    clock.get_by_label("Worked, if not all of it").fill("1h")
    clock.get_by_role("button", name="Clock off and log it").click()
    page.wait_for_url("**logged=1**")
    entry = Entry.objects.get()
    assert (entry.bench_minutes, entry.good, entry.note) == (90, 3, "third ring next")


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_an_added_line_is_taken_away_again(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], bench: str, script: bool
) -> None:
    page = open_page(script=script)
    sign_in(page)
    page.goto(bench)
    page.get_by_label("Note").fill("first")
    page.get_by_role("button", name="One more line").click()
    page.get_by_label("Note").nth(1).fill("second")
    page.get_by_role("button", name="Take line 2 away").click()
    page.get_by_label("Note").wait_for()
    assert page.get_by_label("Note").input_value() == "first"
