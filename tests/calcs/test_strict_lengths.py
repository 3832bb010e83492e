"""The reader of lengths against one that knows every meaning: what has two is never read without being asked."""

from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from calcs.typed.lengths import read_length
from calcs.typed.reading import Reading
from calcs.units.registry import registry
from tests.calcs.strict_lengths import BEFORE, BEHIND, FRACTIONS, UNITS, all_readings

_digits = st.integers(0, 130).map(str)
_decimal = st.from_regex(r"[0-9]{0,3}[.,][0-9]{1,4}", fullmatch=True)
_grouped = st.from_regex(r"[0-9]{1,3}([.,][0-9]{3}){1,2}([.,][0-9]{1,2})?", fullmatch=True)
_fraction = st.builds(
    "{}/{}".format, st.integers(0, 70), st.sampled_from([0, 2, 3, 4, 5, 8, 10, 16, 20, 30, 32, 35, 64])
)
_joint = st.sampled_from(["-", " - ", " ", ".", "–", " to ", "/", " or ", "x", " x ", "+", "", ","])
_figure = st.one_of(
    _digits,
    _decimal,
    _grouped,
    _fraction,
    st.builds("{}{}{}".format, _digits, _joint, _fraction | st.sampled_from([*FRACTIONS])),
)
_unit = st.sampled_from(["", "", *UNITS, "″", "”", "′", "’"])
_space = st.sampled_from(["", " ", "\u2009", "\u00a0", "\u202f"])
_size = st.builds("{}{}{}".format, _figure, _space, _unit)
_core = st.one_of(
    _size,
    st.builds("{}{}{}".format, _size, _joint, _size),
    st.builds("{}'{}{}\"".format, _digits, st.sampled_from(["", " ", "-", " - "]), _figure),
    st.builds("{} ({})".format, _size, _size),
    st.builds("{} = {}".format, _size, _size),
)
_texts = st.builds(
    lambda before, core, behind: "".join([*before, core, *behind]),
    st.lists(st.sampled_from([*BEFORE]), max_size=2),
    _core,
    st.lists(st.sampled_from([*BEHIND]), max_size=2),
)
_defaults = st.sampled_from(["mm", "in", None])


@pytest.fixture(autouse=True, scope="module")
def _loaded_registry() -> None:
    """Pint loads once here, so that no example of a property pays for it."""
    registry()


def _mm(quantity: Any) -> float:
    return float(quantity.to("mm").magnitude)


def _read(reading: Reading) -> Any:
    """What was read, as the strict reader gives it, to the nearest float; None for what was refused."""
    if reading.status == "range":
        return _mm(reading.low), _mm(reading.high)
    return _mm(reading.value) if reading.status in ("ok", "rough") else None


def _as_floats(size: Any) -> Any:
    return tuple(map(float, size)) if isinstance(size, tuple) else float(size)


@settings(max_examples=300)
@given(text=_texts, default=_defaults)
@example(text="21/2 in", default=None)
@example(text="1/4-20", default="in")
@example(text="R1/4", default="in")
@example(text="30/35 mm", default=None)
def test_no_length_with_two_meanings_passes_without_being_asked(text: str, default: Any) -> None:
    reading = read_length(text, default)
    read = _read(reading)
    if read is not None:
        meant = all_readings(text, default)
        assert {_as_floats(size) for size, _said in meant} == {read}
        assert (reading.of, reading.bound) in {(of, bound) for _size, (of, bound, _rough) in meant}
        assert (reading.status == "rough") in {
            rough for _size, (_of, _bound, rough) in meant
        } or reading.status == "range"


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ('2-1/2"', 63.5),
        ("2½ in", 63.5),
        ("Ø12,7 mm", 12.7),
        ("approx 3/8 inch", 9.525),
        ("5'-6\"", 1676.4),
        ("12 mm A/F or so", 12.0),
        ("20 thou max", 0.508),
        ("0.5 in ±0.1", 12.7),
        ("12 +0.1/-0.05 mm", 12.0),
        (".375/.374 in", 9.525),
        ('1/2" (12.7 mm)', 12.7),
        ("3–4 mm", (3.0, 4.0)),
        ('1/8 to 3/16"', (3.175, 4.7625)),
    ],
)
def test_both_readers_read_what_is_plain(text: str, mm: Any) -> None:
    assert _read(read_length(text, None)) == mm
    assert {_as_floats(size) for size, _said in all_readings(text, None)} == {mm}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('0-1/4"', "may be 1/4, or from 0 to 1/4"),
        ("max at least 84 mm", "at least and at most"),
        ("1 thou = 0 mm", "not one size in the two systems"),
        ('12" +1-1/2"', "a tolerance or a sum"),
        ('27 +1 thou -0.1"', "different units"),
        ("12 mm +1/0 -1", "divides by zero"),
    ],
)
def test_what_the_two_readers_differed_in_is_asked_about(text: str, said: str) -> None:
    assert said in read_length(text, None).message


def test_an_inch_before_a_diameter_is_an_inch() -> None:
    assert _read(read_length("3 in dia", "mm")) == 76.2
    assert _read(read_length("3 mm in diameter", "mm")) == 3.0
