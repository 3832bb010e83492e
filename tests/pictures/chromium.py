"""A browser to make pictures with, of the same flags as the tests' own."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from tests.chromium import FLAGS, chromium


@contextmanager
def opened_browser() -> Iterator[Any]:
    """Raises SystemExit where there is no Chromium."""
    from playwright.sync_api import sync_playwright

    path = chromium()
    if path is None:
        raise SystemExit("The pictures need Chromium (Debian: apt-get install chromium).")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=[*FLAGS, "--force-color-profile=srgb"])
        yield browser
        browser.close()
