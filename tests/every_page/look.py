"""Every page in a browser: what its readers cannot use, and what is wider than its screen."""

from collections.abc import Iterator
from typing import Any

from tests.chromium import FLAGS, chromium
from tests.every_page.served import NAME

WIDTHS = (320, 390, 640, 768, 1280, 1920)
"""Also a desk's 1280 px at twice the size (640) and at four times (320)."""
LOOKS = {"phone in the evening": (390, 844, "dark"), "desk by day": (1280, 900, "light")}
WIDER = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
AT_REST = "Promise.all(document.getAnimations().map((one) => one.finished))"
MOST = """() => [...document.querySelectorAll("body *")].filter((one) => {
  const box = one.getBoundingClientRect();
  if (!box.width || box.right < innerWidth + 2) return false;
  for (let above = one.parentElement; above && above !== document.body; above = above.parentElement)
    if (getComputedStyle(above).overflowX !== "visible") return false;
  return true;
}).slice(0, 3).map((one) => one.tagName.toLowerCase() + "." + [...one.classList].join("."))"""
"""The first few things that stick out of the page to the right."""
BROKEN = r"""() => {
  const broken = [], range = document.createRange();
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const text = texts.currentNode;
    const above = text.parentElement;
    if (!above.checkVisibility({ visibilityProperty: true }) || above.closest("svg")) continue;
    if (above.getBoundingClientRect().width < 2) continue;
    for (const word of text.data.matchAll(/[\p{L}\d]+/gu)) {
      if (word[0].length > 16) continue;
      range.setStart(text, word.index);
      range.setEnd(text, word.index + word[0].length);
      if (new Set([...range.getClientRects()].map((box) => Math.round(box.top))).size > 1) broken.push(word[0]);
    }
  }
  return broken.slice(0, 5);
}"""
"""Ordinary words that stand on two lines: their column is too narrow for them."""


def looked_at(base: str, password: str, addresses: list[str], *, readers: bool) -> list[str]:
    """What is wrong, a line each. readers: ask axe as well."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=FLAGS)
        page = browser.new_context(base_url=base).new_page()
        heard: list[str] = []
        page.on("console", lambda said: heard.append(said.text) if said.type in ("error", "warning") else None)
        page.on("request", lambda asked: heard.append(asked.url) if not asked.url.startswith(base) else None)
        page.goto("/sign-in/")
        page.get_by_label("Username").fill(NAME)
        page.get_by_label("Password", exact=True).fill(password)
        page.get_by_role("button", name="Sign in").click()
        page.get_by_role("button", name="Sign out").wait_for()
        wrong = [line for address in addresses for line in _wrong_with(page, address, readers=readers)]
        browser.close()
    return [*wrong, *(f"the browser complains: {line}" for line in heard)]


def _wrong_with(page: Any, address: str, *, readers: bool) -> Iterator[str]:
    page.goto(address)
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        if (more := page.evaluate(WIDER)) > 0:
            yield f"{address} at {width} px: {more} px too wide, {', '.join(page.evaluate(MOST))}"
        if readers and (broken := page.evaluate(BROKEN)):
            yield f"{address} at {width} px: broken words: {', '.join(broken)}"
    if readers:
        yield from _unreadable(page, address)


def _unreadable(page: Any, address: str) -> Iterator[str]:
    from axe_playwright_python.sync_playwright import Axe

    for seen, (width, height, scheme) in LOOKS.items():
        page.set_viewport_size({"width": width, "height": height})
        page.emulate_media(color_scheme=scheme)
        page.evaluate(AT_REST)
        for found in Axe().run(page).response["violations"]:
            parts = "; ".join(node["html"][:100] for node in found["nodes"][:3])
            yield f"{address}, {seen}: {found['id']}: {parts}"
