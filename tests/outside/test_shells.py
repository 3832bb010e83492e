"""A wall under pressure against a textbook and against the stress added up ring by ring; never without its caution."""

import pytest

from calcs.shop.cautions import BOILER_SENTENCE, Cautions
from calcs.shop.shells import CODES, Shell, hoop_stress
from calcs.units.registry import registry

Q = registry().Quantity


def test_a_thin_shell_of_a_textbook():
    # Hibbeler, Mechanics of Materials, first example on thin walls, from memory: 4 ft inside, 1/2 in of wall, 20 ksi at
    # 417 psi.
    found = hoop_stress(Q(4, "ft"), Q(0.5, "in"), Q(417, "psi"))
    assert Q(found.through_wall, "MPa").to("ksi").magnitude == pytest.approx(20, abs=0.02)


def test_a_thick_shell_done_by_hand():
    # Bore 200 mm, wall 100 mm, 20 MPa: 20 × (200² + 100²) ÷ (200² − 100²) = 33.33 MPa.
    found = hoop_stress(Q(200, "mm"), Q(100, "mm"), Q(200, "bar"))
    assert (found.at_bore, found.through_wall) == pytest.approx((100 / 3, 20))


@pytest.mark.parametrize(("bore", "wall"), [(100, 2), (60, 12), (25, 20)])
def test_the_stress_of_all_rings_of_the_wall_carries_the_pressure(bore, wall):
    found = hoop_stress(Q(bore, "mm"), Q(wall, "mm"), Q(10, "bar"))
    inner, outer = bore / 2, bore / 2 + wall
    rings = [inner + wall * (step + 0.5) / 2000 for step in range(2000)]
    # Lamé's stress at a radius: p·r² ÷ (R² − r²) × (1 + R² ÷ radius²).
    stresses = [inner**2 / (outer**2 - inner**2) * (1 + (outer / radius) ** 2) for radius in rings]
    assert sum(stresses) / len(stresses) == pytest.approx(found.through_wall, rel=1e-5)
    assert found.at_bore > max(stresses) > found.through_wall


def test_there_is_no_figure_without_the_caution():
    found = hoop_stress(Q(100, "mm"), Q(3, "mm"), Q(6, "bar"))
    assert any(one.topic == "boilers" for one in found.cautions.cautions)
    assert BOILER_SENTENCE in found.cautions.always
    assert CODES in found.cautions.always
    for missing in (Cautions((), found.cautions.always), Cautions(found.cautions.cautions, ())):
        with pytest.raises(ValueError, match="no figure"):
            Shell(missing, 1.0, 1.0, found.working)
