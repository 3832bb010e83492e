"""Lengths as typed: what holds for every text, and what is said back."""

import subprocess
import sys

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from calcs.typed.lengths import read_length
from calcs.typed.lengths_sizes import BA_DIAMETERS, LETTER_DRILLS, NUMBER_DRILLS, WIRE_GAUGE
from calcs.units.registry import format_length, millimetres, registry
from tests.calcs.typed_texts import assert_whole, nearly_sense, typed

defaults = st.sampled_from(["mm", "in", None])
sizes = st.floats(min_value=1e-6, max_value=50_000) | st.just(0.0)


@pytest.fixture(autouse=True, scope="module")
def _loaded_registry():
    """Pint loads once here, so that no example of a property pays for it."""
    registry()


def _mm(quantity):
    return quantity.to("mm").magnitude


@settings(deadline=None)  # a busy machine is no failure
@given(text=typed, default=defaults)
@example(text="3/0", default="in")
@example(text="1-1/2-1/0", default="mm")
@example(text="\u0663 mm", default=None)
@example(text="~" * 200, default="mm")
@example(text="9" * 200, default="mm")
@example(text="9" * 5000, default="mm")
def test_no_text_upsets_the_reader(text, default):
    assert_whole(read_length(text, default), text, _mm)


@settings(deadline=None)  # a busy machine is no failure
@given(text=nearly_sense)
def test_a_text_read_without_a_default_reads_the_same_with_any(text):
    reading = read_length(text, None)
    if reading.status in ("ok", "rough"):
        for default in ("mm", "in"):
            assert _mm(read_length(text, default).value) == _mm(reading.value)


@settings(deadline=None)  # a busy machine is no failure
@given(size=sizes, unit=st.sampled_from(["mm", "in"]), default=defaults)
@example(size=0.1, unit="in", default=None)
@example(size=9.525, unit="in", default=None)
@example(size=28400.53992421978, unit="in", default="mm")  # its decimal lies between two floats, by a hair
def test_a_shown_length_reads_back_as_the_very_same(size, unit, default):
    shown = format_length(millimetres(size), unit)
    assert _mm(read_length(shown, default).value) == size


@settings(deadline=None)  # a busy machine is no failure
@given(top=st.integers(1, 63), bottom=st.sampled_from([2, 4, 8, 16, 32, 64]), whole=st.integers(1, 24))
def test_every_way_of_joining_whole_and_fraction_is_the_same_size(top, bottom, whole):
    top %= bottom
    expected = pytest.approx((whole + top / bottom) * 25.4, rel=1e-14)
    for joint in (" ", "-", ".", " - "):
        reading = read_length(f'{whole}{joint}{top}/{bottom}"', None)
        assert reading.status == "ok"
        assert _mm(reading.value) == expected


@settings(deadline=None)  # a busy machine is no failure
@given(figure=st.decimals(min_value=0, max_value=1900, places=3))
def test_a_bare_decimal_follows_the_default_and_is_refused_without_one(figure):
    assert _mm(read_length(str(figure), "mm").value) == float(figure)
    assert _mm(read_length(str(figure), "in").value) == pytest.approx(float(figure) * 25.4, rel=1e-14)
    without = read_length(str(figure), None)
    assert (without.status, without.value) == ("refused", None)
    assert "has no unit" in without.message


def test_a_bare_fraction_is_never_millimetres():
    reading = read_length("3/8", "mm")
    assert reading.status == "refused"
    assert reading.message == "“3/8” has no unit, and fractions are mostly inches. Write 3/8 in, or 0.375 mm."


@pytest.mark.parametrize(
    ("text", "default", "said"),
    [
        ('2-1/2"', None, '2-1/2" → 2.5 in = 63.5 mm'),
        ("12,7 mm", None, "12,7 mm → 12.7 mm = 0.5 in"),
        ("~12mm", None, "~12mm → about 12 mm = about 0.4724 in"),
        ("12 +/- 0.1 mm", None, "12 +/- 0.1 mm → 12 mm = about 0.4724 in (the tolerance is left aside)"),
        ("12 +/- 0.1 mm", "in", "12 +/- 0.1 mm → 12 mm = about 0.4724 in (the tolerance is left aside)"),
        (".020", "in", ".020 → 0.02 in = 0.508 mm (a figure without a unit is taken in inches here)"),
        ("#30", "mm", "#30 → 0.1285 in = 3.2639 mm (number drill 30)"),
        (
            "3/16 x 40 ME",
            "mm",
            "“3/16 x 40 ME” is a thread, not a length. Write the diameter with its unit, like 3/16 in.",
        ),
        ("5 mil", "mm", "“5 mil” may be thousandths of an inch or mm. Write 5 thou or 5 mm."),
    ],
)
def test_the_reading_is_said_back(text, default, said):
    assert read_length(text, default).message == said


def test_blank_is_unknown_and_zero_is_a_size():
    assert read_length(None, "mm").status == "unknown"
    assert read_length(" \n", "mm").status == "unknown"
    zero = read_length("0", "mm")
    assert (zero.status, _mm(zero.value), zero.has_value) == ("ok", 0, True)


def test_more_than_two_hundred_characters_are_refused():
    assert "longer than 200" in read_length("1" + " " * 200 + "mm", "mm").message


def test_an_absurd_size_is_refused_and_the_largest_is_not():
    assert read_length("50 m", None).status == "ok"
    assert read_length("50.001 m", None).status == "refused"


def test_another_default_unit_is_a_mistake_of_the_caller():
    with pytest.raises(ValueError, match="default unit"):
        read_length("1", "furlong")


@pytest.mark.parametrize("size", [-1.0, float("inf"), float("nan")])
def test_a_length_that_is_none_cannot_be_shown(size):
    with pytest.raises(ValueError, match="zero or more"):
        format_length(millimetres(size), "mm")


def test_a_typed_inch_size_comes_back_without_a_tail():
    assert format_length(read_length("3/8 in", None).value, "in") == "0.375 in"
    assert format_length(registry().Quantity(2, "inch"), "in") == "2 in"


def test_reading_refusals_does_not_load_pint():
    program = "from calcs.typed.lengths import read_length; read_length('3/8', None)"
    program = f"import sys; {program}; print('pint' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def test_every_named_size_is_there_and_the_series_run_one_way():
    # No table to hand covers every row; a slip of a digit would mostly break the order.
    for table, first, last, rising in (
        (NUMBER_DRILLS, 1, 80, False),
        (LETTER_DRILLS, "a", "z", True),
        (BA_DIAMETERS, 0, 12, False),
        (WIRE_GAUGE, 0, 30, False),
    ):
        names, mm = list(table), list(table.values())
        assert (names[0], names[-1]) == (first, last)
        assert len(mm) == (26 if first == "a" else last - first + 1)
        assert len(set(mm)) == len(mm)
        assert mm == sorted(mm, reverse=not rising)
