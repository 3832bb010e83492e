"""Every kind of page that the demonstration's links lead to, each once."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from html.parser import HTMLParser
from urllib.parse import parse_qsl, urljoin, urlsplit

FIRST = ("/", "/board/", "/arithmetic/")
NO_PAGE = re.compile(
    r"^/(?:admin|static|photos)/|/(?:tables|file|sign-out)\b|\.(?:json|pdf|png|svg|webmanifest)$|[?&]language="
)
"""Downloads, pictures, the administration pages of the framework, and what would change the walker's own language."""


@dataclass(frozen=True)
class Page:
    address: str
    html: str

    @property
    def weight(self) -> int:
        """Bytes, uncompressed."""
        return len(self.html.encode())


class Links(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.to: list[str] = []

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        to = dict(attributes).get("href")
        if tag == "a" and to:
            self.to.append(to)


def links_of(page: Page) -> list[str]:
    """Where a page's links lead on this server, without what stands behind a #."""
    links = Links()
    links.feed(page.html)
    found = (urlsplit(urljoin(f"http://here{page.address}", to)) for to in links.to)
    return [to._replace(scheme="", netloc="", fragment="").geturl() for to in found if to.netloc == "here"]


def kind_of(address: str) -> tuple[str, frozenset[str]]:
    """What a page is one of many of: its path without the numbers, and the names of what is asked for."""
    parts = urlsplit(address)
    return re.sub(r"\d+", "N", parts.path), frozenset(name for name, _ in parse_qsl(parts.query))


def every_page(ask: Callable[[str], str | None]) -> Iterator[Page]:
    """Walk from the first pages on. `ask` gives the text of an address, or None where it is no page."""
    waiting, known = list(FIRST), {kind_of(address) for address in FIRST}
    while waiting:
        address = waiting.pop(0)
        html = ask(address)
        if html is None:
            continue
        page = Page(address, html)
        yield page
        for to in links_of(page):
            if kind_of(to) not in known and not NO_PAGE.search(to):
                known.add(kind_of(to))
                waiting.append(to)
