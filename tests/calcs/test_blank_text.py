"""Blanks as they are written on the rack."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.shop.blank_sizes import read_blank


@pytest.mark.parametrize(
    ("text", "unit", "shape", "cubic_inches"),
    [
        ("1-1/4 dia x 2 pot", "in", "round", 2.4544),
        ("7-1/4 x 4-1/4 x 1/2 plate", "in", "flat", 15.4063),
        # Common practice: an aluminium block 2½ × 8 × 8 in is 160 in³.
        ("2½ × 8 × 8", "in", "flat", 160.0),
        ("3/4 sq x 1", "in", "square", 0.5625),
        ("Ø12 mm x 30 mm", None, "round", 3.3929 * 1000 / 16387.064),
        ("8 mm A/F hex x 40", "in", "hexagon", 3**0.5 / 2 * 64 * 40 / 16387.064),
        ("7/8 x 1/2 x 3/4, two per pair", "in", "flat", 0.328125),
    ],
)
def test_a_blank_is_read(text: str, unit: str | None, shape: str, cubic_inches: float) -> None:
    blank = read_blank(text, unit)  # type: ignore[arg-type]
    assert blank.section.shape == shape
    assert blank.volume().value.to("inch ** 3").magnitude == pytest.approx(cubic_inches, rel=1e-3)


@pytest.mark.parametrize(
    "text", ["", "casting from pattern 811", "3 dia", "1 x 2", "1 x 2 x 3 x 4", "0 dia x 1", "x x x"]
)
def test_what_is_no_blank_is_told_in_a_sentence(text: str) -> None:
    with pytest.raises(ValueError, match=r"\.$"):
        read_blank(text, "in")


@given(st.text(alphabet='0123456789/-. x×diasqhexmn"½', max_size=40))
def test_no_text_gives_anything_but_a_blank_or_a_sentence(text: str) -> None:
    said, blank = "", None
    try:
        blank = read_blank(text, "in")
    except ValueError as error:
        said = str(error)
    assert said.endswith((".", "?")) if blank is None else blank.volume().value.magnitude > 0
