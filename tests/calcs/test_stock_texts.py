"""Stock as it is written on the rack and in a part's blank: what is the same, and how much of it there is."""

import pytest

from calcs.shop.stock_texts import blank_of_text, section_of_text, stock_of_texts
from calcs.typed.lengths import read_length
from calcs.units.registry import format_in_fractions, format_length, millimetres


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("1-1/4 dia", "31.75 mm round"),
        ("1/2 sq", "12.7 mm square"),
        ("8 mm A/F hex", "8 mm hex bar"),
        ("1 x 1/4 flat", "1/4 x 1"),
        ("1/2 plate", "12.7 mm sheet"),
        ("3/16 tube x 22 swg", "3/16 od tube x .028"),
    ],
)
def test_what_is_the_same_stock_has_the_same_key_however_it_is_written(one: str, other: str) -> None:
    assert section_of_text(one, "in").key == section_of_text(other, "in").key


@pytest.mark.parametrize("other", ["1-1/4 sq", "1-1/4 A/F hex", "1-1/4 plate", "1.251 dia"])
def test_another_section_has_another_key(other: str) -> None:
    assert section_of_text("1-1/4 dia", "in").key != section_of_text(other, "in").key


@pytest.mark.parametrize(
    ("length", "unit", "words"),
    [
        ("36", "in", "36 in"),
        ("36", "mm", "36 mm"),
        ("1 m", "in", "1000 mm"),
        ("2 ft", "mm", "24 in"),
        ("1/64 in", "mm", "1/64 in"),
    ],
)
def test_lengths_are_shown_in_the_unit_typed_with_all_their_digits(length: str, unit: str, words: str) -> None:
    assert stock_of_texts("20 mm dia", length, unit).size_in_words == words  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("section", "unit", "words"),
    [
        ("7/16 A/F hex", "in", "7/16 in A/F hex"),
        ("1.25 dia", "in", "1-1/4 in dia"),
        ("2 x 33/64 flat", "in", "2 in × 33/64 in flat"),
        ("0.4 dia", "in", "0.4 in dia"),
        ("31.75 mm dia", "in", "31.75 mm dia"),
        ("12.7 dia", "mm", "12.7 mm dia"),
    ],
)
def test_a_usual_fraction_of_an_inch_is_shown_as_one(section: str, unit: str, words: str) -> None:
    assert section_of_text(section, unit).in_words == words  # type: ignore[arg-type]


def test_every_fraction_shown_reads_back_as_the_very_same() -> None:
    for count in range(1, 64 * 6 + 1):
        size = count * 0.396875
        shown = format_in_fractions(millimetres(round(size, 6)), "in")
        assert "." not in shown
        assert float(read_length(shown, None).value.to("millimeter").magnitude) == round(size, 6)
    # What lies a hair beside a fraction is no fraction.
    assert format_in_fractions(millimetres(9.525001), "in") == format_length(millimetres(9.525001), "in")


def test_a_plate_has_two_sides_and_a_volume() -> None:
    plate = stock_of_texts("1/2 plate", "8 x 12", "in")
    assert plate.size_in_words == "12 in × 8 in"
    assert plate.volume_mm3 == pytest.approx(48 * 25.4**3)


def test_a_bar_has_the_volume_of_its_section() -> None:
    assert stock_of_texts("1 sq", "12", "in").volume_mm3 == pytest.approx(12 * 25.4**3)
    # A tube of 20 outside with a wall of 2 is π/4 × (20² − 16²) = 113.1 mm².
    assert stock_of_texts("20 tube x 2", "100", "mm").volume_mm3 == pytest.approx(11_310, rel=1e-4)


def test_a_flat_blank_may_say_that_it_is_plate_or_bar() -> None:
    said = {text: blank_of_text(text, "in") for text in ("3 x 1 x 1/4", "3 x 1 x 1/4 plate", "3 x 1 x 1/4 flat")}
    assert [(one.section.shape, one.either) for one in said.values() if one] == [
        ("flat", True), ("plate", False), ("flat", False)
    ]  # fmt: skip


@pytest.mark.parametrize("text", ["1/2 sq x 0.020 hard sheet", "1/2 dia x 0.020 sheet"])
def test_a_disc_or_a_square_of_sheet_is_cut_from_sheet_and_not_off_a_bar(text: str) -> None:
    blank = blank_of_text(text, "in")
    assert blank is not None
    assert (blank.section.in_words, blank.size_in_words) == ("0.02 in plate", "1/2 in × 1/2 in")
    assert stock_of_texts("0.020 sheet", "3 x 2", "in").gives(blank, 3.0)
