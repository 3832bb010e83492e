"""Units and scale laws against published figures, with Pint as the reference library beside them."""

import math
from fractions import Fraction

import pint
import pytest

from calcs.shop.scaling import to_model
from calcs.typed.durations import read_duration
from calcs.typed.lengths import read_length
from calcs.typed.scales import read_scale
from calcs.units.kinds import KINDS
from calcs.units.registry import registry


@pytest.fixture(scope="module")
def reference():
    """A registry of Pint's own, untouched by this project."""
    return pint.UnitRegistry()


@pytest.mark.parametrize(
    ("kind", "sign", "expected", "rel"),
    [
        # NIST SP 811, appendix B, from memory: inch, pound and what follows from them are exact. In the base units: mm,
        # m/min, W, kg, mm³, mm², kg/m³, N·m, N.
        ("length", "in", 25.4, 0),
        ("length", "thou", 0.0254, 1e-15),
        ("length", "ft", 304.8, 0),
        ("speed", "ft/min", 0.3048, 0),
        ("power", "hp", 745.69987158, 1e-11),
        ("mass", "lb", 0.45359237, 0),
        ("mass", "oz", 0.028349523125, 0),
        ("volume", "in³", 16_387.064, 0),
        ("area", "in²", 645.16, 0),
        ("density", "lb/in³", 27_679.905, 2e-8),
        ("torque", "lbf·in", 0.1129848, 1e-6),
        ("force", "lbf", 4.448222, 1e-7),
        # Machinery's Handbook, 31st ed., p. 1147, table 1b: 1 hp·min/in³ = 2.73 kW·s/cm³, which is 2.73 W·s/mm³.
        ("energy", "hp·min/in³", 2.73, 5e-4),
    ],
)
def test_the_table_of_units_is_as_published(kind, sign, expected, rel):
    assert KINDS[kind].signed[sign].factor == pytest.approx(expected, rel=rel)


def test_there_is_one_registry_for_the_application():
    assert registry() is registry()
    assert read_length("1 in", None).value + registry().Quantity(1, "mm") == registry().Quantity(26.4, "mm")


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        # Pint 0.25.3 is the source.
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
    # Pint 0.25.3 is the source.
    expected = reference.Quantity(value, unit).to("minute").magnitude
    assert read_duration(text).value == pytest.approx(expected, rel=1e-12)


def test_a_scaled_box_has_the_volume_of_its_scaled_edges():
    # Holds for every ratio by geometry; no figure published.
    units = registry()
    ratio = read_scale("1-1/2 in to the foot").value
    edges = [units.Quantity(size, "inch") for size in (3.0, 5.0, 7.0)]
    small = math.prod((to_model(edge, ratio).value for edge in edges), start=1)
    whole = math.prod(edges, start=1)
    assert to_model(whole, ratio).value.to("mm**3").magnitude == pytest.approx(small.to("mm**3").magnitude, rel=1e-12)


def test_a_five_foot_wheel_is_fifteen_inches_at_quarter_scale():
    # Common practice.
    wheel = read_length("5 ft", None).value
    assert to_model(wheel, read_scale("1/4").value).value.to("inch").magnitude == pytest.approx(15, rel=1e-12)


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
