"""What stands in a workshop rack: a density, a cutting speed, and an energy if there is one, each with a source."""

import pytest

from calcs.shop.cautions import cautions_for
from calcs.shop.reference_tables import cutting_speed_for, density_of, specific_energies, specific_energy_of

RACK = [
    # material, density in g/cm³, slowest and fastest turning with high-speed steel in m/min, family of its energy.
    # Common practice, from memory, except brass (C: lathe speeds by material) and tool steel (A and B).
    ("silver steel", 7.85, 15, 20, "steel"),
    ("tool steel", 7.83, 12.192, 18.288, "steel"),
    ("free-cutting steel", 7.85, 35, 50, "steel"),
    ("gunmetal", 8.80, 30, 50, "copper alloy"),
    ("phosphor bronze", 8.85, 20, 35, "copper alloy"),
    ("aluminium bronze", 8.20, 15, 25, "copper alloy"),
    ("grey cast iron", 7.20, 20, 30, "cast iron"),
    ("spheroidal graphite iron", 7.10, 15, 25, "cast iron"),
    ("malleable iron", 7.30, 25, 35, "cast iron"),
    ("stainless steel 303", 8.00, 20, 30, "stainless steel"),
    ("free-cutting brass", 8.47, 90, 105, "copper alloy"),
    ("aluminium 6082", 2.70, 60, 120, "aluminium alloy"),
    ("aluminium 2011", 2.83, 90, 180, "aluminium alloy"),
    ("acetal", 1.41, 100, 150, None),
    ("PTFE", 2.20, 75, 150, None),
    ("machinable wax", 0.93, 100, 300, None),
    ("graphite", 1.80, 30, 60, None),
]


@pytest.mark.parametrize(("material", "density", "low", "high", "family"), RACK)
def test_a_material_of_the_rack_has_its_figures(material, density, low, high, family):
    found = density_of(material)
    assert found.value.to("g/cm**3").magnitude == pytest.approx(density, rel=1e-9)
    assert found.source not in ("", "from memory")
    speed = cutting_speed_for(material)
    assert (speed.low.to("m/min").magnitude, speed.high.to("m/min").magnitude) == pytest.approx((low, high))
    carbide = cutting_speed_for(material, "carbide")
    assert carbide.value.to("m/min").magnitude > speed.value.to("m/min").magnitude
    if family is None:
        with pytest.raises(ValueError, match="Write your own figure"):
            specific_energy_of(material)
    else:
        assert specific_energy_of(material).value.magnitude == specific_energies()[family].usual


def test_a_speed_that_was_not_read_anywhere_says_so():
    assert cutting_speed_for("silver steel").status == "from memory"
    assert cutting_speed_for("mild steel").status == "seen"


@pytest.mark.parametrize(("material", "topic"), [("PTFE", "PTFE fume"), ("graphite", "graphite dust")])
def test_what_harms_in_a_material_is_said(material, topic):
    # Common practice.
    assert topic in [one.topic for one in cautions_for("turning", material).cautions]
