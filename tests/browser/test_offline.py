"""The bench on a phone in a cellar: it opens without a connection, for the person it was kept for, on the right day."""

import re
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from playwright.sync_api import expect

from builds.models import Entry
from tests.browser.conftest import wait_until_kept
from tests.browser.test_waiting import WAITING, noted, type_evening, until_sent

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def kept(phone: Callable[[], Any], sign_in: Callable[[Any], None], bench: str) -> Any:
    """A phone's page that was at the bench once, so that the bench is kept."""
    page = phone().new_page()
    sign_in(page)
    page.goto(bench)
    wait_until_kept(page, bench)
    return page


def test_the_bench_opens_cold_without_a_connection_and_its_evening_is_sent_once(
    kept: Any, phone: Callable[[], Any], bench: str
) -> None:
    kept.context.close()
    context = phone()
    context.set_offline(True)
    page = context.new_page()
    page.goto(bench)
    expect(page.get_by_text("This is the bench as this device keeps it")).to_be_visible()
    expect(page.get_by_role("heading", name="Waiting on this device")).to_be_hidden()
    type_evening(page, "2h30", "rings lapped in the cellar")
    page.locator(WAITING).first.wait_for()
    # Opened a second time, the kept page brings a token of its own.
    page.goto(bench)
    type_evening(page, "45m", "gland bored")
    page.locator(WAITING).nth(1).wait_for()
    assert noted() == []
    context.set_offline(False)
    page.goto(bench)
    until_sent(page)
    assert noted() == [("rings lapped in the cellar", 150), ("gland bored", 45)]


def test_after_logging_the_kept_page_is_the_bench_and_not_the_word_about_what_was_logged(kept: Any, bench: str) -> None:
    type_evening(kept, "1h", "before the signal went")
    kept.wait_for_url("**logged=1**")
    kept.wait_for_load_state("networkidle")
    kept.context.set_offline(True)
    kept.goto(bench)
    expect(kept.get_by_text("This is the bench as this device keeps it")).to_be_visible()
    expect(kept.locator(".log__day").get_by_text("before the signal went")).to_be_visible()
    assert kept.get_by_label("Note").input_value() == ""


def test_who_goes_back_finds_the_form_that_was_sent_and_logs_nothing_twice(kept: Any, bench: str) -> None:
    kept.reload()
    type_evening(kept, "1h", "once")
    kept.wait_for_url("**logged=1**")
    kept.wait_for_load_state("networkidle")
    kept.go_back()
    kept.get_by_label("Another time").fill("1h")
    kept.get_by_role("button", name="Log it").tap()
    kept.wait_for_load_state("networkidle")
    assert noted() == [("once", 60)]


def test_what_cannot_be_had_leads_to_the_benches_that_are_kept(kept: Any, bench: str) -> None:
    kept.context.set_offline(True)
    kept.goto("/arithmetic/")
    expect(kept.get_by_role("heading", name="No connection")).to_be_visible()
    kept.get_by_role("link", name=re.compile("^Bench")).tap()
    kept.wait_for_url(f"**{bench}")
    expect(kept.get_by_role("button", name="Log it")).to_be_visible()
    kept.goto("/bench/")
    assert kept.url.endswith(bench)


@pytest.mark.parametrize("way", ["by the button", "with the session over"])
def test_who_is_signed_out_leaves_no_page_behind(kept: Any, bench: str, way: str) -> None:
    if way == "by the button":
        kept.get_by_role("button", name="Sign out").tap()
    else:
        kept.context.clear_cookies()
        kept.goto(bench)
    expect(kept.get_by_role("heading", name="Sign in")).to_be_visible()
    kept.wait_for_function("async () => !(await (await caches.open('bench pages')).keys()).length")
    kept.context.set_offline(True)
    kept.goto(bench)
    expect(kept.get_by_text("None yet.")).to_be_visible()


def test_the_sign_in_page_says_that_evenings_wait_here(kept: Any, bench: str) -> None:
    kept.context.set_offline(True)
    type_evening(kept, "1h", "rings")
    kept.locator(WAITING).first.wait_for()
    kept.context.set_offline(False)
    kept.context.clear_cookies()
    kept.goto("/sign-in/")
    expect(kept.get_by_text("Evenings wait on this device.")).to_be_visible()


def test_the_page_says_what_this_device_can_do(kept: Any) -> None:
    expect(kept.locator("[data-worker]")).to_have_text("Opens without a connection too.")
    kept.add_init_script("delete Navigator.prototype.serviceWorker")
    kept.reload()
    expect(kept.locator("[data-worker]")).to_have_text("Without a connection: works while it is open.")


def test_a_page_left_open_over_night_logs_on_the_next_evening(
    phone: Callable[[], Any], sign_in: Callable[[Any], None], bench: str
) -> None:
    page = phone().new_page()
    sign_in(page)
    page.clock.install(time="2026-11-26T21:00:00")
    page.goto(bench)
    page.locator("summary", has_text="change date or builder").tap()
    field = page.get_by_label("Date")
    before = field.input_value()
    page.clock.set_system_time("2026-11-27T02:30:00")
    page.get_by_label("Note").focus()
    assert field.input_value() == before
    page.clock.set_system_time("2026-11-27T19:00:00")
    page.get_by_label("Another time").focus()
    assert field.input_value() == "2026-11-27"
    expect(page.locator("[data-evening]")).to_have_text("Friday 27 November")
    # A date that somebody chose stays.
    field.fill("2026-11-20")
    page.clock.set_system_time("2026-11-28T19:00:00")
    page.get_by_label("Note").focus()
    assert field.input_value() == "2026-11-20"
    type_evening(page, "1h", "rings")
    page.wait_for_url("**logged=1**")
    assert Entry.objects.get().worked_on == date(2026, 11, 20)
