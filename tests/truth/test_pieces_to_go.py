"""Pieces to go at an operation: the bench counts them as the route does, spares and what was scrapped later too."""

import re
from collections.abc import Iterator

import pytest
from pytest_django.plugin import DjangoDbBlocker

from builds.models import Part
from builds.queries.snapshot import read_snapshot
from calcs.parts.count import count_pieces
from calcs.parts.plan import OperationPlan, PartPlan
from calcs.parts.remaining import open_part, pieces_to_pass
from tests.factories import TODAY
from tests.truth.shown import BUILDS, Shown, three_builds

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def builds(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[dict[str, Shown]]:
    with three_builds(django_db_blocker) as shown:
        yield shown


def at_the_bench(shown: Shown, part: Part | None = None) -> dict[tuple[str, str], int]:
    """Pieces to go by part and operation, as the picks of the bench tell them."""
    page = shown.page("bench/", **({"part": part.pk} if part else {}))
    told = {}
    for pick in page.first("div", "bench__picks").all("label"):
        if to_go := re.search(r"(\d+) to go", pick.first(css="bench__left").text):
            told[pick.first(css="bench__what").text, pick.first(css="bench__where").text] = int(to_go[1])
    return told


def on_the_route(shown: Shown, part: Part) -> dict[tuple[str, str], int]:
    """The same as the route of a part has it."""
    rows = shown.part(part).first("section", id="route").rows()
    told = {}
    for number, operation, *_figures, pieces, _doing in rows[1:]:
        to_go = re.search(r"(\d+) to go", pieces)
        title = next(str(one) for one in part.operations.all() if str(one.number) == number)
        assert operation.startswith(title.partition(" ")[2])
        told[str(part), title] = int(to_go[1]) if to_go else 0
    return told


@pytest.mark.parametrize("name", ["demonstration", "young"])
def test_what_the_bench_offers_has_as_many_to_go_as_the_route_says(builds: dict[str, Shown], name: str) -> None:
    shown = builds[name]
    picks = at_the_bench(shown)
    assert picks
    for part in shown.parts:
        if any(of == str(part) for of, _operation in picks):
            picks |= {key: n for key, n in at_the_bench(shown, part).items() if key[0] == str(part)}
            route = on_the_route(shown, part)
            assert {key: n for key, n in picks.items() if key[0] == str(part)}.items() <= route.items()


def test_spares_are_to_go_as_well(builds: dict[str, Shown]) -> None:
    """Cover nuts: 36 and 6 spares, 35 parted off; valve discs: 6 and 2 spares, none tested."""
    shown = builds["demonstration"]
    picks: dict[tuple[str, str], int] = {}
    for part in shown.parts:
        if part.number in ("206", "507"):
            picks |= at_the_bench(shown, part)
    to_go = {of: n for (of, operation), n in picks.items() if operation.startswith(("30 Part", "40 Test"))}
    assert to_go == {"206 Cover nut, M3 small hexagon": 7, "507 Air-pump valve disc, 3/8 x 0.020": 8}


@pytest.mark.parametrize("name", BUILDS)
def test_the_forecast_reckons_with_the_pieces_that_the_route_tells(builds: dict[str, Shown], name: str) -> None:
    shown = builds[name]
    begun = [row for row in read_snapshot(shown.build, TODAY).parts if row.begun and row.operations]
    for row in [row for row in begun if any(row.to_pass)][:12] + begun[:2]:
        rest = None if name == "finished" else open_part(row.plan)
        pieces = [one.pieces for one in rest.operations] if rest else [0] * len(row.operations)
        assert list(on_the_route(shown, row.part).values()) == pieces, row.part


def test_what_was_scrapped_further_on_has_to_pass_again() -> None:
    route = (OperationPlan(1, "sawing", 0, 1, good=8), OperationPlan(2, "turning", 0, 1, good=5, scrap=2))
    part = PartPlan(1, "stud", "", 6, 2, route)
    assert pieces_to_pass(part, count_pieces(part)) == (2, 3)
