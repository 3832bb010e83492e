"""Cutting up bars, as its page of sums asks and answers it."""

import pytest
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st

from builds.arithmetic.lengths_field import LengthsField

pytestmark = pytest.mark.django_db


def answered(client: Client, **asked: str) -> str:
    response = client.get("/arithmetic/bars/", asked)
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def test_the_bars_to_buy_stand_with_what_is_cut_from_each(signed_in: Client) -> None:
    # By hand: one piece of 300 comes out of each bar of 500, and the short ones find room beside one of them.
    html = answered(signed_in, pieces="5 off 300 mm; 2 x 12.5", shop="0.5 m", rack="", kerf="2", end="0")
    assert "5 × 0.5 m" in html
    assert "1 × 300 mm, 2 × 12.5 mm" in html
    assert "There is no way that takes less bar" in html
    assert "= 1,539 mm" in html


def test_the_rack_goes_first(signed_in: Client) -> None:
    html = answered(signed_in, pieces="2 × 50 mm", shop="1 m", rack="1 × 120 mm", kerf="2", end="0")
    assert "Nothing to buy: the rack has it" in html
    assert "1 × 120 mm" in html


def test_inches_and_millimetres_stand_beside_each_other(signed_in: Client) -> None:
    html = answered(signed_in, unit="in", pieces="4 × 1-1/4; 2 × 40 mm", shop="12", rack="", kerf="1/16", end="0")
    assert "1 × 12 in" in html
    assert "4 × 1-1/4 in" in html


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"pieces": "two of them"}, "is not a length with its number"),
        ({"pieces": "3 × 0 mm"}, "is not a length with its number"),
        ({"pieces": ""}, "This is needed for the sum."),
        ({"pieces": "1 × 2 m", "shop": "1 m"}, "No bar is long enough for a piece of 2000 mm"),
        ({"pieces": "9 × 100 mm", "shop": "", "rack": "2 × 300 mm"}, "The bars in the rack are not enough"),
        ({"pieces": "9999 × 1 mm; " * 12}, "At most 100,000 pieces"),
    ],
)
def test_what_cannot_be_cut_is_refused_with_a_sentence(signed_in: Client, asked: dict[str, str], sentence: str) -> None:
    assert sentence in answered(signed_in, **asked)


@given(st.text(max_size=80))
def test_no_text_breaks_the_reader_of_lengths(text: str) -> None:
    reading = LengthsField("Pieces").read(text)
    assert reading.status in ("ok", "refused")
    if reading.status == "ok":
        assert all(one.length_mm > 0 for one in reading.value)
