"""Signed out in the middle of an evening, in a real browser: what was typed is there again and is sent once."""

from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.sessions.models import Session

from builds.models import Entry
from tests import factories
from tests.browser.conftest import PASSWORD, wait_until_kept

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def part(transactional_db: None) -> Any:
    factories.make_user()
    return factories.make_part(
        factories.make_build(), quantity=6, operations=[{"kind": "turning", "minutes_per_unit": 30.0}]
    )


def sign_in_here(page: Any) -> None:
    page.get_by_text("What you typed is kept here").wait_for()
    page.get_by_label("Username").fill("ada")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_text("You had been signed out").wait_for()


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_an_evening_outlives_its_session(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], part: Any, script: bool
) -> None:
    page = open_page(script=script, refused=True)
    sign_in(page)
    page.goto(f"/builds/{part.build.slug}/bench/")
    Session.objects.all().delete()
    page.get_by_label("Another time").press_sequentially("2h30")
    if script:
        # The reading cannot come; that is said in the page, which stays as it is.
        page.get_by_text("You are signed out. What is typed here stays").wait_for()
    page.get_by_label("Good", exact=True).fill("3")
    page.get_by_label("Note").fill("third ring lapped")
    page.get_by_role("button", name="Log it").click()
    sign_in_here(page)
    assert page.get_by_label("Another time").input_value() == "2h30"
    assert page.get_by_label("Good", exact=True).input_value() == "3"
    assert page.get_by_label("Note").input_value() == "third ring lapped"
    assert not Entry.objects.exists()
    page.get_by_role("button", name="Log it").click()
    page.wait_for_url("**logged=1**")
    page.go_back()
    page.get_by_role("button", name="Log it").click()
    page.wait_for_load_state("networkidle")
    entry = Entry.objects.get()
    assert (entry.bench_minutes, entry.good, entry.note) == (150, 3, "third ring lapped")


def test_a_route_form_that_htmx_sends_outlives_it_too(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], part: Any
) -> None:
    page = open_page(refused=True, size=(1280, 900))
    sign_in(page)
    page.goto(f"/builds/{part.build.slug}/parts/{part.pk}/")
    page.get_by_label("Edit 10 turning").click()
    page.get_by_label("Title").fill("Rough the blank")
    Session.objects.all().delete()
    page.get_by_role("button", name="Save this operation").click()
    sign_in_here(page)
    assert page.get_by_label("Title").input_value() == "Rough the blank"
    page.get_by_role("button", name="Save this operation").click()
    page.get_by_label("Edit 10 Rough the blank").wait_for()


def test_a_tab_that_stood_open_over_another_sign_in_keeps_its_form(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], part: Any
) -> None:
    page = open_page(refused=True)
    sign_in(page)
    page.goto(f"/builds/{part.build.slug}/bench/")
    page.get_by_label("Note").fill("bored the cylinder")
    page.get_by_label("Another time").fill("1h")
    wait_until_kept(page, f"/builds/{part.build.slug}/bench/")
    other = page.context.new_page()
    other.context.clear_cookies()
    sign_in(other)
    page.get_by_role("button", name="Log it").click()
    page.get_by_text("Nothing is recorded yet").first.wait_for()
    assert page.get_by_label("Note").input_value() == "bored the cylinder"
    page.get_by_role("button", name="Log it").click()
    page.wait_for_url("**logged=1**")
    assert Entry.objects.get().note == "bored the cylinder"
