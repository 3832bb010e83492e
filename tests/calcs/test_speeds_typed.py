"""Speeds, feeds, pitches, angles and other measures as people type them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.typed.measures import read_measure
from calcs.typed.speeds import read_angle, read_feed, read_pitch, read_speed
from calcs.typed.text import plain_text
from calcs.units.kinds import AREA, AREA_RATE, DENSITY, KINDS, MASS, POWER, SPEED, VOLUME, QuantityKind
from calcs.units.registry import registry

READ = (MASS, VOLUME, AREA, DENSITY, POWER, AREA_RATE, SPEED)


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("30 m/min", 30.0),
        ("30 metres per minute", 30.0),
        ("30 m a minute", 30.0),
        ("100 ft/min", 30.48),
        ("100 sfm", 30.48),
        ("100 SFPM", 30.48),
        ("100 feet a minute", 30.48),
        ("0.5 m/s", 30.0),
        ("27½ m/min", 27.5),
        ("  25  ", 25.0),
        ("about 25 m/min", 25.0),
    ],
)
def test_a_speed_is_read_in_any_of_its_units(text: str, metres: float) -> None:
    reading = read_speed(text, "m/min")
    assert reading.value is not None, reading.message
    assert reading.value.to("m/min").magnitude == pytest.approx(metres, rel=1e-12)


def test_a_bare_speed_takes_the_unit_of_the_page() -> None:
    assert read_speed("100", "ft/min").value.to("m/min").magnitude == pytest.approx(30.48)
    assert read_speed("100", "m/min").value.to("m/min").magnitude == 100
    assert read_speed("100", None).status == "refused"


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("25 mm", "a length"),
        ("1 in", "a length"),
        ("200 rpm", "spindle speed"),
        ("350 rev/min", "spindle speed"),
        ("fast", "not understood"),
        ("-20 m/min", "more than zero"),
        ("0", "more than zero"),
        ("9999999 m/min", "workshop"),
        ("1/0 m/min", "zero"),
        ("20 kg", "not understood"),
    ],
)
def test_what_is_no_speed_is_refused_with_what_it_is(text: str, word: str) -> None:
    reading = read_speed(text, "m/min")
    assert reading.status == "refused"
    assert word in reading.message


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("0.1 mm", 0.1),
        ("0.1", 0.1),
        ("0.1 mm/rev", 0.1),
        ("4 thou", 0.1016),
        ("4 thou a rev", 0.1016),
        ("0.004 in per tooth", 0.1016),
        ("0.004 ipr", 0.1016),
        ("0.5 mm for each stroke", 0.5),
    ],
)
def test_a_feed_is_read_with_or_without_its_turn(text: str, mm: float) -> None:
    reading = read_feed(text, "mm")
    assert reading.value is not None, reading.message
    assert reading.value.to("mm").magnitude == pytest.approx(mm, rel=1e-12)
    assert reading.text == text


@pytest.mark.parametrize("text", ["120 mm/min", "5 in a minute", "12 ipm"])
def test_a_feed_rate_is_told_apart_from_a_feed(text: str) -> None:
    assert "That is a feed rate" in read_feed(text, "mm").message


@pytest.mark.parametrize(
    ("text", "mm"), [("40 tpi", 0.635), ("20 threads to the inch", 1.27), ("26 T.P.I.", 25.4 / 26), ("1 mm", 1.0)]
)
def test_a_pitch_is_a_length_or_threads_to_the_inch(text: str, mm: float) -> None:
    assert read_pitch(text, "mm").value.to("mm").magnitude == pytest.approx(mm, rel=1e-12)


def test_no_threads_to_the_inch_is_refused() -> None:
    assert read_pitch("0 tpi", "mm").status == "refused"
    assert read_pitch("5000 tpi", "mm").status == "refused"


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("30", 30.0),
        ("30°", 30.0),
        ("-45 deg", -45.0),
        ("1° 30'", 1.5),
        ("1°30′30″", 1 + 30.5 / 60),
        ("2 deg 52 min", 2 + 52 / 60),
        ("45'", 0.75),
        ("22 1/2", 22.5),
    ],
)
def test_an_angle_is_read_in_degrees_and_minutes(text: str, degrees: float) -> None:
    assert read_angle(text).value == pytest.approx(degrees, rel=1e-12)


@pytest.mark.parametrize("text", ["north", "400", "1° 75'", "3 mm", "1/0"])
def test_what_is_no_angle_is_refused(text: str) -> None:
    assert read_angle(text).status == "refused"


@pytest.mark.parametrize(
    ("text", "kind", "unit", "size"),
    [
        # Exact by definition: 1 lb = 0.45359237 kg, 1 in = 25.4 mm.
        ("1 lb", MASS, "gram", 453.59237),
        ("8 oz", MASS, "gram", 226.796185),
        ("1.5 kg", MASS, "gram", 1500),
        ("1 cu in", VOLUME, "centimeter ** 3", 16.387064),
        ("20 cm³", VOLUME, "centimeter ** 3", 20),
        ("350 cc", VOLUME, "centimeter ** 3", 350),
        ("1 in²", AREA, "millimeter ** 2", 645.16),
        ("3 sq in", AREA, "millimeter ** 2", 1935.48),
        ("7.85 g/cm³", DENSITY, "kilogram / meter ** 3", 7850),
        ("0.306 lb/in^3", DENSITY, "kilogram / meter ** 3", 8470.05),
        ("3/4 hp", POWER, "watt", 559.275),
        ("0.5 kW", POWER, "watt", 500),
        ("3 in²/min", AREA_RATE, "millimeter ** 2 / minute", 1935.48),
        ("20 sq cm per minute", AREA_RATE, "millimeter ** 2 / minute", 2000),
    ],
)
def test_a_measure_is_read_in_any_of_its_units(text: str, kind: QuantityKind, unit: str, size: float) -> None:
    reading = read_measure(text, kind)
    assert reading.value is not None, reading.message
    assert reading.value.to(unit).magnitude == pytest.approx(size, rel=1e-6)


@pytest.mark.parametrize("key", KINDS)
def test_pint_agrees_on_the_size_of_every_unit(key: str) -> None:
    """Pint's own table of units stands outside this project."""
    kind = KINDS[key]
    for unit in (*kind.metric, *kind.inch):
        if kind.low:
            there = registry().Quantity(1, unit.pint).to(kind.base).magnitude
            assert unit.factor == pytest.approx(there, rel=1e-12), unit
        else:
            first = kind.metric[0]
            there = registry().Quantity(1, unit.pint).to(first.pint).magnitude
            assert unit.factor / first.factor == pytest.approx(there, rel=1e-12), unit


@pytest.mark.parametrize("kind", READ, ids=lambda kind: kind.words)
def test_no_spelling_means_two_units_and_every_printed_sign_is_read_back(kind: QuantityKind) -> None:
    spellings = [text for unit in (*kind.metric, *kind.inch) for text in unit.spellings.split("|")]
    assert "" not in spellings
    assert len(spellings) == len(set(spellings))
    for unit in (*kind.metric, *kind.inch):
        assert kind.spelled[plain_text(unit.sign.replace("²", "^2").replace("³", "^3"))] is unit


@given(st.text(max_size=60), st.sampled_from(READ))
def test_no_text_breaks_a_reader(text: str, kind: QuantityKind) -> None:
    readings = [read_measure(text, kind), read_speed(text, "m/min"), read_feed(text, "in"), read_pitch(text, "mm")]
    for reading in (*readings, read_angle(text)):
        assert reading.status in ("ok", "rough", "unknown", "range", "refused")
        assert (reading.value is None) == (reading.status in ("unknown", "refused", "range"))
        assert reading.message


@given(st.fractions(Fraction(1, 100), Fraction(9999), max_denominator=1000))
def test_a_decimal_speed_comes_back_as_it_was_typed(value: Fraction) -> None:
    figure = f"{float(value):.3f}"
    if float(figure) > 0:
        assert read_speed(f"{figure} m/min", None).value.magnitude == float(figure)
