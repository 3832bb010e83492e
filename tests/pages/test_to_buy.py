"""The page of the material to buy, its tables, and the pages of the rack and of the lengths on sale."""

import csv
import html
import io
import re
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from builds.models import Build, Material, Offer, Part, Stock
from builds.models.choices import Role
from tests import factories

SURE = [{"kind": "fitting", "minutes_per_unit": 30.0, "slip_costs_time": True}]


@pytest.fixture
def bronze(db: None) -> Material:
    return factories.make_material("Bronze", density=8800.0)


@pytest.fixture
def build(bronze: Material) -> Build:
    build = factories.make_build(currency="£", budget=Decimal(20))
    factories.make_part(build, "1", "Bush", operations=SURE, quantity=3, material=bronze, blank="20 dia x 40")
    factories.make_part(build, "2", "Valve", role=Role.BOUGHT, blank_cost=Decimal(4), supplier="Taps & Sons")
    factories.make_offer(bronze, "20 dia", "500", "12.50")
    return build


def text_of(answer: Any) -> str:
    """What a page says, its tags and its white space aside."""
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", answer.content.decode())).split())


def page(client: Client, build: Build, query: str = "") -> str:
    return text_of(client.get(f"/builds/{build.slug}/to-buy/{query}"))


def table(client: Client, build: Build, name: str, query: str = "") -> list[dict[str, str]]:
    content = client.get(f"/builds/{build.slug}/tables/{name}.csv{query}").content.decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(content)))


def test_supplier_and_saw_have_a_list_each_and_the_cost_stands_below(signed_in: Client, build: Build) -> None:
    shown = page(signed_in, build)
    for words in (
        "1 × 500 mm", "£12.50", "3 × 40 mm (1)", "Left of each", "Taps & Sons", "to order",
        "£16.50 in all, of a budget of £20.00: £3.50 is left.",
    ):  # fmt: skip
        assert words in shown, words
    assert "Without a price" not in shown


def test_what_has_no_price_is_counted_in_words(signed_in: Client, build: Build) -> None:
    Offer.objects.update(price=None)
    build.refresh_from_db()
    factories.make_part(build, "3", "Gauge", role=Role.BOUGHT)
    shown = page(signed_in, build)
    assert "Without a price: 2 of 3. What they cost comes on top." in shown
    assert "not known" in shown


def test_how_it_is_cut_can_be_asked_otherwise_and_what_is_refused_stays_typed(signed_in: Client, build: Build) -> None:
    assert "£25.00" in page(signed_in, build, "?kerf=200+mm&end=0&bar=1000")
    answer = signed_in.get(f"/builds/{build.slug}/to-buy/?kerf=thick&bar=1000")
    assert answer.status_code == 422
    assert 'value="thick"' in answer.content.decode()


def test_what_was_ordered_is_on_its_way_and_waits_for_nothing_by_itself(signed_in: Client, build: Build) -> None:
    valve = Part.objects.get(number="2")
    where = f"/builds/{build.slug}/parts/{valve.pk}/edit/"
    sent = {"number": "2", "name": "Valve", "role": "bought", "quantity": 1, "spares": 0, "supplier": "Taps & Sons"}
    signed_in.post(where, {**sent, "ordered_on": "2026-03-02", "arrived_on": "2026-03-01"})
    valve.refresh_from_db()
    assert valve.ordered_on is None
    signed_in.post(where, {**sent, "ordered_on": "2026-03-02"})
    valve.refresh_from_db()
    assert (valve.ordered_on, valve.waiting_for) == (date(2026, 3, 2), "")
    assert "on its way, ordered" in page(signed_in, build)


def test_the_page_is_not_made_anew_until_build_or_rack_change(
    signed_in: Client, build: Build, bronze: Material
) -> None:
    where = f"/builds/{build.slug}/to-buy/"
    signed_in.get(where)
    etag = signed_in.get(where).headers["ETag"]
    assert signed_in.get(where, headers={"If-None-Match": etag}).status_code == 304
    factories.make_stock(bronze, "20 dia", "500", 4)
    again = signed_in.get(where, headers={"If-None-Match": etag})
    assert again.status_code == 200
    assert "Nothing to buy of what could be worked out." in text_of(again)


def test_both_lists_are_tables_as_the_page_is_asked(signed_in: Client, build: Build) -> None:
    material, valve = table(signed_in, build, "to-buy")
    assert (material["material"], material["size"], material["pieces"], material["cost"]) == (
        "Bronze", "500 mm", "1", "12.5"
    )  # fmt: skip
    assert (valve["part"], valve["pieces"], valve["supplier"]) == ("2 Valve", "1", "Taps & Sons")
    [cut] = table(signed_in, build, "cutting")
    assert (cut["bars"], cut["from"], cut["cut from each"], cut["left of each"]) == (
        "1", "to buy", "3 × 40 mm (1)", "356 mm"
    )  # fmt: skip
    assert table(signed_in, build, "cutting", "?kerf=200+mm&end=0")[0]["left of each"] == "20 mm"


# ---- the rack and what is on sale -----------------------------------------------------------------------------------
def test_stock_is_added_amended_removed_and_put_back(signed_in: Client, bronze: Material) -> None:
    sent = {"material": bronze.pk, "section": "20 dia", "length": "500", "units": "mm", "pieces": 2, "note": "left"}
    signed_in.post("/shop/rack/", sent)
    one = Stock.objects.get()
    assert "20 dia" in signed_in.get("/shop/rack/").content.decode()
    signed_in.post(f"/shop/rack/{one.pk}/edit/", {**sent, "pieces": 3})
    removed = signed_in.post(f"/shop/rack/{one.pk}/remove/", follow=True).content.decode()
    assert not Stock.objects.exists()
    assert "Put it back" in html.unescape(removed)
    signed_in.post(f"/shop/rack/{one.pk}/put-back/")
    assert Stock.objects.values("section", "length", "pieces", "note", "material").get() == {
        "section": "20 dia", "length": "500", "pieces": 3, "note": "left", "material": bronze.pk
    }  # fmt: skip


@pytest.mark.parametrize(
    ("section", "length", "words"),
    [
        ("20", "500", "A section is read when"),
        ("20 dia", "long", "Give a length, such as"),
        ("20 dia", "0", "more than nothing"),
        ("12 mm plate", "500", "A plate is read when its face"),
    ],
)
def test_stock_that_cannot_be_read_is_refused_and_stays_typed(
    signed_in: Client, bronze: Material, section: str, length: str, words: str
) -> None:
    sent = {"material": bronze.pk, "section": section, "length": length, "units": "mm", "pieces": 1}
    answer = signed_in.post("/shop/rack/", sent)
    assert answer.status_code == 422
    assert words in html.unescape(answer.content.decode())
    assert f'value="{section}"' in answer.content.decode()
    assert not Stock.objects.exists()


def test_inch_stock_is_named_by_the_fraction_on_the_page_and_in_its_tables(
    signed_in: Client, build: Build, bronze: Material
) -> None:
    Build.objects.update(units="in")
    factories.make_part(build, "5", "Gland", operations=SURE, material=bronze, blank="7/16 A/F hex x 1-3/8")
    factories.make_part(build, "6", "Ring", operations=SURE, material=bronze, blank="1-1/4 dia x 0.4")
    factories.make_offer(bronze, "0.4375 A/F hex", "6.5", "3", units="in")
    shown = page(signed_in, build)
    for words in ("7/16 in A/F hex", "1 × 6-1/2 in", "1 × 1-3/8 in (5)", "1-1/4 in dia", "1 × 0.4 in (6)"):
        assert words in shown, words
    tables = [row for name in ("to-buy", "cutting") for row in table(signed_in, build, name)]
    sections = {row["section"] for row in tables if row["section"]}
    assert sections == {"7/16 in A/F hex", "1-1/4 in dia"}
    assert not any("0.4375" in text or "1.25 in" in text for row in tables for text in row.values())


def test_the_next_one_is_offered_in_the_units_of_the_one_before(signed_in: Client, bronze: Material) -> None:
    chosen = re.compile(r'<option value="(mm|in)" selected>')
    factories.make_build(units="in")
    assert chosen.findall(signed_in.get("/shop/rack/").content.decode()) == ["in"]
    factories.make_stock(bronze, "20 dia", "500", units="mm")
    assert chosen.findall(signed_in.get("/shop/rack/").content.decode()) == ["mm"]


def test_a_length_on_sale_may_have_no_price_and_none_below_nothing(signed_in: Client, bronze: Material) -> None:
    sent = {"material": bronze.pk, "section": "20 dia", "length": "500", "units": "mm"}
    signed_in.post("/shop/on-sale/", sent)
    assert Offer.objects.get().price is None
    assert "not known" in signed_in.get("/shop/on-sale/").content.decode()
    assert signed_in.post("/shop/on-sale/", {**sent, "price": "-1"}).status_code == 422


def test_a_material_in_the_rack_stays(signed_in: Client, bronze: Material) -> None:
    factories.make_stock(bronze, "20 dia", "500")
    answer = signed_in.post(f"/shop/materials/{bronze.pk}/remove/", follow=True)
    assert "Bronze is used 1 time by other records, so it stays" in text_of(answer)
    assert Material.objects.exists()


def test_the_rack_takes_the_same_queries_however_full(
    signed_in: Client, bronze: Material, django_assert_max_num_queries: object
) -> None:
    factories.make_stock(bronze, "20 dia", "500")
    signed_in.get("/shop/rack/")
    few = queries_of(signed_in)
    for number in range(9):
        factories.make_stock(bronze, f"{number + 21} dia", "500")
    assert queries_of(signed_in) == few


def queries_of(client: Client) -> int:
    with CaptureQueriesContext(connection) as asked:
        client.get("/shop/rack/")
    return len(asked)
