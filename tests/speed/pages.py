"""The pages against their floors, in the data folder of this process."""

import re
from collections.abc import Callable, Iterator
from typing import Any

from django.apps import apps
from django.core.cache import cache
from django.core.management import call_command
from django.urls import reverse

from tests.speed import floors
from tests.speed.browser import logging, page, queries_of, signed_in, stranger
from tests.speed.measuring import Measure, medians
from tests.speed.shop import LARGE, LARGE_LOGGED, SMALL, SMALL_LOGGED

Ask = Callable[[], Any]

# What to do next, what it waits for, and what it takes. All stand on what is kept of a build, as the forecast does.
WHAT_NEXT = {
    "tonight": "builds:tonight",
    "will it be ready": "builds:ready",
    "what holds it": "builds:holds",
    "what waits": "builds:waiting",
    "material to buy": "builds:to_buy",
    "list of parts": "builds:parts",
}


def page_works() -> Iterator[tuple[str, Ask, str, Ask, float | None]]:
    """Name, work, name of the floor, floor, and the bar of their ratio."""
    client, visitor = signed_in(), stranger()

    def same(name: str, view: str, bar: float, number: Callable[[str], list[int]] = lambda slug: []) -> Any:
        large, small = (page(client, reverse(view, args=[slug, *number(slug)])) for slug in (LARGE, SMALL))
        return name, large, "one-part build", small, bar

    yield same("bench page", "builds:bench", 1.5)
    yield same("part page", "builds:part", 1.5, lambda slug: [last_entry(slug).part_id])
    yield same("amend", "builds:amend", 1.5, lambda slug: [last_entry(slug).pk])
    large, small = logging(client, LARGE_LOGGED), logging(client, SMALL_LOGGED)
    yield "logging, and the page after", large, "one-part build", small, 1.5
    yield same("kept forecast", "builds:forecast", 3.0)
    yield same("log book", "builds:log", 3.0)
    for name, view in WHAT_NEXT.items():
        yield same(name, view, 3.0)
    yield same("what comes first", "builds:needs", 1.5, lambda slug: [last_entry(slug).part_id])
    least, public = page(client, f"/least-signed-in/{LARGE}/"), page(visitor, f"/least/{LARGE}/")
    for name, view in (("build page", "builds:page"), ("rates page", "builds:rates")):
        yield name, page(client, reverse(view, args=[LARGE])), "empty view", least, 0.15
    board = reverse("builds:board", args=[LARGE])
    yield "board", page(visitor, board), "empty view", public, None
    tag = visitor.get(board).headers["ETag"]
    yield "board 304", page(visitor, board, 304, if_none_match=tag), "empty view", public, 1.3
    yield "builds list", page(client, reverse("builds:list")), "empty view", least, None


def last_entry(slug: str) -> Any:
    return apps.get_model("builds", "Entry").objects.filter(build__slug=slug, part__isnull=False).first()


def rows_shown(name: str, text: str) -> int | None:
    """Rows of the pages whose bar is a cost a row: parts of the build page, lines of the rates page's tables."""
    if name == "build page":
        return len(set(re.findall(r'href="[^"]*/parts/\d+/"', text)))
    return text.count("<tr") if name == "rates page" else None


def measures(only: str = "") -> Iterator[Measure]:
    for name, work, floor_name, floor, bar in page_works():
        if only not in name:
            continue
        taken = medians({"work": work, "floor": floor})
        queries, answer = queries_of(work), work()
        rows = rows_shown(name, answer.content.decode())
        size = len(answer.content)
        yield Measure(name, taken["work"], floor_name, taken["floor"], queries, size, bar, rows)
    if only in "fresh forecast":
        yield fresh_forecast()


def fresh_forecast() -> Measure:
    """The command that says the forecast, with nothing kept, against drawing the normals and reading the tables."""
    from time import process_time

    def fresh() -> None:
        cache.clear()
        call_command("forecast", LARGE, stdout=floors.Nowhere())

    operations = apps.get_model("builds", "Operation").objects.filter(part__build__slug=LARGE).count()
    works = {
        "fresh": fresh,
        "normals": lambda: floors.normals(operations),
        "sql": lambda: floors.read_tables(LARGE),
    }
    taken = medians(works, process_time)
    return Measure(
        "fresh forecast",
        taken["fresh"],
        "normals + SQL",
        taken["normals"] + taken["sql"],
        queries_of(fresh),
        bar=4.0,
    )
