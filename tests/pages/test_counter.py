"""A thing for the counter: its price, and the fields it hangs on."""

from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from builds.models import Build, Part
from builds.services.plan.records import edit_build

ROUTE = [{"kind": "turning", "minutes_per_unit": 12.0, "setup_minutes": 30.0}]


@pytest.fixture
def knob(make_build: Any, make_part: Any) -> Any:
    build = make_build("Knob", for_counter=True, hourly_figure=Decimal("24.00"), currency="£")
    return make_part(build, "1", "Knob", operations=ROUTE, blank_cost=Decimal("0.40"))


def test_the_page_tells_the_price_with_its_working(signed_in: Client, knob: Any) -> None:
    text = signed_in.get(f"/builds/{knob.build.slug}/counter/", {"batch": "10"}).content.decode()
    assert "One of 10 made at once" in text
    assert "h × £24.00 an hour = £" in text
    assert "Show the working: The price of one" in text
    assert "work + material" in text


def test_a_larger_batch_makes_one_cheaper(signed_in: Client, knob: Any) -> None:
    url = f"/builds/{knob.build.slug}/counter/"
    prices = [signed_in.get(url, {"batch": batch}).context["page"].price.price for batch in ("1", "10", "100")]
    assert prices[0] > prices[1] > prices[2]


def test_the_title_block_has_a_line_for_it(signed_in: Client, knob: Any) -> None:
    url = f"/builds/{knob.build.slug}/"
    text = signed_in.get(url).content.decode()
    assert "One for the counter" in text
    assert "in one of 10, £" in text
    knob.build.hourly_figure = None
    edit_build(build=knob.build, by=None)
    text = signed_in.get(url).content.decode()
    assert "in one of 10" in text
    assert "£" not in text
    knob.build.for_counter = False
    edit_build(build=knob.build, by=None)
    assert "One for the counter" not in signed_in.get(url).content.decode()


@pytest.mark.parametrize(
    ("batch", "sentence"), [("0", "At least one is made at once."), ("x", "Give a whole number of things.")]
)
def test_a_batch_that_is_none_is_refused(signed_in: Client, knob: Any, batch: str, sentence: str) -> None:
    for headers in ({}, {"HX-Request": "true"}):
        answer = signed_in.get(f"/builds/{knob.build.slug}/counter/", {"batch": batch}, headers=headers)
        assert answer.status_code == 422
        assert sentence in answer.content.decode()


def test_htmx_gets_the_price_without_the_page(signed_in: Client, knob: Any) -> None:
    answer = signed_in.get(f"/builds/{knob.build.slug}/counter/", headers={"HX-Request": "true"})
    assert answer.content.decode().lstrip().startswith('<div class="stack" id="price">')


def test_what_is_missing_is_named(signed_in: Client, knob: Any) -> None:
    Part.objects.update(blank_cost=None)
    text = signed_in.get(f"/builds/{knob.build.slug}/counter/").content.decode()
    assert "What is missing: what a blank of Knob costs." in text
    assert "not known" in text


def test_free_material_is_a_price_and_not_an_unknown(signed_in: Client, knob: Any) -> None:
    Part.objects.update(blank_cost=Decimal(0))
    text = signed_in.get(f"/builds/{knob.build.slug}/counter/").content.decode()
    assert "£0.00 of material" in text


def test_another_build_says_that_it_is_none(signed_in: Client, make_build: Any) -> None:
    build = make_build()
    assert "not made for the counter" in signed_in.get(f"/builds/{build.slug}/counter/").content.decode()


def test_the_forms_take_what_the_price_hangs_on(signed_in: Client, make_build: Any, make_part: Any) -> None:
    build = make_build()
    data = {"name": build.name, "units": "mm", "state": "active", "seen": build.version}
    answer = signed_in.post(
        f"/builds/{build.slug}/edit/", {**data, "for_counter": "on", "hourly_figure": "18.50", "currency": "€"}
    )
    assert answer.status_code == 302
    build.refresh_from_db()
    assert (build.for_counter, build.hourly_figure, build.currency) == (True, Decimal("18.50"), "€")
    part = make_part(build)
    fields = {"number": "14", "name": "Ring", "quantity": "6", "spares": "0", "role": "detail", "seen": part.version}
    signed_in.post(f"/builds/{build.slug}/parts/{part.pk}/edit/", {**fields, "blank_cost": "1.25"})
    part.refresh_from_db()
    assert part.blank_cost == Decimal("1.25")
    below = signed_in.post(
        f"/builds/{build.slug}/parts/{part.pk}/edit/", {**fields, "blank_cost": "-1", "seen": part.version}
    )
    assert "A blank cannot have a negative cost." in below.content.decode()
    low = signed_in.post(f"/builds/{build.slug}/edit/", {**data, "hourly_figure": "-1", "seen": build.version})
    assert "An hour cannot have a negative cost." in low.content.decode()


def test_no_price_stands_on_the_board(client: Client, knob: Any) -> None:
    Build.objects.update(on_board=True)
    text = client.get(f"/board/{knob.build.slug}/").content.decode()
    assert "£" not in text
    assert "counter" not in text
