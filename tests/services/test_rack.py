"""A batch takes its blanks off the rack, where that is wished, and undoing it puts them back."""

from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.test import Client

from builds.models import Batch, Material, Part, Shop, Stock
from builds.services.plan import records as plan
from builds.services.undo import undo
from tests import factories
from tests.factories import TODAY


@pytest.fixture
def bronze(db: None) -> Material:
    return factories.make_material("Bronze")


@pytest.fixture
def part(bronze: Material) -> Part:
    return factories.make_part(factories.make_build(), material=bronze, blank="20 dia x 40")


def start(part: Part, blanks: int, *, from_rack: bool = True) -> Batch:
    batch = Batch(part=part, number=1, blanks=blanks, started_on=TODAY)
    return plan.start_batch(batch=batch, from_rack=from_rack, by=None)


def rack() -> list[tuple[str, int]]:
    return sorted(Stock.objects.values_list("length", "pieces"))


def test_bars_that_are_cut_go_and_their_offcuts_come(part: Part, bronze: Material) -> None:
    factories.make_stock(bronze, "20 dia", "100", 3)
    factories.make_stock(bronze, "25 dia", "100", 2)
    start(part, 3)
    # 100 − 2 × 43 = 14 and 100 − 43 = 57
    assert rack() == [("100", 1), ("100", 2), ("14 mm", 1), ("57 mm", 1)]


def test_what_has_the_length_already_is_taken_as_it_is(part: Part, bronze: Material) -> None:
    factories.make_stock(bronze, "20 dia", "40", 3)
    start(part, 2)
    assert rack() == [("40", 1)]


def test_the_last_row_of_a_section_stays_and_says_that_none_is_left(part: Part, bronze: Material) -> None:
    factories.make_stock(bronze, "20 dia", "40", 2)
    start(part, 2)
    assert rack() == [("40", 0)]


def test_offcuts_join_those_of_their_length_and_the_smallest_are_scrap(part: Part, bronze: Material) -> None:
    factories.make_stock(bronze, "20 dia", "57 mm")
    factories.make_stock(bronze, "20 dia", "50")
    factories.make_stock(bronze, "20 dia", "100", 2)
    start(part, 3)
    # 50 leaves 7, which is scrap; 57 leaves 14; and 100 leaves 57.
    assert rack() == [("100", 1), ("14 mm", 1), ("57 mm", 1)]
    assert "7 mm" not in dict(rack())


def test_undoing_the_batch_puts_the_rack_back_as_it_was(part: Part, bronze: Material) -> None:
    factories.make_stock(bronze, "20 dia", "100", 1)
    factories.make_stock(bronze, "20 dia", "40", 1)
    before = list(Stock.objects.order_by("pk").values())
    start(part, 2)
    assert rack() != [("100", 1), ("40", 1)]
    revision = Shop.objects.get().revision
    undo(event=part.build.events.first(), by=None)
    assert list(Stock.objects.order_by("pk").values()) == before
    assert not Batch.objects.exists()
    assert Shop.objects.get().revision > revision


def test_a_rack_that_gives_fewer_refuses_and_nothing_is_written(part: Part, bronze: Material) -> None:
    factories.make_stock(bronze, "20 dia", "100", 1)
    revision = part.build.revision
    with pytest.raises(ValidationError, match="The rack gives 2 such blanks, not 3") as refused:
        start(part, 3)
    assert set(refused.value.message_dict) == {"from_rack"}
    assert (rack(), Batch.objects.count(), part.build.revision) == ([("100", 1)], 0, revision)


def test_without_the_wish_the_rack_stays_as_it_is(part: Part, bronze: Material) -> None:
    factories.make_stock(bronze, "20 dia", "100", 1)
    start(part, 2, from_rack=False)
    assert rack() == [("100", 1)]


def test_inches_are_cut_in_inches(part: Part, bronze: Material) -> None:
    Part.objects.update(blank="3/4 dia x 2 in")
    part.refresh_from_db()
    factories.make_stock(bronze, "3/4 dia", "36", units="in")
    start(part, 1)
    assert [row for row in rack() if row[1]] == [("33.88 in", 1)]


@pytest.mark.parametrize("there", [["2.5 in"], []])
def test_an_offcut_of_a_usual_fraction_is_named_by_it_but_joins_the_same_length_in_decimals(
    part: Part, bronze: Material, there: list[str]
) -> None:
    Part.objects.update(blank="3/4 in dia x 47.4 mm")
    part.refresh_from_db()
    for length in there:
        factories.make_stock(bronze, "3/4 dia", length, 0, units="in")
    # The blank, 3 mm for the saw, and two inches and a half.
    factories.make_stock(bronze, "3/4 dia", "113.9 mm", 1, units="in")
    start(part, 1)
    assert [row for row in rack() if row[1]] == [(there[0] if there else "2-1/2 in", 1)]


def test_the_tick_is_offered_where_the_rack_has_a_bar_and_what_is_refused_stays_typed(
    signed_in: Client, part: Part, bronze: Material
) -> None:
    where = f"/builds/{part.build.slug}/parts/{part.pk}/batches/new/"
    tick = "Take the blanks off the rack"
    assert tick not in signed_in.get(where).content.decode()
    factories.make_stock(bronze, "20 dia", "100", 1)
    assert tick in signed_in.get(where).content.decode()
    sent: dict[str, Any] = {"blanks": 3, "number": 1, "started_on": "2026-03-01", "note": "n1", "from_rack": "on"}
    refused = signed_in.post(where, sent)
    assert refused.status_code == 422
    assert "The rack gives 2 such blanks, not 3" in refused.content.decode()
    assert 'value="n1"' in refused.content.decode()
    signed_in.post(where, {**sent, "blanks": 2})
    assert Batch.objects.get().blanks == 2
    assert [row for row in rack() if row[1]] == [("14 mm", 1)]
