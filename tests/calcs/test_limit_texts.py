"""Sizes with their limits, as they are written: what is read, and what is asked about."""

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.shop.limit_texts import as_typed, limits_in_words, read_limits
from calcs.typed.lengths import read_length
from tests.calcs.typed_texts import typed

INCH = Fraction("25.4")


def in_mm(text: str, unit: str = "mm") -> tuple[Fraction | None, ...]:
    reading = read_limits(text, unit)
    return reading.nominal, reading.lower, reading.upper


@pytest.mark.parametrize(
    ("text", "nominal", "lower", "upper"),
    [
        ("12 h6", "12", "11.989", "12"),
        ("12h6", "12", "11.989", "12"),
        ("Ø12 g6", "12", "11.983", "11.994"),
        ("25 H7", "25", "25", "25.021"),
        ("10 H7 bore", "10", "10", "10.015"),
        ("20 ±0.05", "20", "19.95", "20.05"),
        ("20,5 ±0,05", "20.5", "20.45", "20.55"),
        ("20 +/- 0.05 mm", "20", "19.95", "20.05"),
        ("Ø12 -0.01 -0.02", "12", "11.98", "11.99"),
        ("12 -0.02 -0.01", "12", "11.98", "11.99"),
        ("12 +0.02 +0.01", "12", "12.01", "12.02"),
        ("25 +0.021 0", "25", "25", "25.021"),
        ("25 0/-0.021", "25", "24.979", "25"),
        ("25 +0.021/0", "25", "25", "25.021"),
        ("12 -0.1", "12", "11.9", "12"),
        ("12 +0.1", "12", "12", "12.1"),
        ("12.5/12.4", "12.5", "12.4", "12.5"),
        ("12.4/12.5 mm", "12.4", "12.4", "12.5"),
        ("max 12", "12", None, "12"),
        ("at least 3.2 mm", "3.2", "3.2", None),
        ("12 h6 +0 -0.011", "12", "11.989", "12"),
        ("0.5 in ±0.01 mm", "12.7", "12.69", "12.71"),
    ],
)
def test_limits_in_millimetres(text: str, nominal: str, lower: str | None, upper: str | None) -> None:
    assert in_mm(text) == tuple(None if end is None else Fraction(end) for end in (nominal, lower, upper))


@pytest.mark.parametrize(
    ("text", "nominal", "lower", "upper"),
    [
        ("0.500 +0.002 -0", "0.5", "0.5", "0.502"),
        ("1/2 in +.000 -.002", "0.5", "0.498", "0.5"),
        ("1/2 +.000 -.002 in", "0.5", "0.498", "0.5"),
        ("1.000 -.0005", "1", "0.9995", "1"),
        ('1" -.001', "1", "0.999", "1"),
        ("2-1/2 ±1/64", "2.5", "2.484375", "2.515625"),
        ("0.375 ±5 thou", "0.375", "0.370", "0.380"),
        ("0.5 ±2 tenths", "0.5", "0.4998", "0.5002"),
    ],
)
def test_limits_in_inches(text: str, nominal: str, lower: str, upper: str) -> None:
    assert in_mm(text, "in") == tuple(Fraction(end) * INCH for end in (nominal, lower, upper))


def test_a_fraction_of_an_inch_is_no_limit() -> None:
    assert in_mm("2 -1/2", "in") == (Fraction("63.5"), None, None)


def test_a_range_has_limits_and_no_size_of_its_own() -> None:
    assert in_mm("11.9-12.0") == (None, Fraction("11.9"), Fraction(12))


@pytest.mark.parametrize(
    ("text", "unit", "message"),
    [
        ("12 h6", "mm", "12 h6 → 11.989 to 12.000 mm (h6 after ISO 286)"),
        ("0.500 +0.002 -0", "in", "0.500 +0.002 -0 → 0.500 to 0.502 in"),
        ("1/2 in +.000 -.002", "mm", "1/2 in +.000 -.002 → 0.498 to 0.500 in = 12.6492 to 12.7000 mm"),
        ("max 12", "mm", "max 12 → at most 12 mm"),
    ],
)
def test_the_sentence_says_what_was_read(text: str, unit: str, message: str) -> None:
    assert read_limits(text, unit).message == message


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("12 H7/g6", "is a hole and its shaft. Write the one that this size is of: H7 or g6"),
        ("12 +2", "may be a sum"),
        ("12 -2", "may be a sum"),
        ("20 ±5 thou", "“20” may be 20 thou or a figure in the drawing's unit"),
        ("0.5 ±2 tenths", "may be a part of an inch, of a thou or of a millimetre"),
        ("12 ±0", "leaves no room between its limits"),
        ("0.1 ±0.2", "lies below zero"),
        ("300 h6", "h6 at 300 mm is not in the tables"),
        ("12 Js7", "“Js7” is not in the tables"),
        ("12 h6 +0 -0.02", "The figures are not those of h6"),
        ("12 ±1/4", "fractions are mostly inches"),
        ("45°", "not understood as a length"),
        ("12 - 0.1", "falls instead of rising"),
    ],
)
def test_what_may_be_two_things_is_asked_about(text: str, says: str) -> None:
    reading = read_limits(text, "mm")
    assert reading.status == "refused"
    assert says in reading.message
    assert not reading.has_limits


def test_a_size_stays_known_where_its_limits_are_refused() -> None:
    assert in_mm("12 H7/g6") == (Fraction(12), None, None)


@pytest.mark.parametrize("text", ["(12)", "(12 h6)", "12 ref", "ref. 12", "12 basic", "M3", "4BA", "#30", "~12", "45°"])
def test_what_is_told_for_knowledge_or_by_a_name_has_no_limits(text: str) -> None:
    reading = read_limits(text, "mm")
    assert not reading.has_limits
    assert not reading.takes_general


def test_a_plain_size_takes_the_general_tolerance() -> None:
    assert read_limits("12", "mm").takes_general
    assert not read_limits("12 h6", "mm").takes_general
    assert not read_limits("", "mm").takes_general


@given(typed, st.sampled_from(["mm", "in", None]))
def test_no_text_raises_and_limits_are_in_order(text: str, unit: str | None) -> None:
    reading = read_limits(text, unit)
    assert reading.message
    if reading.lower is not None and reading.upper is not None:
        assert 0 <= reading.lower < reading.upper
    assert reading.status != "refused" or not reading.has_limits


@given(typed, st.sampled_from(["mm", "in", None]))
def test_what_reads_as_a_length_is_the_same_size_with_limits(text: str, unit: str | None) -> None:
    length, limits = read_length(text, unit), read_limits(text, unit)
    if length.value is not None:
        assert limits.nominal is not None
        assert float(limits.nominal) == length.value.magnitude


FIGURE = r"\d+(?:\.\d+)?"
STRICT = (
    (re.compile(rf"({FIGURE}) ±({FIGURE})"), lambda size, off: (size, size - off, size + off)),
    (re.compile(rf"({FIGURE}) \+({FIGURE}) -({FIGURE})"), lambda size, up, down: (size, size - down, size + up)),
    (
        re.compile(rf"({FIGURE}) \+({FIGURE}) \+({FIGURE})"),
        lambda size, one, two: (size, size + min(one, two), size + max(one, two)),
    ),
    (
        re.compile(rf"({FIGURE}) -({FIGURE}) -({FIGURE})"),
        lambda size, one, two: (size, size - max(one, two), size - min(one, two)),
    ),
    (re.compile(rf"({FIGURE}) 0/-({FIGURE})"), lambda size, down: (size, size - down, size)),
)


def strictly(text: str) -> tuple[Fraction, Fraction, Fraction]:
    """A second reading, of the plainest notations alone."""
    for pattern, ends in STRICT:
        if found := pattern.fullmatch(text):
            return ends(*map(Fraction, found.groups()))
    raise AssertionError(text)


sizes = st.integers(1, 9_999_999).map(lambda n: f"{n / 10_000:.4f}".rstrip("0").rstrip("."))
widths = st.integers(1, 99_999).map(lambda n: f"{n / 100_000:.5f}".rstrip("0").rstrip("."))
notations = st.one_of(
    st.builds("{} ±{}".format, sizes, widths),
    st.builds("{} +{} -{}".format, sizes, widths, widths),
    st.builds("{} +{} +{}".format, sizes, widths, widths),
    st.builds("{} -{} -{}".format, sizes, widths, widths),
    st.builds("{} 0/-{}".format, sizes, widths),
)


@given(notations, st.sampled_from(["mm", "in"]), st.booleans())
def test_plain_notations_are_read_as_a_second_reading_has_them(text: str, unit: str, unit_is_typed: bool) -> None:
    scale = INCH if unit == "in" else 1
    nominal, lower, upper = (end * scale for end in strictly(text))
    reading = read_limits(f"{text} {unit}" if unit_is_typed else text, "mm" if unit_is_typed else unit)
    if lower < 0 or lower == upper:
        assert reading.status == "refused"
    else:
        assert (reading.nominal, reading.lower, reading.upper) == (nominal, lower, upper)


@given(sizes, widths, widths, st.sampled_from(["mm", "in"]))
def test_limits_as_one_would_type_them_are_read_back(size: str, up: str, down: str, unit: str) -> None:
    places, scale = (5, INCH) if unit == "in" else (4, Fraction(1))
    ends = [
        round(end, places) for end in (Fraction(size), Fraction(size) - Fraction(down), Fraction(size) + Fraction(up))
    ]
    nominal, lower, upper = (end * scale for end in ends)
    if 0 <= lower < upper:
        assert in_mm(as_typed(nominal, lower, upper, unit), "mm") == (nominal, lower, upper)


@given(
    st.fractions(0, 10_000, max_denominator=10**7),
    st.fractions(0, 10, max_denominator=10**7),
    st.sampled_from(["mm", "in"]),
)
def test_shown_limits_lie_within_the_true_ones_and_close_to_them(lower: Fraction, room: Fraction, unit: str) -> None:
    upper, scale, finest = lower + room, INCH if unit == "in" else 1, Fraction(1, 10**5 if unit == "in" else 10**4)
    low, high = map(
        Fraction, limits_in_words(lower * scale, upper * scale, unit).removesuffix(f" {unit}").split(" to ")
    )
    lost = max(room / 100, finest)
    assert lower <= low <= lower + lost
    assert upper - lost <= high <= upper


def test_limits_in_the_other_unit_have_the_decimals_that_their_room_needs() -> None:
    assert limits_in_words(Fraction("75.9"), Fraction("76.5"), "in") == "2.9882 to 3.0118 in"
    assert limits_in_words(Fraction("11.989"), Fraction(12), "in") == "0.47201 to 0.47244 in"


@given(notations, st.sampled_from(["mm", "in"]))
def test_a_figure_on_a_limit_is_read_as_the_same_float(text: str, unit: str) -> None:
    reading = read_limits(text, unit)
    for end, plain in zip((reading.lower, reading.upper), strictly(text)[1:], strict=True):
        if end is not None:
            assert read_length(f"{float(plain):.6f}", unit).value.magnitude == float(end)


def test_both_limits_are_shown_with_the_same_decimals() -> None:
    assert limits_in_words(Fraction("11.9"), Fraction(12), "mm") == "11.9 to 12.0 mm"
    assert limits_in_words(Fraction("11.9"), None, "mm") == "at least 11.9 mm"
    assert limits_in_words(None, None, "mm") == ""
