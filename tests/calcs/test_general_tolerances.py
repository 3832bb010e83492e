"""What sizes keep that have no limits of their own, as it is typed for a build."""

from fractions import Fraction

import pytest
from hypothesis import given

from calcs.shop.general_tolerances import read_general_tolerance
from tests.calcs.typed_texts import typed


@pytest.mark.parametrize(
    ("text", "grade"),
    [
        ("ISO 2768-m", "m"),
        ("iso 2768 m", "m"),
        ("ISO2768c", "c"),
        ("DIN ISO 2768-f", "f"),
        ("ISO 2768-1 v", "v"),
        ("ISO 2768-1:1989-m", "m"),
        ("2768-m", "m"),
        ("ISO 2768-mK", "m"),
        ("medium", "m"),
        ("ISO 2768 very coarse", "v"),
    ],
)
def test_a_class_is_known_by_its_letter_or_its_word(text: str, grade: str) -> None:
    tolerance = read_general_tolerance(text, "mm")
    assert (tolerance.grade, tolerance.name) == (grade, f"ISO 2768-{grade}")


def test_the_sentence_says_what_sizes_keep_and_where_it_stands() -> None:
    assert read_general_tolerance("ISO 2768-mK", "mm").message == (
        "ISO 2768-mK → class m (medium): ±0.1 mm at 0.5 to 6 mm, ±0.2 mm at 6 to 30 mm, ±0.3 mm at 30 to 120 mm, "
        "±0.5 mm at 120 to 400 mm … (ISO 2768-1 table 1 (from memory); K is for shape and position and is left aside)"
    )


@pytest.mark.parametrize(
    ("text", "unit", "width"),
    [
        ("±0.1", "mm", "0.1"),
        ("±.005", "in", "0.127"),
        ("±.005 in", "mm", "0.127"),
        ("+/- 5 thou", "mm", "0.127"),
        ("plus or minus 0.1 mm", "in", "0.1"),
    ],
)
def test_so_much_either_way_holds_for_every_size(text: str, unit: str, width: str) -> None:
    tolerance = read_general_tolerance(text, unit)
    assert {tolerance.around(Fraction(size)) for size in ("0.1", "12", "5000")} == {Fraction(width)}
    assert tolerance.name == text


@pytest.mark.parametrize(
    "text", ["m", "0.1", "ISO 2768", "±", "±0", "±0.1-0.2", "±about 0.1", "h6", "all over", "x" * 300]
)
def test_what_is_neither_is_refused_with_what_would_be_taken(text: str) -> None:
    tolerance = read_general_tolerance(text, "mm")
    assert (tolerance.status, tolerance.around(Fraction(12))) == ("refused", None)
    assert "±0.1 mm" in tolerance.message or "200 characters" in tolerance.message


def test_nothing_is_unknown_and_gives_no_limits() -> None:
    assert (read_general_tolerance(" ", "mm").status, read_general_tolerance(None, "mm").around(Fraction(1))) == (
        "unknown",
        None,
    )


@given(typed)
def test_no_text_raises(text: str) -> None:
    tolerance = read_general_tolerance(text, "in")
    assert tolerance.message
    assert tolerance.status != "refused" or tolerance.around(Fraction(12)) is None
