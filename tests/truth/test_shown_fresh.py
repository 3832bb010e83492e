"""What a form on a page changes is shown fresh on that page: with htmx as after a reload, and after "use my rates"."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from pytest_django.plugin import DjangoDbBlocker

from builds.models import Build, Operation, Part
from tests import factories
from tests.factories import TODAY
from tests.truth.shown import Element, Shown, hours_in, read, three_builds

pytestmark = pytest.mark.django_db

HX = {"HX-Request": "true", "HX-Target": "rest"}
OPERATION = {"kind": "milling", "title": "Mill the flat", "basis": "piece", "amount": "1", "origin": "by hand"}
OPERATION |= {"setup_minutes": "1 h", "minutes_per_unit": "5 h", "unattended_share": "0"}


@pytest.fixture(autouse=True)
def on_a_known_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *args, **kwargs: TODAY)


@pytest.fixture
def part(db: None) -> Part:
    build = factories.make_build()
    route = [{"kind": "turning", "minutes_per_unit": 60.0}, {"kind": "milling", "minutes_per_unit": 600.0}]
    part = factories.make_part(build, quantity=4, operations=route)
    factories.make_entry(build, TODAY, 90, part=part, operation=part.operations.first(), good=1)
    return part


def address(part: Part, way: str = "") -> str:
    return f"/builds/{part.build.slug}/parts/{part.pk}/{way}"


def change(operation: Operation, way: str) -> str:
    return f"/builds/{operation.part.build.slug}/operations/{operation.pk}/{way}/"


def told(page: Element) -> list[Any]:
    """Figures, route, yields and log of a part."""
    rest = page.first("div", id="rest")
    figures = [[one.text for one in figure.all("dd")] for figure in rest.all("div", "figure")]
    # That it was taken out is said once, with the way back, and is no figure.
    sentences = [one.text for one in rest.all("p") if not one.text.endswith("is out of the route.")]
    return [figures, rest.rows(), sentences, [one.text for one in rest.all("li")]]


@pytest.mark.parametrize("done", ["added", "changed", "taken out", "moved"])
def test_a_changed_route_shows_all_that_follows_from_it(signed_in: Client, part: Part, done: str) -> None:
    first, second = part.operations.order_by("number")
    before = read(signed_in.get(address(part)).content.decode())
    asked: dict[str, tuple[str, dict[str, Any]]] = {
        "added": (address(part, "operations/new/"), OPERATION),
        "changed": (change(first, "edit"), {**OPERATION, "kind": "turning", "number": 10, "seen": first.version}),
        "taken out": (change(second, "remove"), {}),
        "moved": (change(first, "move"), {"way": "later"}),
    }
    answer = signed_in.post(asked[done][0], asked[done][1], headers=HX)
    assert answer.status_code == 200
    at_once, reloaded = read(answer.content.decode()), read(signed_in.get(address(part)).content.decode())
    assert told(at_once) == told(reloaded)
    assert told(at_once) != told(before)
    if done != "moved":
        for label in ("Left at the bench", "Planned for the rest"):
            assert at_once.figure(label) == reloaded.figure(label) != before.figure(label)


def test_every_control_of_the_route_swaps_what_follows_from_it(signed_in: Client, part: Part) -> None:
    for way in (address(part), address(part, "operations/new/"), change(part.operations.get(number=10), "edit")):
        route = read(signed_in.get(way).content.decode()).first("section", id="route")
        changing = [one for one in route.all() if "hx-post" in one.attributes or "operations" in _asks(one)]
        targets = {one.attributes["hx-target"] for one in changing if "work-out" not in _asks(one)}
        assert targets == {"#rest"}


def _asks(one: Element) -> str:
    return one.attributes.get("hx-get") or ""


def test_a_refused_operation_keeps_what_was_typed_beside_the_figures(signed_in: Client, part: Part) -> None:
    answer = signed_in.post(address(part, "operations/new/"), {**OPERATION, "amount": "0"}, headers=HX)
    assert answer.status_code == 422
    page = read(answer.content.decode())
    assert page.first("input", name="title").attributes["value"] == "Mill the flat"
    assert page.figure("Left at the bench")[0]


def test_my_rates_are_in_what_is_planned_for_the_rest(signed_in: Client, db: None) -> None:
    """Three turned parts took twice their plan; the fourth's 4 × 1 h is planned at its own rate afterwards."""
    build = factories.make_build()
    logged(build)
    part = factories.make_part(
        build, "9", quantity=4, operations=[{"kind": "turning", "minutes_per_unit": 60.0, "origin": "by hand"}]
    )
    shown = Shown(build, signed_in)
    before = shown.part(part)
    assert before.figure("Planned for the rest")[0] == "4.0 h"

    signed_in.post(f"/builds/{build.slug}/rates/use/", {"seen": Build.objects.get(pk=build.pk).revision})

    after, operation = shown.part(part), part.operations.get()
    assert operation.origin == "own rate"
    planned = hours_in(after.figure("Planned for the rest")[0])
    assert planned == pytest.approx(4 * (operation.minutes_per_piece or 0) / 60, abs=0.05)
    assert planned is not None
    assert planned > 5
    # The forecast goes on from what was first planned, so the ratio is taken once.
    assert after.figure("Left at the bench") == before.figure("Left at the bench")


def logged(build: Build) -> None:
    for number in range(6):
        route = [{"kind": "turning", "minutes_per_unit": 60.0}]
        part = factories.make_part(build, str(number), f"Part {number}", quantity=2, operations=route)
        day = TODAY - timedelta(days=40 - number)
        factories.make_entry(build, day, 240, part=part, operation=part.operations.get(), good=2)


@pytest.fixture(scope="module")
def builds(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[dict[str, Shown]]:
    with three_builds(django_db_blocker) as shown:
        yield shown


def test_the_demonstration_at_its_own_rates_plans_what_its_route_cards_say(builds: dict[str, Shown]) -> None:
    shown = builds["demonstration"]
    erection = shown.build.parts.get(number="802")
    before = hours_in(shown.part(erection).figure("Planned for the rest")[0])
    revision = Build.objects.get(pk=shown.build.pk).revision
    shown.client.post(f"/builds/{shown.build.slug}/rates/use/", {"seen": revision})
    minutes = 0.0
    for one in erection.operations.all():
        passed = sum(one.entries.values_list("good", flat=True))
        minutes += (one.minutes_per_piece or 0.0) * (1 - passed) + (0.0 if one.entries.exists() else one.setup_minutes)
    after = hours_in(shown.part(erection).figure("Planned for the rest")[0])
    assert before is not None
    assert after is not None
    assert after > before
    assert after == round(minutes / 60)
