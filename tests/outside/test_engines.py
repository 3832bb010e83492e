"""Cylinders, cranks, scale and flywheels against published engines, against mechanics done another way, and by hand."""

import math
from fractions import Fraction

import pytest
from scipy.integrate import quad
from scipy.optimize import fsolve

from calcs.engines.cylinders import cylinder_volumes, mean_piston_speed
from calcs.engines.engine_scale import by_piston_speed, by_turns
from calcs.engines.flywheels import BURSTING, WHO_DECIDES, Rim, flywheel, rim_stress, turns_of_energy
from calcs.engines.slider_crank import exact_motion, piston_at, two_term_motion
from calcs.shop.cautions import Cautions
from calcs.units.registry import registry

Q = registry().Quantity


@pytest.mark.parametrize(
    ("bore", "stroke", "cylinders", "unit", "swept", "within"),
    [
        # Published sizes of full-size engines, from memory: bore, stroke, number, and the volume that went by.
        (5.4, 6.0, 12, "inch", 1649, 1),  # Rolls-Royce Merlin
        (5.75, 5.75, 9, "inch", 1344, 1),  # Pratt & Whitney Wasp
        (6.125, 6.875, 9, "inch", 1823, 1),  # Wright Cyclone
        (5.2, 5.25, 4, "inch", 446, 1),
        (4.0, 3.48, 8, "inch", 350, 0.5),
        (146, 190, 9, "mm", 28_700, 100),  # Bristol Jupiter
        (110, 120, 7, "mm", 8_000, 30),  # Gnome Omega
        (146, 165, 14, "mm", 38_700, 100),  # Bristol Hercules
    ],
)
def test_engines_sweep_what_is_published_of_them(bore, stroke, cylinders, unit, swept, within):
    found = cylinder_volumes(Q(bore, unit), Q(stroke, unit), cylinders)
    assert found.whole.magnitude == pytest.approx(swept, abs=within)
    assert found.one.magnitude * cylinders == pytest.approx(found.whole.magnitude, rel=1e-9)


def test_a_compression_ratio_and_its_clearance_give_each_other():
    # By hand: 100 cm³ above 20 cm³ is 120 ÷ 20 = 6.
    bore = Q(math.sqrt(400 / math.pi / 10), "cm")
    swept = cylinder_volumes(bore, Q(10, "cm"), clearance=Q(20, "cm**3"))
    assert swept.one.magnitude == pytest.approx(100)
    assert swept.compression == pytest.approx(6)
    back = cylinder_volumes(bore, Q(10, "cm"), 3, compression=6.0)
    assert back.clearance.magnitude == pytest.approx(20)
    with pytest.raises(ValueError, match="not both"):
        cylinder_volumes(bore, Q(1, "cm"), clearance=Q(1, "cm**3"), compression=6.0)


@pytest.mark.parametrize(
    ("stroke", "unit", "turns", "speed"),
    [
        # Mean piston speed = 2 × stroke × rev/min (common practice). Merlin, 3000 rev/min, 6 in: 3000 ft/min.
        (6, "inch", 3000, 3000),
        (0.5, "inch", 12_000, 1000),
        (100, "mm", 3000, 10),
        (25, "mm", 600, 0.5),
    ],
)
def test_mean_piston_speed(stroke, unit, turns, speed):
    assert mean_piston_speed(Q(stroke, unit), turns).value.magnitude == pytest.approx(speed)


@pytest.mark.parametrize("angle", [0, 1, 37, 90, 143.5, 180, 211, 270, 359])
@pytest.mark.parametrize("rods", [1.5, 3.0, 4.5])
def test_the_piston_stands_where_the_lengths_of_crank_and_rod_put_it(rods, angle):
    crank, rod = 20.0, 20.0 * rods
    place = exact_motion(crank, rod, angle, 1.0).place
    x, y = crank * math.cos(math.radians(angle)), crank * math.sin(math.radians(angle))
    # The piston pin is on the axis, one rod from the crank pin: solved as a constraint.
    [pin] = fsolve(lambda at: (at - x) ** 2 + y**2 - rod**2, [crank + rod])
    assert place == pytest.approx(crank + rod - pin, abs=1e-7)


@pytest.mark.parametrize("angle", range(0, 360, 15))
def test_speed_and_acceleration_are_what_the_place_changes_by(angle):
    crank, rod, turns = 20.0, 62.0, 1500
    pin = 2 * math.pi * crank * turns / 60_000
    exact = exact_motion(crank, rod, angle, pin)
    per_degree = 360 * turns / 60  # degrees a second

    def place(at):
        return exact_motion(crank, rod, at, pin).place / 1000

    step = 0.01
    speed = (place(angle + step) - place(angle - step)) / (2 * step) * per_degree
    push = (place(angle + step) - 2 * place(angle) + place(angle - step)) / step**2 * per_degree**2
    assert exact.speed == pytest.approx(speed, abs=1e-5)
    assert exact.acceleration == pytest.approx(push, abs=0.05)
    rough = two_term_motion(crank, rod, angle, pin)
    # What is left out is of the third power of crank ÷ rod.
    assert rough.place == pytest.approx(exact.place, abs=crank * (crank / rod) ** 3 / 4)
    assert rough.acceleration == pytest.approx(exact.acceleration, abs=pin**2 * 1000 / crank * (crank / rod) ** 3)


def test_the_ends_of_the_stroke_are_those_of_the_textbooks():
    # Common practice: r·ω²·(1 + r ÷ l) at the top, r·ω²·(1 − r ÷ l) at the bottom, by two terms and exactly.
    crank, rod, pin = 25.0, 100.0, 3.0
    for motion in (exact_motion, two_term_motion):
        assert motion(crank, rod, 0, pin).acceleration == pytest.approx(pin**2 / 0.025 * 1.25)
        assert motion(crank, rod, 180, pin).acceleration == pytest.approx(-(pin**2) / 0.025 * 0.75)
        assert motion(crank, rod, 180, pin).place == pytest.approx(50)
    # At a right angle the rod of four cranks has taken the piston 4 − √15 = 0.127 cranks past half way.
    assert exact_motion(crank, rod, 90, pin).place / crank == pytest.approx(1 + 4 - math.sqrt(15))


def test_a_piston_is_the_same_in_inches_and_says_what_two_terms_make_of_it():
    metric = piston_at(Q(50.8, "mm"), Q(101.6, "mm"), 60, 900)
    inches = piston_at(Q(2, "inch"), Q(4, "inch"), 60, 900)
    assert inches.place.to("mm").magnitude == pytest.approx(metric.place.magnitude)
    assert inches.speed.to("m/s").magnitude == pytest.approx(metric.speed.magnitude)
    assert inches.acceleration.to("m/s**2").magnitude == pytest.approx(metric.acceleration.magnitude)
    assert sum("two terms" in step.formula for step in metric.working.steps) == 3
    assert piston_at(Q(50, "mm"), Q(100, "mm"), 60).speed is None
    assert piston_at(Q(50, "mm"), Q(100, "mm"), -90).angle == 270
    with pytest.raises(ValueError, match="longer than the crank"):
        piston_at(Q(50, "mm"), Q(25, "mm"), 0)


def test_a_model_with_pistons_as_fast_as_in_full_size():
    # Derived: power = pressure × area × piston speed; at 1:6 rev/min × 6, power ÷ 36, turning force ÷ 216.
    model = by_piston_speed(150, Fraction(1, 6), Q(36, "kW"))
    assert model.turns == pytest.approx(900)
    assert model.power.to("watt").magnitude == pytest.approx(1000)
    assert model.torque_share == pytest.approx(1 / 216)
    # Second formula: power = turning force × turns.
    assert model.power_share == pytest.approx(model.torque_share * model.turns / 150)
    slow = by_turns(150, Fraction(1, 6))
    assert (slow.turns, slow.power) == (150, None)
    assert slow.power_share == pytest.approx(1 / 216)
    full, small = mean_piston_speed(Q(300, "mm"), 150), mean_piston_speed(Q(50, "mm"), model.turns)
    assert small.value.magnitude == pytest.approx(full.value.magnitude)


def test_a_disc_and_a_rim_hold_what_their_rings_hold_together():
    # Second way: the energy of thin rings, added up from the middle outwards.
    def rings(inner, outer, width, density, turns):
        fast = 2 * math.pi * turns / 60
        return quad(lambda r: density * width * 2 * math.pi * r * (r * fast) ** 2 / 2, inner, outer)[0]

    disc = flywheel(Q(200, "mm"), Q(20, "mm"), Q(7850, "kg/m**3"), 600, 5)
    assert disc.energy == pytest.approx(rings(0, 0.1, 0.02, 7850, 600), rel=1e-9)
    rim = flywheel(Q(12, "inch"), Q(1, "inch"), Q(7200, "kg/m**3"), 300, 10, Q(10, "inch"))
    assert rim.energy == pytest.approx(rings(0.127, 0.1524, 0.0254, 7200, 300), rel=1e-9)
    # By hand: of the energy at the mean speed, (1.05² − 0.95²) = 0.2 goes in a swing of a tenth.
    assert rim.given == pytest.approx(rim.energy * (1.05**2 - 0.95**2))
    assert turns_of_energy(50, Q(100, "watt"), 600) == pytest.approx(5)


def test_a_flywheel_in_inches_is_worked_out_in_pounds_and_feet():
    inches = flywheel(Q(8, "inch"), Q(1, "inch"), Q(450, "lb/ft**3"), 500, 4)
    metric = flywheel(Q(203.2, "mm"), Q(25.4, "mm"), Q(450, "lb/ft**3"), 500, 4)
    assert inches.energy == pytest.approx(metric.energy)
    foot_pounds = inches.workings[-1].steps[-2].result
    assert foot_pounds == pytest.approx(Q(metric.energy, "joule").to("foot * force_pound").magnitude)


@pytest.mark.parametrize(("feet_a_second", "psi"), [(50, 250), (88, 774), (100, 1000)])
def test_the_rim_of_a_cast_iron_wheel_is_pulled_by_about_the_square_of_its_speed_over_ten(feet_a_second, psi):
    # Old engineers' rule for cast iron of 0.26 lb/in³: pounds to the square inch = (ft/s)² ÷ 10, from memory; the true
    # factor of that weight is 1 ÷ 10.31.
    turns = feet_a_second * 60 / (math.pi * 3)
    rim = rim_stress(Q(36, "inch"), Q(0.26, "lb/inch**3"), turns)
    found = Q(rim.stress, "MPa").to("psi").magnitude
    assert found == pytest.approx(psi, rel=0.04)
    assert found == pytest.approx(feet_a_second**2 / 10.31, rel=1e-3)
    assert rim.speed.to("ft/s").magnitude == pytest.approx(feet_a_second)


def test_half_a_ring_is_held_by_what_throws_it_outwards():
    # Second way: what throws each half outwards, ∫ρ·A·v²·sin φ dφ over half the ring, is held by two sections.
    rim = rim_stress(Q(500, "mm"), Q(7850, "kg/m**3"), 1200)
    fast, area = math.pi * 0.5 * 1200 / 60, 0.001
    thrown = quad(lambda angle: 7850 * area * fast**2 * math.sin(angle), 0, math.pi)[0]
    assert rim.stress * 1e6 == pytest.approx(thrown / (2 * area))


def test_no_figure_of_a_rim_comes_without_its_caution():
    rim = rim_stress(Q(500, "mm"), Q(7850, "kg/m**3"), 1200)
    assert rim.cautions.cautions[0].words == BURSTING
    assert WHO_DECIDES in rim.cautions.always
    with pytest.raises(ValueError, match="caution about bursting is missing"):
        Rim(Cautions((), ()), rim.speed, rim.stress, rim.working)
