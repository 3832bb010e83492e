"""From every page to the work: the bench, the part on it, the forecast; and where a page of a build belongs."""

import re
from collections.abc import Collection
from urllib.parse import urlsplit

from tests.every_page.walk import Page, links_of

OF_A_BUILD = re.compile(r"/builds/(?!new/)[\w-]+/.")
TRAIL = re.compile(r'<nav class="crumbs"[^>]*>\s*<ol>.*?</ol>', re.DOTALL)
CURRENT = re.compile(r'<a [^>]*href="([^"]*)"[^>]* aria-current="page"')


def far_from(places: Collection[str], pages: Collection[Page]) -> dict[str, set[str]]:
    """What of some places cannot be reached from a page by two links, by the page's address."""
    leads = {page.address: {page.address, *links_of(page)} for page in pages}
    far = {}
    for address, near in leads.items():
        reached = near.union(*(leads.get(to, ()) for to in near))
        if missing := set(places) - reached:
            far[address] = missing
    return far


def without_place(pages: Collection[Page]) -> list[str]:
    """Pages of a build that neither say where they belong nor are what its bar or its tabs stand at."""
    return [
        page.address
        for page in pages
        if OF_A_BUILD.match(page.address)
        and not TRAIL.search(page.html)
        and urlsplit(page.address).path not in CURRENT.findall(page.html)
    ]
