"""Every page that links lead to from the start page: each kind of page once, a part's pages for every part."""

from __future__ import annotations

from collections.abc import Iterator
from html.parser import HTMLParser
from urllib.parse import parse_qs, urljoin, urlsplit

from django.test import Client
from django.urls import Resolver404, resolve

# Of these every one is read that a link leads to.
EVERY_ONE = {"builds:part", "builds:blanks", "builds:worksheet"}


class Links(HTMLParser):
    """Where a page's links lead, and what its forms ask for by an address that can be kept."""

    def __init__(self) -> None:
        super().__init__()
        self.to: list[str] = []

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        if tag == "a":
            self.to.append(dict(attributes).get("href") or "")


def kind_of(address: str) -> tuple[str, ...] | None:
    """What makes two addresses the same kind of page; None for what is none of ours, or no page."""
    parts = urlsplit(address)
    if "language" in parse_qs(parts.query):
        # What follows would all be in that language, its figures with another point.
        return None
    try:
        found = resolve(parts.path)
    except Resolver404:
        return None
    if parts.netloc or found.view_name.startswith("admin:") or found.view_name in ("builds:record", "photo_file"):
        return None
    asked = parse_qs(parts.query)
    if "language" in asked:
        # It would be remembered, and the sums of all other pages are read as English writes them.
        return None
    name = found.view_name
    if name in EVERY_ONE:
        return (name, parts.path)
    named = tuple(str(value) for key, value in found.kwargs.items() if key != "pk")
    return (name, *named, *sorted(asked), *asked.get("what", []))


def pages_from(client: Client, start: str = "/") -> Iterator[tuple[str, str]]:
    """Address and HTML of every kind of page that links lead to from the start."""
    waiting, seen = [start], set()
    while waiting:
        address = waiting.pop(0)
        kind = kind_of(address)
        if kind is None or kind in seen:
            continue
        seen.add(kind)
        answer = client.get(address, follow=True)
        if answer.status_code != 200 or not answer["Content-Type"].startswith("text/html"):
            continue
        html = answer.content.decode()
        yield address, html
        links = Links()
        links.feed(html)
        waiting += [urljoin(address, to) for to in links.to if to and not to.startswith("#")]
