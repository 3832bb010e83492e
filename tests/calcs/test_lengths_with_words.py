"""Lengths with words round the figure: what they mean stands in the reading, and nothing is dropped in silence."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calcs.typed.lengths import read_length
from calcs.typed.other_languages import _WITH_LETTERS, _unaccented, in_english
from calcs.typed.text import plain_text
from tests.calcs.test_typed_notations import ROWS


def _read(text, default="mm"):
    reading = read_length(text, default)
    return reading.value and round(reading.value.to("mm").magnitude, 6), reading


@pytest.mark.parametrize(
    ("text", "mm", "of"),
    [
        ('1/4" sq', 6.35, "square"),
        ("10 mm square", 10, "square"),
        ("hex 12 mm", 12, "across flats"),
        ("SW13", 13, "across flats"),
        ("Schlüsselweite 13", 13, "across flats"),
        ('1-1/4" O.D.', 31.75, "outside diameter"),
        ("6 mm ID", 6, "inside diameter"),
        ("R5", 5, "radius"),
        ("PCD 40", 40, "pitch circle diameter"),
        ("diamètre 8 mm", 8, "diameter"),
        ("t=3", 3, "thickness"),
        ("1 x 45°", 1, "chamfer"),
        ("25 mm between centres", 25, "centres"),
        ("12 mm a/f approx.", 12, "across flats"),
        ("12 mm", 12, ""),
    ],
)
def test_what_a_size_is_of_is_kept(text, mm, of):
    size, reading = _read(text)
    assert (size, reading.of) == (mm, of)


@pytest.mark.parametrize(
    ("text", "bound", "said"),
    [
        ('1/4"+', "least", "at least 0.25 in"),
        ("12+ mm", "least", "at least 12 mm"),
        ("12 mm min", "least", "at least 12 mm"),
        ("not less than 12 mm", "least", "at least 12 mm"),
        ("max 12 mm", "most", "at most 12 mm"),
        ("≤ 12 mm", "most", "at most 12 mm"),
        ("approx 12 mm", "", "about 12 mm"),
        ("environ 12 mm", "", "about 12 mm"),
    ],
)
def test_a_limit_and_a_rough_size_are_said_to_be_such(text, bound, said):
    _size, reading = _read(text)
    assert (reading.status, reading.bound) == ("rough", bound)
    assert f"→ {said}" in reading.message


def test_the_class_of_a_tolerance_keeps_its_letters():
    assert _read("20 H7")[1].fit == "H7"
    assert _read("12g6")[1].fit == "g6"
    assert _read("20 H7/g6")[1].fit == "H7/g6"
    assert _read("20")[1].fit == ""


@pytest.mark.parametrize(
    "text", ["12 min", "R 1/4", "2 tenths", "5 thousandths", "M13", "12 x 40", "hex 12 x 40", "1e5"]
)
def test_what_may_be_two_things_is_asked_about(text):
    assert read_length(text, "mm").status == "refused"


def test_a_tenth_is_of_the_inch_only_where_inches_are_the_rule():
    assert _read("2 tenths", "in")[0] == round(0.0002 * 25.4, 6)
    assert _read("2 tenths of a mm", "in")[0] == 0.2
    assert _read("5 hundredths", "mm")[0] == 0.05
    assert read_length("5 hundredths", "in").status == "refused"


@settings(deadline=None)  # a busy machine is no failure
@given(size=st.integers(1, 900), words=st.permutations(["approx", "dia", "min"]))
def test_the_order_of_words_round_a_size_says_nothing_of_it(size, words):
    mm, reading = _read(f"{' '.join(words)} {size} mm")
    assert (mm, reading.of, reading.bound, reading.status) == (size, "diameter", "least", "rough")


def test_english_is_left_as_it_is():
    for text in ("2h30 turning", "approx 12 mm", "3/8 hex a/f", "an hour and a half", "12 mm max"):
        assert in_english(text) == text


def test_the_words_of_other_languages_are_found_by_their_letters():
    texts = [plain_text(text) for row in ROWS for text in row["inputs"].split("|")]
    for letters, pattern, _english in _WITH_LETTERS:
        for text in (_unaccented(text) for text in texts):
            assert not letters or not pattern.search(text) or any(some in text for some in letters)
