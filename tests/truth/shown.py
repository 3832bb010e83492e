"""Three builds as every page, the board and the commands show them, and how to read a figure off a page.

The demonstration is half done; the young build has nested assemblies, spares, scrap and a part without a figure; of
the finished one nothing is left, whatever its parts say.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, timedelta
from html.parser import HTMLParser
from io import StringIO
from typing import Any

import pytest
from django.core.cache import cache
from django.core.management import call_command
from django.db import transaction
from django.test import Client

from builds.management.demonstration import load_demonstration
from builds.models import Build, Part
from builds.services.plan.records import edit_build
from tests import factories

VOID = {"input", "br", "img", "link", "meta", "hr", "source", "path", "rect", "line", "circle", "use", "polygon"}
NOT_READ = {"script", "style", "svg"}
BUILDS = ("demonstration", "young", "finished")


@dataclass
class Element:
    """An element of a page with what is in it."""

    tag: str
    attributes: dict[str, str | None] = field(default_factory=dict)
    inside: list[Element | str] = field(default_factory=list)

    @property
    def text(self) -> str:
        """What stands in it, drawings left out, white space drawn together."""
        parts = (one if isinstance(one, str) else one.text for one in self.inside if not _is_drawing(one))
        return " ".join(" ".join(parts).split())

    def all(self, tag: str = "", css: str = "", **attributes: str) -> Iterator[Element]:
        """Every element inside it with this tag, class and attributes, in the order of the page."""
        for one in self.inside:
            if isinstance(one, Element):
                if one.is_a(tag, css, attributes):
                    yield one
                yield from one.all(tag, css, **attributes)

    def is_a(self, tag: str, css: str, attributes: dict[str, str]) -> bool:
        classes = (self.attributes.get("class") or "").split()
        fits = all(self.attributes.get(name) == value for name, value in attributes.items())
        return tag in ("", self.tag) and (not css or css in classes) and fits

    def first(self, tag: str = "", css: str = "", **attributes: str) -> Element:
        found = next(self.all(tag, css, **attributes), None)
        assert found is not None, (tag, css, attributes)
        return found

    def rows(self) -> list[list[str]]:
        """The rows of every table in it, as the texts of their cells."""
        return [[cell.text for cell in row.inside if _is_cell(cell)] for row in self.all("tr")]

    def figure(self, label: str) -> tuple[str, str]:
        """The figure beside a label in a list of figures, and the note below it; empty where there is none."""
        for one in (*self.all("div", "figure"), *self.all("div", "titleblock__cell")):
            if next(one.all("dt")).text == label:
                told = [dd.text for dd in one.all("dd")]
                return told[0], " ".join(told[1:])
        return "", ""


def _is_drawing(one: Element | str) -> bool:
    return isinstance(one, Element) and one.tag in NOT_READ


def _is_cell(one: Element | str) -> Any:
    return isinstance(one, Element) and one.tag in ("td", "th")


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open = [Element("page")]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, dict(attrs))
        self.open[-1].inside.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.open[-1].inside.append(Element(tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        for place in range(len(self.open) - 1, 0, -1):
            if self.open[place].tag == tag:
                del self.open[place:]
                return

    def handle_data(self, data: str) -> None:
        self.open[-1].inside.append(data)


def read(html: str) -> Element:
    """A page as a tree."""
    reader = _Reader()
    reader.feed(html)
    return reader.open[0]


def hours_in(text: str) -> float | None:
    """The first hours of a text: "about 1,100 h, between ..." → 1100; none and nothing → 0; None where none stand."""
    if re.search(r"\bnone\b|\bno hours\b", text):
        return 0.0
    found = re.search(r"(\d[\d,]*(?:\.\d+)?) h(?:ours?)?\b", text)
    return float(found[1].replace(",", "")) if found else None


def range_in(text: str) -> tuple[float, float] | None:
    """The ends of the first range of a text: "8.3 h to 18 h", "between 850 and 1,400 hours"."""
    number = r"(\d[\d,]*(?:\.\d+)?)"
    found = re.search(rf"{number} h to {number} h", text) or re.search(rf"between {number} and {number} hours", text)
    return (float(found[1].replace(",", "")), float(found[2].replace(",", ""))) if found else None


class Shown:
    """A build in the database, and a client that is signed in."""

    def __init__(self, build: Build, client: Client) -> None:
        self.build = build
        self.client = client

    def page(self, way: str = "", **asked: Any) -> Element:
        """The page of the build at this end of its address."""
        return self.at(f"/builds/{self.build.slug}/{way}", **asked)

    def at(self, address: str, **asked: Any) -> Element:
        response = self.client.get(address, asked)
        assert response.status_code == 200, address
        return read(response.content.decode())

    def part(self, part: Part, way: str = "") -> Element:
        return self.page(f"parts/{part.pk}/{way}")

    @property
    def parts(self) -> list[Part]:
        return list(self.build.parts.all())

    def command(self, *arguments: str) -> str:
        """What `manage.py forecast` prints of it."""
        out = StringIO()
        call_command("forecast", self.build.slug, *arguments, stdout=out)
        return out.getvalue()


@contextmanager
def three_builds(blocker: Any) -> Iterator[dict[str, Shown]]:
    """The three builds on a day that stays, in a database that forgets them afterwards."""
    cache.clear()
    with blocker.unblock(), transaction.atomic(), pytest.MonkeyPatch.context() as patch:
        patch.setattr("django.utils.timezone.localdate", lambda *args, **kwargs: factories.TODAY)
        client, today = Client(), factories.TODAY
        demonstration = load_demonstration(today)
        assert demonstration is not None
        client.force_login(factories.make_user("reader"), backend="django.contrib.auth.backends.ModelBackend")
        builds = (demonstration, young_build(today), finished_build(today))
        yield {name: Shown(build, client) for name, build in zip(BUILDS, builds, strict=True)}
        transaction.set_rollback(True)


def young_build(today: date) -> Build:
    """Assemblies that nest, spares, scrap, rework, a part without a figure, and evenings of an odd length."""
    build = factories.make_build("Hot-air engine", started_on=today - timedelta(days=60), for_counter=True)
    hot = factories.make_assembly(build, "Hot end")
    inner = factories.make_assembly(build, "Displacer", parent=hot)
    turned = [
        {"kind": "sawing", "minutes_per_unit": 10.0},
        {"kind": "turning", "minutes_per_unit": 45.0, "setup_minutes": 30.0},
        {"kind": "lapping", "minutes_per_unit": 25.0},
    ]
    ring = factories.make_part(build, "1", "Ring", quantity=4, spares=2, assembly=inner, operations=turned)
    rod = factories.make_part(build, "2", "Rod", quantity=2, assembly=inner, operations=turned)
    factories.make_part(build, "3", "Hot cap", quantity=1, assembly=hot, operations=turned[1:])
    factories.make_part(build, "4", "Frame", operations=[{"kind": "milling", "minutes_per_unit": 600.0}])
    factories.make_part(build, "5", "Lamp", operations=[{"kind": "soldering", "minutes_per_unit": None}])
    factories.make_part(build, "6", "Spring", role="bought", operations=[])
    counts = [(ring, 0, 6, 0, 0), (ring, 1, 4, 1, 2), (rod, 0, 2, 0, 0), (ring, 2, 2, 1, 0), (rod, 1, 1, 0, 0)]
    for evening, (part, place, good, scrap, reworked) in enumerate(counts):
        operation, day = part.operations.order_by("number")[place], today - timedelta(days=50 - 9 * evening)
        counted = {"good": good, "scrap": scrap, "reworked": reworked}
        factories.make_entry(build, day, 193, part=part, operation=operation, **counted)
    return build


def finished_build(today: date) -> Build:
    """Said to be finished: one part is made by count, another because it was said, and a third was never counted."""
    build = factories.make_build("Toy engine", started_on=today - timedelta(days=90))
    whole = factories.make_assembly(build, "Whole engine")
    route = [{"kind": "turning", "minutes_per_unit": 60.0}]
    counted = factories.make_part(build, "1", "Wheel", quantity=3, spares=1, assembly=whole, operations=route)
    said = factories.make_part(build, "2", "Base", assembly=whole, operations=route, finished_on=today)
    for week, part in enumerate((counted, said)):
        day = today - timedelta(days=80 - 14 * week)
        good = part.quantity_with_spares
        factories.make_entry(build, day, 150, part=part, operation=part.operations.get(), good=good)
    factories.make_part(build, "3", "Name plate", quantity=2, assembly=whole, operations=route)
    build.refresh_from_db()
    build.state, build.finished_on = "finished", today
    return edit_build(build=build, by=None)
