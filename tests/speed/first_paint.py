"""When a browser that has nothing kept first shows something: a phone on a slow line, its processor four times slower.

The line is the one of Chromium's own tools for “slow 3G”: 400 kbit/s each way and 400 ms before each answer. Setting up
the connection (one way there and back, two more with TLS) is not part of it, since the server is on this machine.
"""

import statistics
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.speed.serving import serving
from tests.speed.shop import work

BYTES_A_SECOND, WAIT_MS, SLOWER, RUNS = 400_000 / 8, 400, 4, 5
PHONE = {"width": 390, "height": 844}


def first_paints(folder: Path) -> dict[str, float]:
    """Median milliseconds of bench and board; nothing where there is no Chromium."""
    from tests.chromium import FLAGS, chromium

    if (path := chromium()) is None:
        return {}
    from playwright.sync_api import sync_playwright

    found = work(folder, "cookie")
    with serving(folder) as (_pid, port), sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        place = f"http://127.0.0.1:{port}"
        pages = {"bench": f"{place}/builds/{found['slug']}/bench/", "board": f"{place}/board/{found['slug']}/"}
        cookies = list(cookies_for(place, found["cookie"]))
        # The first visit makes what is kept for all others.
        return {name: statistics.median(paints(browser, page, cookies)[1:]) for name, page in pages.items()}


def cookies_for(place: str, said: str) -> Iterator[dict[str, str]]:
    for one in said.split("; "):
        name, value = one.split("=", 1)
        yield {"name": name, "value": value, "url": place}


def paints(browser: Any, address: str, cookies: list[dict[str, str]]) -> list[float]:
    return [paint(browser, address, cookies) for _turn in range(RUNS + 1)]


def paint(browser: Any, address: str, cookies: list[dict[str, str]]) -> float:
    """Milliseconds to the first contentful paint, in a browser of its own that has nothing kept."""
    context = browser.new_context(viewport=PHONE)
    try:
        context.add_cookies(cookies)
        page = context.new_page()
        tools = context.new_cdp_session(page)
        tools.send("Network.enable")
        line = {"latency": WAIT_MS, "downloadThroughput": BYTES_A_SECOND, "uploadThroughput": BYTES_A_SECOND}
        tools.send("Network.emulateNetworkConditions", {"offline": False, **line})
        tools.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        page.goto(address, wait_until="load", timeout=90_000)
        page.wait_for_function("performance.getEntriesByName('first-contentful-paint').length")
        return float(page.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime"))
    finally:
        context.close()
