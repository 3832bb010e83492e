"""A real browser against the real server. Without Chromium these tests skip, except in CI, where that is a failure."""

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests import factories
from tests.chromium import FLAGS, chromium

PASSWORD = "a long enough one"

# Playwright's own loop runs in this thread; Django would take its queries for ones made inside it.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
KEPT = """async (path) => {
  for (let tries = 0; tries < 100; tries += 1) {
    if (await (await caches.open("bench pages")).match(path)) return true;
    await new Promise((later) => setTimeout(later, 50));
  }
  return false;
}"""


def wait_until_kept(page: Any, bench: str) -> None:
    """Wait for the worker of a first visit: what it asks for brings cookies, too."""
    assert page.evaluate(KEPT, bench)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    path = chromium()
    if path is None:
        if os.environ.get("CI", "").lower() == "true":
            pytest.fail("No Chromium: CI has to install Debian's package “chromium”.")
        pytest.skip("No Chromium here. For the browser tests: apt-get install chromium (or your system's package).")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=FLAGS)
        yield started
        started.close()


@pytest.fixture
def open_page(browser: Any, live_server: Any) -> Iterator[Callable[..., Any]]:
    """Open a page of the server in a browser of its own. Any error in the console fails the test.

    refused: a form is sent back or a question given up on purpose, which is remarked on in the browser's console.
    """
    contexts, complaints = [], []

    def open_one(
        *, script: bool = True, size: tuple[int, int] = (390, 844), dark: bool = False, refused: bool = False
    ) -> Any:
        context = browser.new_context(
            base_url=live_server.url,
            java_script_enabled=script,
            viewport={"width": size[0], "height": size[1]},
            color_scheme="dark" if dark else "light",
        )
        context.set_default_timeout(10_000)
        contexts.append(context)
        page = context.new_page()
        # htmx tells of a question that a newer one took the place of, too.
        on_purpose = ("status of 422", "htmx:afterRequest", "htmx:sendAbort") if refused else ()
        page.on(
            "console",
            lambda m: (
                complaints.append(m.text)
                if m.type == "error" and not any(one in m.text for one in on_purpose)
                else None
            ),
        )
        page.on("pageerror", lambda error: complaints.append(str(error)))
        return page

    yield open_one
    for context in contexts:
        context.close()
    assert complaints == []


@pytest.fixture
def sign_in() -> Callable[[Any], None]:
    def through_the_door(page: Any, name: str = "ada") -> None:
        page.goto("/sign-in/")
        page.get_by_label("Username").fill(name)
        page.get_by_label("Password").fill(PASSWORD)
        page.get_by_role("button", name="Sign in").click()
        page.wait_for_url("**/")

    return through_the_door


@pytest.fixture
def opened(open_page: Callable[..., Any], sign_in: Callable[[Any], None], build: Any) -> Callable[..., Any]:
    """A page of the build that a module's own fixture `build` gives, signed in."""

    def open_at(path: str, **how: Any) -> Any:
        page = open_page(**how)
        sign_in(page)
        page.goto(f"/builds/{build.slug}/{path}")
        return page

    return open_at


@pytest.fixture
def phone(browser: Any, live_server: Any, tmp_path: Path) -> Iterator[Callable[[], Any]]:
    """Open a phone's browser with a memory that outlives it. Any error in a page's script fails the test."""
    opened, complaints = [], []

    def switch_on() -> Any:
        context = browser.browser_type.launch_persistent_context(
            str(tmp_path / "phone"), executable_path=chromium(), args=FLAGS, base_url=live_server.url, **PHONE
        )
        context.set_default_timeout(10_000)
        context.on("weberror", lambda error: complaints.append(str(error.error)))
        opened.append(context)
        return context

    yield switch_on
    for context in opened:
        context.close()
    assert complaints == []


@pytest.fixture
def bench(transactional_db: None) -> str:
    factories.make_user()
    build = factories.make_build()
    factories.make_part(build, quantity=6, operations=[{"kind": "turning", "minutes_per_unit": 30.0}])
    return f"/builds/{build.slug}/bench/"
