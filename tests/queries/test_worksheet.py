"""Sums for beginners come from the part's own numbers, or not at all."""

import random
import re
from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from django.test import Client
from pytest_django.fixtures import DjangoAssertNumQueries

from builds.arithmetic.speeds_form import SpeedsForm
from builds.models import Build, Operation, Part, Size
from builds.queries.plan.work_out import begin_with
from builds.queries.plan.worksheet import (
    LEVELS,
    areas,
    decimals,
    formulae,
    scale,
    solids,
    sums_sheet,
    whole_metal,
    whole_numbers,
)
from builds.queries.plan.worksheet.facts import Facts
from builds.queries.plan.worksheet.lines import Answer, Sum
from builds.queries.snapshot import read_parts
from builds.services.plan import records as plan
from calcs.shop.blank_sizes import read_blank
from calcs.shop.scaling import to_model
from calcs.shop.stock import cut_away, mass
from calcs.units.registry import millimetres, registry
from tests import factories
from tests.factories import TODAY


def facts(part: Part, level: int) -> Facts:
    return Facts(read_parts(part.build, TODAY, [part.pk]).by_part[part.pk], level)


def results(made: Sum | None) -> list[float | str]:
    assert made is not None
    return [line.step.result for line in made.lines]


def last(made: Sum | None) -> float:
    return float(results(made)[-1])


def add_size(part: Part, name: str, full_size: str) -> None:
    plan.save(record=Size(part=part, name=name, full_size=full_size), by=None)


def test_a_part_that_says_nothing_gives_no_sum(db: None) -> None:
    part = factories.make_part(factories.make_build(), operations=[{"kind": "making"}])
    assert [sums_sheet(part, TODAY, level).sums for level in LEVELS] == [(), (), ()]


def test_the_time_of_all_pieces_in_hours_and_minutes(db: None) -> None:
    operations = [{"kind": "turning", "setup_minutes": 40.0, "minutes_per_unit": 7.5}]
    part = factories.make_part(factories.make_build(), quantity=6, spares=2, operations=operations)
    found = whole_metal.time_for_all(facts(part, 1))
    assert found is not None
    assert [line.step.as_text() for line in found.lines] == [
        "pieces = 8 × (7 + 1/2) = 60 min",
        "together = 40 + 60 = 100 min",
        "hours = 100 ÷ 60, rounded down = 1 h",
        "in hours = 1 × 60 = 60 min",
        "rest = 100 − 60 = 40 min",
        "time = 60 min + 40 min = 1 h 40 min",
    ]
    assert found.answer == "1 h 40 min"


@pytest.mark.parametrize(("level", "answer"), [(1, "8 1/3 mm"), (2, "8.333 mm"), (3, "8.333 mm, 144 times")])
def test_a_part_with_full_sizes_has_them_scaled_on_every_sheet(db: None, level: int, answer: str) -> None:
    part = factories.make_part(factories.make_build(scale="1:12", units="mm"))
    add_size(part, "Bore", "100")
    first = sums_sheet(part, TODAY, level).sums[0]
    assert (first.title, first.answer) == ("Full size and model", answer)
    assert "the “Bore” is 100 mm" in first.question
    assert float(to_model(millimetres(100), Fraction(1, 12)).value.magnitude) == pytest.approx(8.33, abs=0.005)


def test_a_fraction_at_full_size_stays_a_fraction_on_the_first_sheet(db: None) -> None:
    part = factories.make_part(factories.make_build(scale="1:8", units="in"))
    add_size(part, "Length", "4-1/2")
    first = sums_sheet(part, TODAY, 1).sums[0]
    assert [line.step.as_text() for line in first.lines] == [
        "size = 4 + 1/2 = 9/2 in",
        "model = full size ÷ scale = 9/2 ÷ 8 = 9/16 in",
    ]


def test_a_jig_and_an_unscaled_build_have_no_full_size(db: None) -> None:
    jig = factories.make_part(factories.make_build(scale="1:8"), role="jig", blank="20 dia x 60")
    real = factories.make_part(factories.make_build("Lathe stand", scale="1:1"), blank="20 dia x 60")
    unknown = factories.make_part(factories.make_build("Vice"), blank="20 dia x 60")
    for part in (jig, real, unknown):
        assert [scale.full_size(facts(part, level), beside_others=True) for level in LEVELS] == [None] * 3


def test_a_mass_goes_with_the_third_power_of_the_scale(db: None) -> None:
    # 20 g at 1:10 stand for 20 kg: 10 × 10 × 10 = 1000 times.
    part = factories.make_part(factories.make_build(scale="1:10", units="mm"), blank="", finished_mass_grams=20.0)
    made = scale.full_size(facts(part, 3), beside_others=True)
    assert made is not None
    assert made.answer == "20 kg"


def steel_part(units: str, blank: str, **fields: Any) -> Part:
    steel = factories.make_material("Mild steel", density=7850.0, cutting_speed=28.0)
    return factories.make_part(factories.make_build(units=units), material=steel, blank=blank, **fields)


@pytest.mark.parametrize(
    ("units", "blank"),
    [
        ("mm", "20 dia x 60"), ("mm", "12.5 sq x 40"), ("mm", "17 A/F hex x 30"), ("mm", "40 x 12 x 100"),
        ("mm", "1-1/4 in dia x 2 in"), ("in", "1-1/4 dia x 2"), ("in", "7-1/4 x 4-1/4 x 1/2 plate"),
        ("in", "8 mm dia x 40"), ("in", "1/2 sq x 0.020"), ("in", "5 mm A/F hex x 190"),
    ],
)  # fmt: skip
def test_the_mass_of_a_blank_is_that_of_shop_arithmetic(db: None, units: str, blank: str) -> None:
    part = steel_part(units, blank)
    size = read_blank(blank, part.build.length_unit)
    weight = mass(size.section, size.length, registry().Quantity(7850, "kg/m³")).value
    made = areas.mass(facts(part, 2))
    assert last(made) == pytest.approx(float(weight.to("lb" if units == "in" else "g").magnitude), rel=1e-4)


def test_what_share_of_the_blank_becomes_chips_is_that_of_shop_arithmetic(db: None) -> None:
    # A 1 × 1 × 2 in steel blank is 32.77 cm³, 257.3 g at 7850 kg/m³; 100 g are left of it: 61.1 % are chips.
    part = steel_part("in", "1 x 1 x 2", finished_mass_grams=100.0)
    quantity = registry().Quantity
    size, dense = read_blank("1 x 1 x 2", "in"), quantity(7850, "kg/m³")
    share = cut_away(size.volume().value, quantity(100, "gram") / dense, dense).percent
    assert last(solids.becomes_chips(facts(part, 3))) == pytest.approx(share, abs=0.02)
    assert share == pytest.approx(61.13, abs=0.02)


def test_a_bar_for_several_pieces_is_no_blank_of_one(db: None) -> None:
    part = steel_part("mm", "8 dia x 500", finished_mass_grams=2.0, quantity=12)
    assert solids.becomes_chips(facts(part, 3)) is None


def test_how_many_to_start_for_enough_divides_by_the_yield(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, quantity=6, spares=2)
    operation = part.operations.get()
    factories.make_entry(build, date(2026, 3, 2), 60, part=part, operation=operation, good=15, scrap=6)
    assert results(formulae.how_many_to_start(facts(part, 3))) == [pytest.approx(15 / 21), pytest.approx(11.2), 12]
    assert results(whole_metal.good_ones(facts(part, 1))) == [21, "5/7"]
    assert last(decimals.good_in_a_hundred(facts(part, 2))) == pytest.approx(71.43, abs=0.01)


def test_one_piece_and_one_spare_are_said_as_one(db: None) -> None:
    part = factories.make_part(factories.make_build(), quantity=1, spares=1)
    made = whole_numbers.pieces_to_make(facts(part, 1))
    assert made is not None
    assert made.question == "We need 1 piece. We want 1 spare too. How many is that in all?"
    assert made.answer == "2 pieces"


def test_what_the_pieces_cost_is_money_of_the_build(db: None) -> None:
    build = factories.make_build(currency="€")
    part = factories.make_part(build, quantity=4, blank_cost="2.35")
    made = decimals.what_it_costs(facts(part, 2))
    assert made is not None
    assert made.lines[-1].step.as_text() == "cost = 4 × €2.35 = €9.40"


def test_a_figure_is_printed_in_the_digits_that_the_lines_below_take() -> None:
    answer = Answer()
    third = answer.line("We divide.", "a", "", "1 ÷ 3", 1 / 3)
    answer.line("We multiply.", "b", "", f"{third} × 30001", 30001 / 3)
    first, second = (line.step for line in answer.lines())
    assert second.numbers == f"{first.answer} × 30001"
    assert len(first.answer) > len("0.333")


@pytest.mark.parametrize(("across", "set_to"), [(32, 200), (33, 130)])
def test_the_spindle_is_set_as_shop_arithmetic_sets_it(db: None, across: int, set_to: int) -> None:
    # 1000 × 20 ÷ (π × 32) = 198.9 rev/min, 0.5 % below the step of 200; for 33 mm it is 192.9, 3.7 % below.
    part = turned_part(factories.make_build(units="mm"), "1", 20.0, f"{across} dia x 60", speeds=[60, 130, 200, 300])
    assert on_the_sheet(part) == in_shop_arithmetic(part.operations.get()) == set_to


def in_shop_arithmetic(operation: Operation) -> float:
    """The spindle speed that the sheet of speeds and times gives for the operation as its form begins, in rev/min."""
    inputs = begin_with(operation, ()) | {"length": "30 mm", "feed": "0.1 mm", "blade": "2 mm", "total_depth": ""}
    form = SpeedsForm(inputs)
    assert form.is_valid(), form.errors
    answer = form.kind.work_out(form)
    [speed] = [fact.value for fact in answer.facts if fact.label == "Spindle speed"]
    return float(speed.split()[0].replace(",", ""))


def on_the_sheet(part: Part) -> float:
    return last(formulae.spindle_speed(facts(part, 3)))


def turned_part(build: Build, number: str, speed: float, blank: str, kind: str = "turning", **has: Any) -> Part:
    machine = factories.make_machine(f"Lathe {number}", **has)
    material = factories.make_material(f"Metal {number}", cutting_speed=speed)
    operations = [{"kind": kind, "machine": machine, "minutes_per_unit": 20.0}]
    return factories.make_part(build, number=number, material=material, blank=blank, operations=operations)


def test_any_shop_gives_the_same_speed_on_a_parts_sheet_and_in_shop_arithmetic(db: None) -> None:
    chance, build = random.Random(11), factories.make_build(units="in")
    parts = []
    for number in range(40):
        steps = sorted({round(60 * 1.3 ** chance.uniform(0, 14)) for _ in range(chance.randrange(7))})
        low = float(chance.randrange(40, 200))
        has = {"speeds": steps} if steps else {"speed_low": low, "speed_high": 12 * low}
        kind, blank = chance.choice(("turning", "facing", "parting")), f"{chance.randrange(4, 90) / 16} dia x 2"
        parts.append(turned_part(build, str(number), round(chance.uniform(8, 90), 1), blank, kind, **has))
    for part in parts:
        shown = in_shop_arithmetic(part.operations.get())
        assert on_the_sheet(part) == pytest.approx(shown, rel=6e-3), part.number


def test_a_sheet_reads_its_part_and_not_the_build(db: None, django_assert_num_queries: DjangoAssertNumQueries) -> None:
    build = factories.make_build(scale="1:8", units="in")
    parts = [turned_part(build, str(number), 20.0, "1 dia x 2", speeds=[60, 130]) for number in range(5)]
    part = Part.objects.select_related("build").get(pk=parts[0].pk)
    with django_assert_num_queries(5):
        sums_sheet(part, TODAY, 3)


def words_of(client: Client, part: Part, asked: str = "") -> str:
    html = client.get(f"/builds/{part.build.slug}/parts/{part.pk}/worksheet/{asked}").content.decode()
    return html.partition("<main")[2]


def test_the_sheet_prints_answers_and_shows_them_only_when_asked(signed_in: Client, db: None) -> None:
    part = factories.make_part(factories.make_build(), quantity=3)
    assert 'new-page on-paper-only" id="answers"' in words_of(signed_in, part)
    assert 'new-page" id="answers"' in words_of(signed_in, part, "?answers=yes")


def test_three_sums_stand_on_a_page_with_a_line_for_the_name_on_each(signed_in: Client) -> None:
    route = [{"kind": kind, "minutes_per_unit": 20.0, "setup_minutes": 5.0} for kind in ("turning", "facing")]
    part = factories.make_part(
        factories.make_build(scale="1:8", units="mm"), blank="20 x 30 x 60", quantity=3, spares=1, operations=route
    )
    pages = re.split('class="worksheet__page', words_of(signed_in, part).partition('id="answers"')[0])[1:]
    assert [page.count('class="worksheet__one') for page in pages] == [3, 3]
    assert [page.count("Name:") for page in pages] == [1, 1]


def test_a_level_is_asked_for_by_its_number_and_any_other_is_the_first(signed_in: Client) -> None:
    part = factories.make_part(factories.make_build(units="mm"), blank="20 dia x 60", quantity=3)
    shown = {asked: words_of(signed_in, part, asked) for asked in ("", "?level=2", "?level=3", "?level=nonsense")}
    first, second, third, nonsense = ("Whole numbers", "Decimals", "Formulae", "Whole numbers")
    for (asked, page), words in zip(shown.items(), (first, second, third, nonsense), strict=True):
        current = re.findall(r'aria-current="page"\s*>([^<]*)<', page)
        assert len(current) == 1, asked
        assert words in current[0]


@pytest.mark.parametrize("name", ["Allen key", "M6 stud", "Zapfen"])
def test_names_stay_as_they_were_written(signed_in: Client, name: str) -> None:
    operations = [{"kind": "turning", "title": "Zapfen drehen", "minutes_per_unit": 20.0, "setup_minutes": 5.0}]
    build = factories.make_build("Dampfmaschine")
    page = words_of(signed_in, factories.make_part(build, "14", name, operations=operations))
    assert f"Sums from 14 {name}" in page
    assert "“Zapfen drehen”" in page
    assert "log of Dampfmaschine." in page
    assert name.lower() not in page
