"""What an instrument shows, as people type it: the whole size, or how far it lies from a master."""

import pytest

from calcs.typed.figures import read_figure, read_uncertainty
from calcs.units.registry import LengthUnit


def millimetres(text: str, unit: LengthUnit = "mm", **more: object) -> float | None:
    value = read_figure(text, unit, **more).value  # type: ignore[arg-type]
    return None if value is None else float(value.magnitude)


@pytest.mark.parametrize(
    ("text", "unit", "size"),
    [("12.03", "mm", 12.03), (".4735", "in", 12.0269), (".4735 in", "mm", 12.0269), ("12,03", "mm", 12.03),
     ("12.03 mm", "in", 12.03)],
)  # fmt: skip
def test_the_whole_size_in_either_unit(text: str, unit: LengthUnit, size: float) -> None:
    assert millimetres(text, unit) == pytest.approx(size, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "below", "size"),
    [("+0.02", False, 12.02), ("-0.02", False, 11.98), ("−0.02", False, 11.98), ("0.02", False, 12.02),
     ("0.02", True, 11.98), ("+0.02", True, 12.02), ("0", False, 12.0), ("-1 thou", False, 11.9746)],
)  # fmt: skip
def test_a_difference_to_the_master(text: str, below: bool, size: float) -> None:
    assert millimetres(text, master=12.0, below=below) == pytest.approx(size, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "master", "words"),
    [
        ("+0.02", None, "is a difference"), ("12.03", 12.0, "is no difference"), ("-13", 12.0, "leaves nothing"),
        ("12 h6", None, "no single figure"), ("12.01-12.03", None, "no single figure"),
        ("about 12", None, "no single figure"), ("12 ±0.01", None, "the figure alone"),
        ("bore", None, "not understood"),
    ],
)  # fmt: skip
def test_what_is_refused_says_why(text: str, master: float | None, words: str) -> None:
    reading = read_figure(text, "mm", master=master)
    assert reading.status == "refused"
    assert words in reading.message


@pytest.mark.parametrize("text", ["", "  ", None, "?"])
def test_nothing_read_off_is_not_zero(text: str | None) -> None:
    assert read_figure(text, "mm").status == "unknown"


@pytest.mark.parametrize(
    ("text", "size"),
    [("±2 µm", 0.002), ("0.002 mm", 0.002), (".0001 in", 0.00254), ("+/- 0.002 mm", 0.002), ("2um", 0.002)],
)
def test_how_uncertain_an_instrument_is(text: str, size: float) -> None:
    assert read_uncertainty(text).value.magnitude == pytest.approx(size, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "words"),
    [("0.002", "has no unit"), ("5 mm", "no uncertainty"), ("0 mm", "without doubt"), ("good", "not understood"),
     ("2 tenths", "a part of an inch")],
)  # fmt: skip
def test_no_uncertainty_without_a_unit_nor_a_wild_one(text: str, words: str) -> None:
    reading = read_uncertainty(text)
    assert reading.status == "refused"
    assert words in reading.message


@pytest.mark.parametrize("text", ["+" * 300, "\x00", "±", "9" * 190, "+\n0.02", "🔧", "±±2 µm", "--1"])
def test_no_text_raises(text: str) -> None:
    for master in (None, 12.0):
        assert read_figure(text, "mm", master=master).status in ("refused", "unknown", "ok")
    assert read_uncertainty(text).status in ("refused", "unknown", "ok")
