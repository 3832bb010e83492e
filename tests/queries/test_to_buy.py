"""What a build still takes: blanks for the yield, section by section, and what of it must be bought."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from builds.models import Build, Material, Part
from builds.models.choices import Role
from builds.queries.repeats.blanks import blanks_page, usual_question
from builds.queries.shop.cost import cost_of
from builds.queries.shop.stock import read_shelf
from builds.queries.shop.to_buy import ToBuy, read_to_buy
from builds.queries.shop.to_buy_lines import cut_lines, purchase_lines
from calcs.shop.buying import Cutting
from tests import factories
from tests.factories import TODAY

SURE = [{"kind": "fitting", "minutes_per_unit": 30.0, "slip_costs_time": True}]


@pytest.fixture
def build(db: None) -> Build:
    return factories.make_build(units="in")


@pytest.fixture
def bronze(db: None) -> Material:
    return factories.make_material("Bronze", density=8800.0)


def part(build: Build, number: str, blank: str, quantity: int = 1, **fields: Any) -> Part:
    return factories.make_part(
        build, number, f"Part {number}", operations=SURE, blank=blank, quantity=quantity, **fields
    )


def to_buy(build: Build, **cutting: float) -> ToBuy:
    return read_to_buy(build, TODAY, Cutting(**{"kerf_mm": 3.175, "end_mm": 0.0, "bar_mm": 914.4, **cutting}))


def test_as_many_blanks_are_taken_as_the_page_of_blanks_says(build: Build, bronze: Material) -> None:
    turned = factories.make_part(
        build,
        "7",
        operations=[{"kind": "turning", "minutes_per_unit": 9.0}],
        quantity=12,
        material=bronze,
        blank="1 dia x 1",
    )
    factories.make_entry(build, part=turned, operation=turned.operations.get(), good=5, scrap=3)
    page = blanks_page(turned, usual_question(turned), TODAY)
    [section] = to_buy(build).sections
    assert page.answer.sure is not None
    assert [one.blanks for one in section.wanted] == [page.answer.sure.blanks]
    assert section.wanted[0].blanks > 7


def test_blanks_of_one_section_are_grouped_whichever_way_they_are_written(build: Build, bronze: Material) -> None:
    part(build, "1", "1 dia x 2", 2, material=bronze)
    part(build, "2", "25.4 mm round x 60 mm", material=bronze)
    part(build, "3", "1 dia x 2", material=factories.make_material("Steel"))
    part(build, "4", "1 sq x 2", material=bronze)
    found = [(line.material, line.section, line.number, line.size) for line in purchase_lines(to_buy(build))]
    assert found == [
        ("Bronze", "1 in dia", 1, "36 in"),
        ("Bronze", "1 in sq", 1, "36 in"),
        ("Steel", "1 in dia", 1, "36 in"),
    ]


def test_the_rack_goes_first_and_only_the_rest_is_bought(build: Build, bronze: Material) -> None:
    part(build, "1", "1 dia x 4", 5, material=bronze)
    factories.make_stock(bronze, "1 dia", "9", 1, units="in")
    factories.make_stock(bronze, "1 dia", "4 in", 1, units="in")
    factories.make_offer(bronze, "1 dia", "12 in", "7.50", supplier="Bar & Co", units="in")
    page = to_buy(build)
    [line] = purchase_lines(page)
    assert (line.number, line.size, line.price, line.cost, line.supplier) == (
        1, "12 in", Decimal("7.50"), Decimal("7.50"), "Bar & Co"
    )  # fmt: skip
    [cuts] = cut_lines(page)
    assert cuts.ready == "1 × 4 in (1)"
    assert [(one.number, one.bar, one.bought, one.cuts, one.left) for one in cuts.lines] == [
        (1, "9 in", False, "2 × 4 in (1)", "3/4 in"),
        (1, "12 in", True, "2 × 4 in (1)", "3-3/4 in"),
    ]
    # One inch round of a foot: π/4 × 1² × 12 in³ = 154.4 cm³, at 8.8 g/cm³.
    assert line.grams == pytest.approx(154.44 * 8.8, rel=1e-3)


def test_a_batch_that_was_started_takes_no_blanks_any_more(build: Build, bronze: Material) -> None:
    one = part(build, "1", "1 dia x 4", 5, material=bronze)
    factories.make_batch(one, blanks=3)
    assert [wanted.blanks for wanted in to_buy(build).sections[0].wanted] == [2]
    factories.make_batch(one, blanks=2, number=2)
    assert to_buy(build).sections == ()


def test_what_is_bought_made_finished_or_no_piece_takes_no_material(build: Build, bronze: Material) -> None:
    part(build, "1", "1 dia x 4", material=bronze, finished_on=date(2026, 3, 1))
    part(build, "2", "1 dia x 4", material=bronze, role=Role.BOUGHT)
    part(build, "3", "1 dia x 4", material=bronze, role=Role.ASSEMBLY_WORK)
    part(build, "4", "1 dia x 4", material=bronze, role=Role.JIG)
    page = to_buy(build)
    assert [one.line.part.number for section in page.sections for one in section.wanted] == ["4"]
    assert [one.line.part.number for one in page.by_post] == ["2"]


def test_a_finished_build_takes_nothing(build: Build, bronze: Material) -> None:
    part(build, "1", "1 dia x 4", material=bronze)
    Build.objects.update(state="finished", finished_on=date(2026, 3, 1))
    build.refresh_from_db()
    assert to_buy(build).sections == ()


def test_what_cannot_be_read_and_what_is_not_said_are_named_and_not_dropped(build: Build, bronze: Material) -> None:
    part(build, "1", "casting from the pattern", 2, material=bronze)
    part(build, "2", "")
    page = to_buy(build)
    assert [(one.line.part.number, one.blanks) for one in page.unread] == [("1", 2)]
    assert [(one.line.part.number, one.blanks) for one in page.unsaid] == [("2", 1)]


def test_plate_goes_by_area_and_is_rounded_up(build: Build, bronze: Material) -> None:
    part(build, "1", "4 x 2 x 1/2 plate", 3, material=bronze)
    [line] = purchase_lines(to_buy(build, plate_allowance=0.1))
    assert (line.section, line.number, line.size) == ("1/2 in plate", None, "26.4 in²")
    factories.make_offer(bronze, "1/2 plate", "6 x 4", "11", units="in")
    [line] = purchase_lines(to_buy(build, plate_allowance=0.1))
    assert (line.number, line.size, line.cost) == (2, "6 in × 4 in", Decimal(22))


def test_a_flat_blank_that_does_not_say_comes_out_of_flat_bar_where_the_shop_has_such(
    build: Build, bronze: Material
) -> None:
    part(build, "1", "3 x 1 x 1/4", material=bronze)
    assert to_buy(build).sections[0].section.in_words == "1/4 in plate"
    factories.make_stock(bronze, "1 x 1/4 flat", "12", 0, units="in")
    [section] = to_buy(build).sections
    assert section.section.in_words == "1 in × 1/4 in flat"
    assert section.bars is not None


def test_where_no_length_is_recorded_it_says_what_a_merchant_would_cut(build: Build, bronze: Material) -> None:
    part(build, "1", "1 dia x 4", 2, material=bronze)
    [line] = purchase_lines(to_buy(build, kerf_mm=25.4, end_mm=12.7))
    # Twice four inches and an inch for the saw, and half an inch that the chuck holds.
    assert line.least == "10-1/2 in"
    factories.make_offer(bronze, "1 dia", "12", units="in")
    assert purchase_lines(to_buy(build))[0].least == ""


def test_a_blank_longer_than_all_bars_is_named(build: Build, bronze: Material) -> None:
    part(build, "1", "1 dia x 40", 2, material=bronze)
    page = to_buy(build)
    assert cut_lines(page)[0].too_long == "2 × 40 in (1)"
    assert page.sections[0].cost is None


def test_what_it_costs_is_honest_about_what_has_no_price(build: Build, bronze: Material) -> None:
    started = part(build, "1", "1 dia x 4", 4, material=bronze, blank_cost=Decimal("1.25"))
    factories.make_batch(started, blanks=2)
    begun = part(build, "2", "1 dia x 4", 2, material=bronze)
    factories.make_batch(begun, blanks=1)
    part(build, "3", "2 dia x 4", material=bronze)
    part(build, "4", "", role=Role.BOUGHT, quantity=2, blank_cost=Decimal(3), ordered_on=date(2026, 3, 1))
    part(build, "5", "", role=Role.BOUGHT, blank_cost=Decimal(7))
    part(build, "6", "", role=Role.BOUGHT)
    factories.make_offer(bronze, "1 dia", "36", "36.00", units="in")
    cost = cost_of(to_buy(build), read_shelf())
    # Two blanks at 1.25, and one at its share of the bar: 36 × (4 + 1/8) ÷ 36 = 4.125, rounded up.
    assert (cost.material_so_far.amount, cost.material_so_far.unpriced) == (Decimal("6.63"), 0)
    assert cost.bought_so_far.amount == 6
    # One bar of an inch; that of two inches has no price.
    assert (cost.material_to_come.amount, cost.material_to_come.items, cost.material_to_come.unpriced) == (36, 2, 1)
    assert (cost.bought_to_come.amount, cost.bought_to_come.unpriced) == (7, 1)
    assert (cost.whole.amount, cost.whole.items, cost.whole.unpriced) == (Decimal("55.63"), 7, 2)
    assert (cost.left, cost.over) == (None, None)


def test_a_budget_says_what_it_leaves_or_lacks(build: Build) -> None:
    part(build, "5", "", role=Role.BOUGHT, blank_cost=Decimal(7))
    for budget, left, over in ((10, 3, 0), (5, 0, 2)):
        build.budget = Decimal(budget)
        cost = cost_of(to_buy(build), read_shelf())
        assert (cost.left, cost.over) == (left, over)


def test_hours_are_money_only_where_the_shop_has_a_figure(build: Build) -> None:
    page = to_buy(build)
    assert cost_of(page, read_shelf(), (10.0, 2.5)).hours_done is None
    build.hourly_figure = Decimal(4)
    page = to_buy(build)
    cost = cost_of(page, read_shelf(), (10.0, 2.5))
    assert (cost.hours_done, cost.hours_left, cost.whole.amount) == (40, 10, 0)


def test_it_takes_nine_queries_however_large_the_build(
    build: Build, bronze: Material, django_assert_num_queries: Any
) -> None:
    for number in range(12):
        part(build, str(number), f"{number + 1} dia x 2", material=bronze)
        factories.make_stock(bronze, f"{number + 1} dia", "36", units="in")
        factories.make_offer(bronze, f"{number + 1} dia", "12", "2", units="in")
    with django_assert_num_queries(9):
        page = to_buy(build)
        assert len(cut_lines(page)) == 12
        purchase_lines(page)
    assert len(page.sections) == 12
