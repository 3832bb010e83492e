"""The pages that the README shows, and a digest of each, by which a test knows when its picture is older than the page.

Digests are of what a page says and of its classes, and of the style sheet: no tokens, addresses, file names or drawings
go into them, and the day is `factories.TODAY`. Of drawings and figures their own two numbers speak.
"""

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from django.contrib.staticfiles import finders
from django.test import Client

from builds.charts.drawing import DRAWINGS
from builds.models import Build
from builds.static_files import SHEET
from calcs.forecast import ARITHMETIC
from tests.truth.shown import NOT_READ, Element, read

SHOWN = Path(__file__).with_name("shown")
DIGESTS = SHOWN / "pages.json"


@dataclass(frozen=True)
class Page:
    """A page at a size of the window, in CSS pixels. way: {slug} is the build, {part} is REPEATED.

    turned: how many panels of the board are turned over first.
    """

    name: str
    way: str
    wide: int = 1280
    high: int = 900
    media: str = "screen"
    turned: int = 0


PAGES = (
    Page("bench", "/builds/{slug}/bench/?part={part}", 390, 844),
    Page("tonight", "/builds/{slug}/tonight/", 390, 844),
    Page("part", "/builds/{slug}/parts/{part}/"),
    Page("yield", "/builds/{slug}/parts/{part}/yield/"),
    Page("forecast", "/builds/{slug}/forecast/"),
    Page("board", "/board/{slug}/", 1280, 720, turned=3),
    Page("talk", "/builds/{slug}/talk/", 680, 1010, "print"),
)
REPEATED = "212"
"""Pistons' rings: a part with scrap, rework and two batches."""


def address(page: Page, build: Build) -> str:
    return page.way.format(slug=build.slug, part=build.parts.get(number=REPEATED).pk)


def digests(client: Client, build: Build) -> dict[str, str]:
    """The digest of every page and of what they are drawn with. The client has to be signed in."""
    sheet = Path(str(finders.find(SHEET))).read_text()
    drawn_with = {"sheet": sheet, "drawings": str(DRAWINGS), "arithmetic": str(ARITHMETIC)}
    said = {page.name: _said(client.get(address(page, build)).content.decode()) for page in PAGES}
    return {name: hashlib.sha256(text.encode()).hexdigest()[:16] for name, text in {**drawn_with, **said}.items()}


def older_than_the_pages(now: Mapping[str, str]) -> list[str]:
    """What has changed since the pictures were made."""
    then = json.loads(DIGESTS.read_text())
    return sorted(name for name in now.keys() | then.keys() if now.get(name) != then.get(name))


def _said(html: str) -> str:
    return "\n".join(_lines(read(html).first("body")))


def _lines(element: Element) -> Iterator[str]:
    for one in element.inside:
        if isinstance(one, str):
            if one.strip():
                yield " ".join(one.split())
        elif one.tag not in NOT_READ:
            yield f"<{one.tag} {one.attributes.get('class') or ''}>"
            yield from _lines(one)
