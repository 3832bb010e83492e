"""Units and scale laws against published figures, with Pint as the reference library beside them."""

import math
from fractions import Fraction

import pint
import pytest

from calcs.shop.scaling import scaled_area, scaled_length, scaled_volume
from calcs.typed.durations import read_duration
from calcs.typed.lengths import read_length
from calcs.typed.scales import read_scale
from calcs.units.registry import registry


@pytest.fixture(scope="module")
def reference():
    """A registry of Pint's own, untouched by this project."""
    return pint.UnitRegistry()


@pytest.mark.parametrize(
    ("value", "unit", "expected", "into", "rel"),
    [
        # Inch: NAVFAC SI appendix (navalfacilities.tpub.com/1004_6); thou: metric chart on thefreelibrary.com ("mil").
        (1, "inch", 25.4, "mm", 1e-12),
        (1, "thou", 0.0254, "mm", 1e-12),
        # ft/min: Pint 0.25.3; NIST SP 811 appendix B from memory.
        (1, "foot/minute", 0.3048, "m/minute", 1e-12),
        (1, "m/minute", 3.28084, "foot/minute", 1e-6),
        # Horsepower of 550 ft·lbf/s: scipy.constants; metric horsepower: Wikibooks, Engineering Statics.
        (1, "horsepower", 745.69987158, "W", 1e-9),
        (1, "metric_horsepower", 735.49875, "W", 1e-9),
        # Pound and ounce: scipy.constants.
        (1, "pound", 0.45359237, "kg", 1e-12),
        (1, "ounce", 28.349523125, "g", 1e-12),
        # Cubic and square inch: NAVFAC SI appendix prints 16,387.1 mm³ and 645.16 mm².
        (1, "inch**3", 16.387064, "cm**3", 1e-9),
        (1, "inch**2", 645.16, "mm**2", 1e-9),
        # lb/in³ and psi: metric chart on thefreelibrary.com (27.68), Pint; lbf·in: NAVFAC SI appendix (0.112985).
        (1, "pound/inch**3", 27.679905, "g/cm**3", 1e-7),
        (1, "psi", 0.0689475729, "bar", 1e-8),
        (1, "force_pound*inch", 0.112984829, "N*m", 1e-8),
    ],
)
def test_the_registry_converts_as_published(reference, value, unit, expected, into, rel):
    ours = registry().Quantity(value, unit).to(into).magnitude
    assert ours == pytest.approx(expected, rel=rel)
    assert ours == pytest.approx(reference.Quantity(value, unit).to(into).magnitude, rel=1e-12)


def test_there_is_one_registry_for_the_application():
    assert registry() is registry()
    assert read_length("1 in", None).value + registry().Quantity(1, "mm") == registry().Quantity(26.4, "mm")


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("3 thou", 3, "thou"),
        ("7/16 in", 0.4375, "inch"),
        ("5' 2\"", 62, "inch"),
        ("2.5 ft", 2.5, "foot"),
        ("12.7 mm", 12.7, "mm"),
        ("28.5 cm", 28.5, "cm"),
        ("0.35 m", 0.35, "m"),
        ("50 µm", 50, "micrometer"),
        ("2 yd", 2, "yard"),
    ],
)
def test_typed_units_mean_what_the_reference_library_means(reference, text, value, unit):
    expected = reference.Quantity(value, unit).to("mm").magnitude
    assert read_length(text, None).value.to("mm").magnitude == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "value", "unit"), [("1.5 h", 1.5, "hour"), ("90 s", 90, "second"), ("7 min", 7, "minute")]
)
def test_typed_times_mean_what_the_reference_library_means(reference, text, value, unit):
    expected = reference.Quantity(value, unit).to("minute").magnitude
    assert read_duration(text).value == pytest.approx(expected, rel=1e-12)


def test_half_scale_has_an_eighth_of_the_volume_and_mass():
    # Square-cube law: wdv.com, "SizeRedux".
    units = registry()
    half = Fraction(1, 2)
    assert scaled_volume(units.Quantity(8, "inch**3"), half).to("inch**3").magnitude == pytest.approx(1)
    assert scaled_volume(units.Quantity(8, "kg"), half).to("kg").magnitude == pytest.approx(1)
    assert scaled_area(units.Quantity(8, "inch**2"), half).to("inch**2").magnitude == pytest.approx(2)


def test_a_scaled_box_has_the_volume_of_its_scaled_edges():
    # Holds for every ratio by geometry; no figure published.
    units = registry()
    ratio = read_scale("1-1/2 in to the foot").value
    edges = [units.Quantity(size, "inch") for size in (3.0, 5.0, 7.0)]
    small = math.prod((scaled_length(edge, ratio) for edge in edges), start=1)
    whole = math.prod(edges, start=1)
    assert scaled_volume(whole, ratio).to("mm**3").magnitude == pytest.approx(small.to("mm**3").magnitude, rel=1e-12)


def test_a_five_foot_wheel_is_fifteen_inches_at_quarter_scale():
    # Common practice.
    wheel = read_length("5 ft", None).value
    assert scaled_length(wheel, read_scale("1/4").value).to("inch").magnitude == pytest.approx(15, rel=1e-12)


def test_a_corner_radius_of_twenty_thou_belongs_to_a_diameter_of_forty():
    # Common practice: a cutter leaves a corner of half its own diameter.
    radius = read_length("0.020 in", None).value
    assert (2 * radius).to("thou").magnitude == pytest.approx(40, rel=1e-12)
    assert (2 * radius).magnitude == pytest.approx(read_length("40 thou", None).value.magnitude, rel=1e-12)


def test_thirty_six_rings_in_four_hundred_hours_are_eleven_hours_a_ring():
    # Common practice: hours a piece are the hours logged over the pieces made.
    per_ring = read_duration("400 h").value / 36
    assert round(per_ring / 60, 1) == 11.1


@pytest.mark.parametrize(
    ("text", "ratio"),
    [
        # Inches to the foot as spoken by model engineers: common practice.
        ("1-1/2 in to the foot", Fraction(1, 8)),
        ("3 in scale", Fraction(1, 4)),
        ("3/4 in to the foot", Fraction(1, 16)),
        # 3.5 mm to the foot is 1:87.1: common practice among railway modellers.
        ("3.5 mm to the foot", Fraction(35, 3048)),
        ("1:48", Fraction(1, 48)),
        ("1/4\" = 1'", Fraction(1, 48)),
    ],
)
def test_scales_as_spoken_have_their_known_ratios(text, ratio):
    assert read_scale(text).value == ratio
