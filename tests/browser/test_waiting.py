"""An evening without a connection, on a phone: kept in order, sent once, under the name of whoever typed it."""

from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.sessions.models import Session
from playwright.sync_api import expect

from builds.models import Entry
from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

NOTHING_WAITS = """() => Object.entries(localStorage).every(
  ([name, kept]) => !name.startsWith("waiting-") || kept === "[]")"""
WAITING = "[data-waiting-list] li"


def type_evening(page: Any, time: str, note: str) -> None:
    page.get_by_label("Another time").fill(time)
    page.get_by_label("Note").fill(note)
    page.get_by_role("button", name="Log it").tap()


def noted() -> list[tuple[str, int | None]]:
    return list(Entry.objects.order_by("pk").values_list("note", "bench_minutes"))


def until_sent(page: Any) -> None:
    page.wait_for_function(NOTHING_WAITS)
    page.locator("[data-waiting]").wait_for(state="hidden")


def test_evenings_outlive_the_browser_and_are_sent_once_in_order(
    phone: Callable[[], Any], sign_in: Callable[[Any], None], bench: str
) -> None:
    context = phone()
    page = context.new_page()
    sign_in(page)
    page.goto(bench)
    context.set_offline(True)
    type_evening(page, "2h30", "rings lapped")
    page.locator(WAITING).first.wait_for()
    expect(page.locator(WAITING).first).to_be_in_viewport()
    assert page.get_by_label("Note").input_value() == ""
    type_evening(page, "45m", "gland bored")
    page.locator(WAITING).nth(1).wait_for()
    assert "rings lapped" in page.locator(WAITING).first.inner_text()
    assert noted() == []
    context.close()
    page = phone().new_page()
    page.goto(bench)
    until_sent(page)
    assert noted() == [("rings lapped", 150), ("gland bored", 45)]
    page.reload()
    page.wait_for_load_state("networkidle")
    assert len(noted()) == 2


def test_two_tabs_and_a_double_tap_make_one_entry(
    phone: Callable[[], Any], sign_in: Callable[[Any], None], bench: str
) -> None:
    context = phone()
    page, other = context.new_page(), context.new_page()
    sign_in(page)
    page.goto(bench)
    other.goto(bench)
    context.set_offline(True)
    page.get_by_label("Another time").fill("1h")
    page.get_by_role("button", name="Log it").dblclick()
    page.locator(WAITING).first.wait_for()
    other.locator(WAITING).first.wait_for()
    assert page.locator(WAITING).count() == 1
    context.set_offline(False)
    until_sent(page)
    until_sent(other)
    assert [minutes for _note, minutes in noted()] == [60]


def test_with_the_session_over_it_waits_and_nobody_else_sends_it(
    phone: Callable[[], Any], sign_in: Callable[..., None], bench: str
) -> None:
    factories.make_user("bob")
    context = phone()
    page = context.new_page()
    sign_in(page)
    page.goto(bench)
    context.set_offline(True)
    type_evening(page, "1h", "of ada")
    page.locator(WAITING).first.wait_for()
    Session.objects.all().delete()
    context.set_offline(False)
    page.get_by_text("You are signed out. Sign in, and what waits is sent").wait_for()
    assert noted() == []
    other = context.new_page()
    sign_in(other, "bob")
    other.goto(bench)
    other.wait_for_load_state("networkidle")
    assert other.locator(WAITING).count() == 0
    assert noted() == []
    context.clear_cookies()
    sign_in(other)
    other.goto(bench)
    until_sent(other)
    assert noted() == [("of ada", 60)]
    assert Entry.objects.get().builder.name == "ada"


def test_what_is_refused_comes_back_with_its_sentence_and_its_content(
    phone: Callable[[], Any], sign_in: Callable[[Any], None], bench: str
) -> None:
    context = phone()
    page = context.new_page()
    sign_in(page)
    page.goto(bench)
    context.set_offline(True)
    type_evening(page, "a while", "crank turned")
    page.locator(WAITING).first.wait_for()
    context.set_offline(False)
    page.locator(f"{WAITING} .field__error").wait_for()
    page.get_by_role("button", name="Open it in the form").tap()
    page.locator("#refused").wait_for()
    assert page.get_by_label("Another time").input_value() == "a while"
    assert page.get_by_label("Note").input_value() == "crank turned"
    page.get_by_label("Another time").fill("1h")
    page.get_by_role("button", name="Log it").tap()
    page.wait_for_url("**logged=1**")
    assert page.locator(WAITING).count() == 0
    assert noted() == [("crank turned", 60)]
