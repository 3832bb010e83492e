"""The price of a thing for the counter: rules for all inputs, and what is not known staying so."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.parts.pricing import PricedOperation, PricedPart, money, price_of

minutes = st.floats(0, 500)
operations = st.lists(
    st.builds(PricedOperation, st.just("turning"), minutes, minutes, st.floats(0.2, 1)), min_size=1, max_size=5
)
costs = st.decimals(0, 500, places=2)
parts = st.lists(
    st.builds(PricedPart, st.just("knob"), st.integers(1, 9), operations.map(tuple), costs), min_size=1, max_size=4
)
hourlies = st.decimals(0, 200, places=2)


@given(parts, st.integers(1, 60), hourlies)
def test_the_price_covers_work_and_material_and_no_more_than_a_hundredth_besides(all_parts, batch, hourly):
    price = price_of(all_parts, batch, hourly)
    assert price.unknown == ()
    over = price.price - price.labour - price.material
    assert Decimal("-1e-8") < over < Decimal("0.0100001")


@given(parts, st.integers(1, 60), hourlies)
def test_a_larger_batch_never_makes_one_dearer(all_parts, batch, hourly):
    assert price_of(all_parts, batch + 1, hourly).price <= price_of(all_parts, batch, hourly).price


@given(operations, st.integers(1, 30))
def test_a_perfect_yield_costs_the_planned_time(route, batch):
    perfect = tuple(PricedOperation(one.name, one.setup_minutes, one.minutes_per_piece, 1.0) for one in route)
    planned = sum(one.minutes_per_piece + one.setup_minutes / batch for one in perfect) / 60
    assert PricedPart("knob", 1, perfect, Decimal(1)).hours(batch) == pytest.approx(planned)
    assert PricedPart("knob", 1, perfect, Decimal(1)).material == Decimal(1)
    lossy = PricedPart("knob", 1, tuple(route), Decimal(1))
    assert lossy.hours(batch) >= planned - 1e-9


def test_hours_and_material_divide_by_the_yield():
    # Common practice: start quantities divide by (1 − scrap) and never multiply by (1 + scrap).
    route = (PricedOperation("turning", 0, 60, 0.5), PricedOperation("lapping", 0, 30, 0.8))
    part = PricedPart("ring", 2, route, Decimal(3))
    assert part.blanks_per_good == pytest.approx(2.5)
    assert part.hours(1) == pytest.approx(2 * (2.5 * 1 + 1.25 * 0.5))
    assert part.material == Decimal(15)
    # A bought part has no route, and loses nothing.
    assert PricedPart("screw", 2, (), Decimal(3), bought=True).blanks_per_good == 1


@pytest.mark.parametrize(
    ("part", "hourly", "missing"),
    [
        (PricedPart("knob", 1, (PricedOperation("turning", 5, None),), Decimal(1)), Decimal(20), "a time for turning"),
        (PricedPart("knob", 1, (PricedOperation("turning", 5, 8),)), Decimal(20), "what a blank of knob costs"),
        (PricedPart("knob", 1, (), Decimal(1)), Decimal(20), "a route for knob"),
        (PricedPart("knob", 1, (PricedOperation("turning", 5, 8),), Decimal(1)), None, "figure for an hour"),
    ],
)
def test_what_is_not_known_is_named_and_makes_the_price_unknown(part, hourly, missing):
    price = price_of([part, PricedPart("screw", 4, (), Decimal("0.1"), bought=True)], 10, hourly)
    assert price.price is None
    assert missing in price.unknown[0]


def test_nothing_is_a_price_too():
    price = price_of([PricedPart("knob", 1, (PricedOperation("turning", 0, 0),), Decimal(0))], 1, Decimal(0))
    assert (price.hours, price.price, price.unknown) == (0.0, Decimal("0.00"), ())


def test_a_bought_part_costs_its_blank_and_no_hours():
    price = price_of([PricedPart("screw", 4, (), Decimal("0.25"), bought=True)], 3, Decimal(20))
    assert (price.hours, price.price) == (0.0, Decimal("1.00"))


def test_the_working_ends_in_the_price():
    price = price_of(
        [PricedPart("knob", 2, (PricedOperation("turning", 30, 12, 0.8),), Decimal("0.40"))], 10, Decimal(20), "£"
    )
    text = price.working.as_text()
    assert text.splitlines()[-1].endswith("= £11.00 + £1.00 = £12.00")
    assert "1 ÷ (0.8)" in text


@pytest.mark.parametrize(
    "refused",
    [
        lambda: price_of([], 3, None),
        lambda: price_of([PricedPart("knob", 1)], 0, None),
        lambda: price_of([PricedPart("knob", 1)], 1, Decimal(-1)),
        lambda: PricedPart("knob", 0),
        lambda: PricedPart("knob", 1, (), Decimal(-1)),
        lambda: PricedOperation("turning", -1, 3),
        lambda: PricedOperation("turning", 1, 3, 0.0),
        lambda: PricedOperation("turning", 1, 3, 1.2),
    ],
)
def test_what_makes_no_sense_is_refused_with_a_sentence(refused):
    with pytest.raises(ValueError, match=r"[.]$"):
        refused()


def test_signs_stand_before_and_letters_behind():
    assert money(Decimal("12.345"), "€") == "€12.35"
    assert money(Decimal("1200"), "kr") == "1,200.00 kr"
