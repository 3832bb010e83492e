"""Stock and densities against published tables, and the shop's own sayings."""

import math
from fractions import Fraction

import pytest

from calcs.shop.reference_tables import cutting_speed_for, densities, density_of, speed_rows
from calcs.shop.scaling import swept_volume, to_full_size, to_model
from calcs.shop.stock import (
    cut_away,
    flat_bar,
    hexagon_bar,
    mass,
    round_bar,
    square_bar,
    tube,
    volume,
)
from calcs.typed.speeds import read_speed
from calcs.units.registry import registry

Q = registry().Quantity
STEEL = Q(7850, "kg/m**3")
METRE = Q(1, "m")


@pytest.mark.parametrize(
    ("across", "kg"),
    [(6, 0.2220), (8, 0.3946), (10, 0.6165), (12, 0.8878), (16, 1.5783), (20, 2.4662), (25, 3.8534), (40, 9.8646)],
)
def test_a_metre_of_round_steel(across, kg):
    # Bar tables, common practice: 0.0061654·d² kg a metre; EN 10060 prints the same to three figures (from memory).
    found = mass(round_bar(Q(across, "mm")), METRE, STEEL).value.to("kg").magnitude
    assert found == pytest.approx(kg, abs=6e-5)
    assert found == pytest.approx(0.0061654 * across**2, rel=1e-5)


def test_the_bar_yards_short_rule_is_near():
    # Common practice: 0.00617·d² gives 24.68 kg for 10 m of 20 mm; exactly it is 24.66.
    found = mass(round_bar(Q(20, "mm")), Q(10, "m"), STEEL).value.to("kg").magnitude
    assert found == pytest.approx(24.68, rel=1e-3)
    assert found == pytest.approx(24.66, abs=0.005)


@pytest.mark.parametrize(("section", "factor"), [(round_bar, 7.854e-7), (hexagon_bar, 8.660e-7), (square_bar, 1e-6)])
def test_shape_factors(section, factor):
    # Plane geometry: π/4, √3/2 and 1 of the square on it, in m² for each mm².
    found = mass(section(Q(1, "mm")), METRE, Q(1000, "kg/m**3")).value.to("kg").magnitude / 1000
    assert found == pytest.approx(factor, rel=1e-4)


def test_densities_of_alloys():
    # simetric.co.uk/si_metals.htm; steels and irons from memory; data sheets to EN 12167 and EN 12164; wermac.org.
    table = densities()
    assert table["mild steel"].usual == 7850
    assert (table["stainless steel"].low, table["stainless steel"].high) == (7480, 8000)
    assert (table["cast iron"].low, table["cast iron"].high) == (6800, 7800)
    assert (table["brass"].low, table["brass"].high) == (8430, 8730)
    assert (table["phosphor bronze"].low, table["phosphor bronze"].high) == (8780, 8920)
    assert (table["aluminium alloy"].low, table["aluminium alloy"].high) == (2560, 2800)
    assert (table["magnesium alloy"].low, table["magnesium alloy"].high) == (1760, 1870)
    assert table["titanium"].usual == 4500
    assert table["high-tensile brass"].usual == 8630
    assert table["brass 60/40"].usual == 8520
    assert all(row.low <= row.usual <= row.high for row in table.values())


def test_free_cutting_brass_is_not_lighter_than_air():
    # Data sheet of CW614N: 8.47 g/cm³ = 0.306 lb/in³. 8.47 kg/m³ is printed too, a slip of units.
    brass = density_of("free-cutting brass").value
    assert brass.to("g/cm**3").magnitude == pytest.approx(8.47, rel=1e-12)
    assert brass.to("lb/inch**3").magnitude == pytest.approx(0.306, abs=5e-4)
    assert brass.to("kg/m**3").magnitude > 100 * 8.47


def test_densities_from_memory():
    # From memory, g/cm³: stainless 303 and 304, C93200, Ti-6Al-4V, acetal, PTFE, nylon 6, AZ31.
    expected = {
        "stainless steel": 8.0, "bronze C93200": 8.93, "titanium 6Al-4V": 4.43, "acetal": 1.41, "PTFE": 2.2,
        "nylon 6": 1.14, "magnesium alloy": 1.77,
    }  # fmt: skip
    for name, density in expected.items():
        assert density_of(name).value.to("g/cm**3").magnitude == pytest.approx(density, rel=1e-9)


def test_an_aluminium_block():
    # Common practice: 2½ × 8 × 8 in is 160 in³, 2,622 cm³, about 7.1 kg.
    block = flat_bar(Q(8, "inch"), Q(2.5, "inch"))
    size = volume(block, Q(8, "inch")).value
    assert size.to("inch**3").magnitude == pytest.approx(160, rel=1e-12)
    assert size.to("cm**3").magnitude == pytest.approx(2622, abs=0.5)
    weight = mass(block, Q(8, "inch"), density_of("aluminium alloy").value).value
    assert weight.to("kg").magnitude == pytest.approx(7.1, abs=0.05)


def test_half_scale_has_an_eighth_of_the_volume_and_mass():
    # Square-cube law: wdv.com, "SizeRedux".
    assert to_model(Q(8, "kg"), Fraction(1, 2)).value.to("kg").magnitude == pytest.approx(1, rel=1e-12)
    assert to_model(Q(8, "inch**3"), Fraction(1, 2)).value.to("inch**3").magnitude == pytest.approx(1, rel=1e-12)
    assert to_full_size(Q(1, "kg"), Fraction(1, 2)).value.to("kg").magnitude == pytest.approx(8, rel=1e-12)


def test_a_swept_volume_scales_by_the_cube():
    # Follows from the square-cube law; no figure published.
    full = swept_volume(Q(4, "inch"), Q(5, "inch"), 12).value
    bore, stroke = (to_model(Q(size, "inch"), Fraction(1, 4)).value for size in (4, 5))
    small = swept_volume(bore, stroke, 12).value
    assert to_model(full, Fraction(1, 4)).value.to("inch**3").magnitude == pytest.approx(small.magnitude, rel=1e-12)
    assert full.magnitude == pytest.approx(math.pi / 4 * 16 * 5 * 12, rel=1e-12)


def test_what_is_cut_away_from_a_ring():
    # Plane geometry: a disc of 100 mm bored to 80 mm loses (80/100)² = 64 %; 10 mm thick that is 16·π cm³, which at
    # 2.7 g/cm³ weighs 135.717 g.
    disc, ring = round_bar(Q(100, "mm")), tube(Q(100, "mm"), inner=Q(80, "mm"))
    thick = Q(10, "mm")
    away = cut_away(volume(disc, thick).value, volume(ring, thick).value, Q(2700, "kg/m**3"))
    assert away.percent == pytest.approx(64, rel=1e-9)
    assert away.mass.to("g").magnitude == pytest.approx(135.717, abs=5e-4)


@pytest.mark.parametrize(
    ("table", "material", "tool", "operation", "low", "high", "unit"),
    [
        # A: a lathe manual, p. 24. B: U8M1-MAT-001 (protolab.certifitrax.com). C:
        # incoherency.co.uk/jesref/lathe-speeds.html.
        ("A", "aluminium alloy", "high-speed steel", "any", 300, 300, "ft/min"),
        ("A", "mild steel", "high-speed steel", "any", 90, 90, "ft/min"),
        ("A", "cast iron", "high-speed steel", "any", 50, 80, "ft/min"),
        ("A", "tool steel", "carbide", "any", 100, 100, "ft/min"),
        ("B", "mild steel", "high-speed steel", "any", 80, 100, "ft/min"),
        ("B", "stainless steel", "carbide", "any", 150, 250, "ft/min"),
        ("B", "bronze", "carbide", "any", 350, 600, "ft/min"),
        ("C", "mild steel", "high-speed steel", "turning", 20, 35, "m/min"),
        ("C", "cast iron", "carbide", "turning", 135, 135, "m/min"),
        ("C", "aluminium alloy", "high-speed steel", "drilling", 30, 120, "m/min"),
    ],
)
def test_cutting_speeds_are_the_published_ones(table, material, tool, operation, low, high, unit):
    row = next(
        row
        for row in speed_rows()
        if (row.table, row.material, row.tool, row.operation) == (table, material, tool, operation)
    )
    assert (row.low, row.high, row.unit) == (low, high, unit)


@pytest.mark.parametrize(
    ("sfm", "metres"),
    [(300, 91.4), (150, 45.7), (100, 30.5), (80, 24.4), (50, 15.2), (90, 27.4), (40, 12.2), (60, 18.3)],
)
def test_feet_a_minute_are_read_as_the_first_table_prints_metres(sfm, metres):
    # The lathe manual of table A prints both, p. 24.
    assert read_speed(f"{sfm} sfm", None).value.to("m/min").magnitude == pytest.approx(metres, abs=0.05)


def test_a_chosen_cutting_speed_lies_within_what_is_published():
    for row in speed_rows():
        chosen = cutting_speed_for(row.material, row.tool, "drilling" if row.operation == "drilling" else "turning")
        low, value, high = (one.to("m/min").magnitude for one in (chosen.low, chosen.value, chosen.high))
        assert low <= value <= high
        assert chosen.source
        assert chosen.words


def test_the_users_own_figures_stand_above_the_tables():
    own = Q(33, "m/min")
    assert cutting_speed_for("mild steel", own=own).value is own
    assert density_of("mild steel", own=Q(7700, "kg/m**3")).value.magnitude == 7700
    with pytest.raises(ValueError, match="speed with its unit"):
        cutting_speed_for("mild steel", own=Q(33, "mm"))
