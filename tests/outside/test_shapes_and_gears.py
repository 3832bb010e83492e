"""Corners, sine bars and gears against published tables."""

import math

import pytest

from calcs.shop.corners import across_corners, across_flats, angle_of_sine_bar, depth_of_flat, sine_bar
from calcs.shop.gears import OLD_DEPTH, centre_distance, cutter_number, spur_gear
from calcs.units.registry import registry

Q = registry().Quantity


@pytest.mark.parametrize(("sides", "factor"), [(4, 1.41421), (6, 1.15470), (8, 1.08239)])
def test_across_corners(sides, factor):
    # Machinery's Handbook, distance across corners of squares, hexagons and octagons, from memory.
    assert across_corners(Q(1, "inch"), sides).value.magnitude == pytest.approx(factor, abs=6e-6)
    back = across_flats(across_corners(Q(7, "mm"), sides).value, sides).value
    assert back.magnitude == pytest.approx(7, rel=1e-12)


@pytest.mark.parametrize(
    ("flats", "corners"), [(5.5, 6.01), (7, 7.66), (8, 8.79), (10, 11.05), (13, 14.38), (17, 18.90)]
)
def test_a_bolt_head_is_not_larger_than_the_geometry_and_not_smaller_than_the_standard(flats, corners):
    # ISO 4014, least across corners of the hexagon by its size across flats, from memory.
    assert corners < across_corners(Q(flats, "mm"), 6).value.magnitude < corners * 1.06


def test_the_depth_of_a_flat_is_half_of_what_goes():
    # By hand: a square of 14 mm from a bar of 20 mm is (20 − 14) ÷ 2 = 3 mm deep.
    assert depth_of_flat(Q(20, "mm"), Q(14, "mm")).value.magnitude == 3
    with pytest.raises(ValueError, match="nothing to cut"):
        depth_of_flat(Q(14, "mm"), Q(14, "mm"))
    with pytest.raises(ValueError, match="4, 6 or 8"):
        across_corners(Q(1, "mm"), 5)


@pytest.mark.parametrize(
    ("angle", "height"), [(1, 0.08726), (5, 0.43578), (10, 0.86824), (15, 1.29410), (30, 2.5), (45, 3.53553)]
)
def test_constants_of_a_five_inch_sine_bar(angle, height):
    # Machinery's Handbook, constants for a 5-inch sine bar, from memory.
    assert sine_bar(Q(5, "inch"), angle).value.magnitude == pytest.approx(height, abs=6e-6)
    assert angle_of_sine_bar(Q(5, "inch"), Q(height, "inch")).value.magnitude == pytest.approx(angle, abs=2e-4)


def test_blocks_as_high_as_the_sine_bar_is_long_are_refused():
    with pytest.raises(ValueError, match="not lower"):
        angle_of_sine_bar(Q(100, "mm"), Q(100, "mm"))


@pytest.mark.parametrize(
    ("teeth", "thickness", "addendum"),
    [
        # Machinery's Handbook, chordal thicknesses and addenda of teeth of 1 diametral pitch, inches, from memory.
        (12, 1.5663, 1.0514), (20, 1.5692, 1.0308), (30, 1.5701, 1.0206), (50, 1.5705, 1.0123), (135, 1.5708, 1.0046),
    ],
)  # fmt: skip
def test_chordal_thickness_and_addendum(teeth, thickness, addendum):
    gear = spur_gear(Q(1, "inch"), teeth)
    assert gear.thickness.magnitude == pytest.approx(thickness, abs=1.1e-4)
    assert gear.addendum.magnitude == pytest.approx(addendum, abs=1.1e-4)


def test_a_gear_of_twenty_diametral_pitch():
    # Common practice: outside diameter = (teeth + 2) ÷ DP, depth 2.157 ÷ DP.
    gear = spur_gear(Q(1 / 20, "inch"), 40, OLD_DEPTH)
    assert gear.blank.magnitude == pytest.approx(2.1, rel=1e-12)
    assert gear.pitch_diameter.magnitude == pytest.approx(2.0, rel=1e-12)
    assert gear.depth.magnitude == pytest.approx(0.1079, abs=6e-5)
    assert (gear.cutter, gear.remarks) == (3, ())


def test_the_set_of_eight_cutters():
    # Common practice: number 1 from 135 teeth to a rack, 2 from 55, 3 from 35, 4 from 26, 5 from 21, 6 from 17, 7 from
    # 14, 8 from 12.
    fewest = {135: 1, 55: 2, 35: 3, 26: 4, 21: 5, 17: 6, 14: 7, 12: 8}
    for teeth, number in fewest.items():
        assert cutter_number(teeth) == number
        assert cutter_number(teeth - 1) == (number + 1 if number < 8 else None)


def test_few_teeth_are_cut_under():
    # Plane geometry: a rack of 20° cuts under below 2 ÷ sin² 20° teeth.
    assert 2 / math.sin(math.radians(20)) ** 2 == pytest.approx(17.1, abs=0.01)
    assert "cut under" in spur_gear(Q(1, "mm"), 16).remarks[0]
    assert spur_gear(Q(1, "mm"), 17).remarks == ()


def test_two_gears_stand_apart_by_half_their_pitch_diameters():
    one, two = spur_gear(Q(0.8, "mm"), 37), spur_gear(Q(0.8, "mm"), 22)
    half = (one.pitch_diameter.magnitude + two.pitch_diameter.magnitude) / 2
    assert centre_distance(Q(0.8, "mm"), 37, 22).value.magnitude == pytest.approx(half, rel=1e-12)
