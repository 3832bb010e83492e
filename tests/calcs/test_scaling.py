"""Scales as typed, and what they do to lengths, areas, volumes and masses."""

from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from calcs.shop.scaling import to_full_size, to_model
from calcs.typed.scales import format_scale, read_scale
from calcs.units.registry import registry
from tests.calcs.typed_texts import assert_whole, typed

ratios = st.fractions(min_value=Fraction(1, 200), max_value=4, max_denominator=200).filter(lambda ratio: ratio > 0)


@settings(deadline=None)  # a busy machine is no failure
@given(text=typed)
@example(text="1:0")
@example(text="0/6")
@example(text="0 in = 0 in")
@example(text="1" * 199 + ":1")
def test_no_text_upsets_the_reader(text):
    reading = read_scale(text)
    assert_whole(reading, text, float)
    assert reading.value is None or (isinstance(reading.value, Fraction) and reading.value > 0)


@settings(deadline=None)  # a busy machine is no failure
@given(model=st.integers(1, 9), full=st.integers(1, 900))
def test_a_ratio_is_exact_however_it_is_written(model, full):
    for text in (f"{model}:{full}", f"{model}/{full}", f"{model} : {full} scale", f"{model} in = {full} in"):
        expected = Fraction(model, full)
        if "=" in text:
            expected = min(expected, 1 / expected)
        assert read_scale(text).value == expected


@pytest.mark.parametrize(
    ("text", "ratio"),
    [
        ("1:6", Fraction(1, 6)),
        ("1/4", Fraction(1, 4)),
        ("quarter scale", Fraction(1, 4)),
        ("half full size", Fraction(1, 2)),
        ("full size", Fraction(1)),
        ("1½ in scale", Fraction(1, 8)),
        ("1.5 in to the foot", Fraction(1, 8)),
        ("1' = 1 1/2\"", Fraction(1, 8)),
        ("2:1", Fraction(2)),
        ("25%", Fraction(1, 4)),
    ],
)
def test_usual_ways_of_saying_a_scale_are_read(text, ratio):
    reading = read_scale(text)
    assert (reading.status, reading.value) == ("ok", ratio)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("0:6", "more than zero"),
        ("1:0", "divided by zero"),
        ("-1:6", "negative"),
        ("HO", "more than one ratio"),
        ("5 in gauge", "more than one ratio"),
        ("6", "1:6 or 6 in to the foot"),
        ("1:20000", "between 1:10,000"),
        ("small", "not understood"),
    ],
)
def test_what_is_no_scale_is_refused_with_what_would_be(text, says):
    reading = read_scale(text)
    assert (reading.status, reading.value) == ("refused", None)
    assert says in reading.message
    assert "Write a scale like 1:6" in reading.message


def test_blank_is_unknown():
    assert read_scale(None).status == "unknown"


@settings(deadline=None)  # a busy machine is no failure
@given(n=st.integers(1, 900))
def test_a_shown_scale_reads_back(n):
    assert read_scale(format_scale(Fraction(1, n))).value == Fraction(1, n)


@settings(deadline=None)  # a busy machine is no failure
@given(ratio=ratios, size=st.floats(0.01, 1e4))
def test_area_and_volume_follow_the_length_squared_and_cubed(ratio, size):
    edge = registry().Quantity(size, "mm")
    small = to_model(edge, ratio).value
    assert small.magnitude == pytest.approx(size * float(ratio), rel=1e-12)
    assert to_model(edge**2, ratio).value.magnitude == pytest.approx((small**2).magnitude, rel=1e-12)
    assert to_model(edge**3, ratio).value.magnitude == pytest.approx((small**3).magnitude, rel=1e-12)


@pytest.mark.parametrize("ratio", [0, -1, Fraction(-1, 6), float("nan"), float("inf")])
@pytest.mark.parametrize("change", [to_model, to_full_size])
def test_a_ratio_of_zero_or_less_is_refused(change, ratio):
    with pytest.raises(ValueError, match="more than zero"):
        change(registry().Quantity(1, "mm"), ratio)


@pytest.mark.parametrize("unit", ["m/min", "W", "kg/m**3"])
def test_a_quantity_of_another_kind_is_refused(unit):
    with pytest.raises(ValueError, match="something else"):
        to_model(registry().Quantity(1, unit), Fraction(1, 6))
