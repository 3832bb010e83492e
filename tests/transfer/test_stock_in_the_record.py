"""The rack and the lengths on sale travel with the build that names their material."""

from decimal import Decimal

import pytest

from builds.models import Material, Offer, Shop, Stock
from builds.transfer.complaints import RecordError
from builds.transfer.record.reader import import_record
from builds.transfer.record.writer import export_record
from tests import factories
from tests.factories import TODAY
from tests.transfer.test_record_in import record

BAR = {"material": "Bronze", "section": "20 dia", "length": "500"}


def with_stock(**more: object) -> dict[str, object]:
    return record() | {"materials": [{"name": "Bronze"}], "parts": [], "entries": [], "batches": [], "milestones": [],
                       "photos": []} | more  # fmt: skip


def test_only_the_stock_of_the_builds_own_materials_goes_out(db: None) -> None:
    bronze, steel = factories.make_material("Bronze"), factories.make_material("Steel")
    build = factories.make_build()
    factories.make_part(build, material=bronze)
    factories.make_stock(bronze, "20 dia", "500", 2)
    factories.make_stock(steel, "20 dia", "500", 2)
    factories.make_offer(bronze, "20 dia", "1000", "12.50", supplier="Bar & Co")
    out = export_record(build)
    assert out["stock"] == [{**BAR, "pieces": 2}]
    assert out["offers"] == [{**BAR, "length": "1000", "price": 12.5, "supplier": "Bar & Co"}]


def test_a_rack_that_comes_in_joins_the_shops_own_which_stays(db: None) -> None:
    bronze = Material.objects.create(name="Bronze")
    factories.make_stock(bronze, "20 dia", "500", 7)
    before = Shop.objects.get().revision
    other = {**BAR, "section": "25 dia"}
    import_record(with_stock(stock=[{**BAR, "pieces": 2}, other], offers=[{**BAR, "price": 3}]), today=TODAY)
    assert sorted(Stock.objects.values_list("section", "pieces")) == [("20 dia", 7), ("25 dia", 1)]
    assert Offer.objects.get().price == Decimal(3)
    assert Shop.objects.get().revision > before


@pytest.mark.parametrize(
    ("wrong", "path"),
    [
        ({"section": "round thing"}, "stock[0].section"),
        ({"length": "long"}, "stock[0].length"),
        ({"material": "Steel"}, "stock[0].material"),
        ({"pieces": -1}, "stock[0].pieces"),
        ({"colour": "red"}, "stock[0].colour"),
    ],
)
def test_what_cannot_be_read_is_refused_by_its_path(db: None, wrong: dict[str, object], path: str) -> None:
    with pytest.raises(RecordError) as refused:
        import_record(with_stock(stock=[{**BAR, **wrong}]), today=TODAY)
    assert str(refused.value).startswith(path)
    assert not Stock.objects.exists()
