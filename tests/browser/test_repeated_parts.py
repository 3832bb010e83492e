"""A batch filled with a thumb, and blanks asked for as one types. With script and without."""

from collections.abc import Callable
from typing import Any

import pytest

from builds.models import Batch, Entry
from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

ROUTE = [{"kind": kind, "minutes_per_unit": 10.0, "setup_minutes": 30.0} for kind in ("turning", "lapping")]


@pytest.fixture
def ring(transactional_db: None) -> Any:
    factories.make_user()
    return factories.make_part(factories.make_build(), quantity=6, spares=2, operations=ROUTE)


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_a_batch_is_started_filled_and_logged_once(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], ring: Any, script: bool
) -> None:
    page = open_page(script=script)
    sign_in(page)
    page.goto(f"/builds/{ring.build.slug}/parts/{ring.pk}/")
    page.locator("summary", has_text="More").click()
    page.get_by_role("link", name="Start a batch").click()
    page.get_by_label("Blanks to start").fill("9")
    page.get_by_role("button", name="Start this batch").click()
    turning = page.get_by_role("region", name="10 turning")
    if script:
        for _ in range(3):
            turning.get_by_role("button", name="One more good at 10 turning").click()
    else:
        turning.get_by_label("Good", exact=True).fill("3")
    turning.get_by_label("Time").fill("45m")
    page.get_by_role("button", name="Log this batch").click()
    page.wait_for_url("**logged=1")
    assert "6 stand here" in turning.inner_text()
    assert "3 stand here" in page.get_by_role("region", name="20 lapping").inner_text()
    page.go_back()
    page.get_by_role("button", name="Log this batch").click()
    page.wait_for_load_state("networkidle")
    entry = Entry.objects.get()
    assert (entry.good, entry.bench_minutes, entry.batch) == (3, 45, Batch.objects.get())


def test_a_changed_confidence_redraws_the_answer_in_place(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], ring: Any
) -> None:
    page = open_page(size=(1280, 900))
    sign_in(page)
    page.goto(f"/builds/{ring.build.slug}/parts/{ring.pk}/blanks/")
    before = page.locator("dl.figures").inner_text()
    page.get_by_label("How sure").fill("99 %")
    page.keyboard.press("Tab")
    page.get_by_text("For 99 chances in 100, start").wait_for()
    assert page.locator("dl.figures").inner_text() != before
    assert "confidence=99" in page.url
    assert page.evaluate("document.activeElement.name") == "work"


def test_blanks_are_answered_without_script(
    open_page: Callable[..., Any], sign_in: Callable[[Any], None], ring: Any
) -> None:
    page = open_page(script=False)
    sign_in(page)
    page.goto(f"/builds/{ring.build.slug}/parts/{ring.pk}/blanks/")
    page.get_by_label("How sure").fill("80")
    page.get_by_role("button", name="Work it out").click()
    page.get_by_text("For 4 chances in 5, start").wait_for()
