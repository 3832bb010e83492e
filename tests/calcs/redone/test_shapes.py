"""Sums of shapes, stock, threads and angles, done again another way: each row one sum, ours and the other's."""

import cmath
import math
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from calcs.shop import (
    bolt_circle,
    chords,
    corners,
    drills,
    gears,
    over_wires,
    scaling,
    stock,
    tapers,
    threads,
    triangles,
)
from calcs.shop.reference_tables import thread_rows
from calcs.units.registry import registry
from tests.calcs.redone.geometry import angle_of, area_of, polygon, summed, where_zero, width_of

Q = registry().Quantity
Row = tuple[Callable[[], Any], Callable[[], float]]
DENSE = Q(8470, "kg/m**3")


def mm(size: float) -> Any:
    return Q(size, "mm")


def _in_mm(quantity: Any) -> float:
    return float(quantity.to("mm").magnitude)


def _ring(radius: float) -> float:
    return 2 * math.pi * radius


def _weighed_in_pounds(area_mm2: float, long_mm: float) -> float:
    """Kilograms by way of cubic inches and pounds, as the other shop would."""
    return area_mm2 / 25.4**2 * (long_mm / 25.4) * (8.47 / 27.679904710203125) * 0.45359237


def _flank(pitch: float, angle: float, across: float) -> Callable[[float], float]:
    """How wide the groove of a sharp thread is at a radius. across: its pitch diameter."""
    half = math.radians(angle / 2)
    return lambda radius: pitch / 2 + 2 * (radius - across / 2) * math.tan(half)


def _wire_on_flanks(pitch: float, angle: float, across: float, wire: float) -> float:
    """Over three wires: the wire sinks until its surface just touches the sloping flanks."""
    half = math.radians(angle / 2)
    groove = _flank(pitch, angle, across)
    centre = where_zero(lambda radius: groove(radius) / 2 * math.cos(half) - wire / 2, 0.0, across * 2)
    return 2 * centre + wire


def _sharp_height(pitch: float, angle: float) -> float:
    """The height of the triangle that a pitch and an angle make, from its corners."""
    flank = cmath.exp(1j * math.radians(90 - angle / 2))
    return flank.imag / flank.real * pitch / 2


def _tooth(module: float, teeth: int) -> tuple[complex, complex]:
    """Both sides of a tooth at the pitch circle: half of a step apart."""
    radius, half = module * teeth / 2, cmath.exp(1j * math.pi / (2 * teeth))
    return radius * half, radius / half


def _chord_steps(across: float, divisions: int, steps: int) -> float:
    points = polygon(divisions, across / 2)
    return abs(points[steps] - points[0])


def _bars(bar: float, each: float, lost: float, grip: float) -> int:
    """Blanks of a bar, parted off one by one until no more comes off before the grip."""
    number = 0
    while bar - (each + lost) >= grip:
        bar -= each + lost
        number += 1
    return number


_GEAR = gears.spur_gear(mm(0.8), 37)
_HOLES = bolt_circle.bolt_circle(mm(40), 5, centre=(mm(10), mm(-4)), first=30, direction="clockwise")
_TAPER = tapers.taper_from_sizes(mm(25), mm(20), mm(80))
_ISO = threads.iso_thread(mm(10), mm(1.5))
_STEEL_TUBE = stock.tube(mm(40), inner=mm(30))

ROWS: dict[str, Row] = {
    "area of a round bar, ring by ring": (
        lambda: stock.round_bar(mm(23)).area.to("mm**2").m,
        lambda: summed(_ring, 0, 11.5),
    ),
    "area of a hexagon, corner by corner": (
        lambda: stock.hexagon_bar(mm(17)).area.to("mm**2").m,
        lambda: area_of(polygon(6, 17 / 2 / cmath.exp(1j * math.pi / 6).real)),
    ),
    "area of a square, corner by corner": (
        lambda: stock.square_bar(mm(13)).area.to("mm**2").m,
        lambda: area_of([0, 13, 13 + 13j, 13j]),
    ),
    "area of a tube, ring by ring": (lambda: _STEEL_TUBE.area.to("mm**2").m, lambda: summed(_ring, 15, 20)),
    "area of a tube by its wall": (
        lambda: stock.tube(mm(40), wall=mm(5)).area.to("mm**2").m,
        lambda: summed(lambda _radius: math.pi * 35, 0, 5),
    ),
    "area of a flat bar": (
        lambda: stock.flat_bar(mm(40), mm(6)).area.to("mm**2").m,
        lambda: area_of([0, 40, 40 + 6j, 6j]),
    ),
    "volume of a tube, slice by slice": (
        lambda: stock.volume(_STEEL_TUBE, mm(120)).value.to("mm**3").m,
        lambda: summed(lambda _place: math.pi * (20**2 - 15**2), 0, 120),
    ),
    "weight of a tube in pounds": (
        lambda: stock.mass(_STEEL_TUBE, mm(120), DENSE).value.to("kg").m,
        lambda: _weighed_in_pounds(math.pi * (400 - 225), 120),
    ),
    "share cut away, in fractions": (
        lambda: stock.cut_away(Q(30, "cm**3"), Q(12.5, "cm**3")).percent,
        lambda: float(Fraction(30 * 2 - 25, 60) * 100),
    ),
    "bar for a batch, blank by blank": (
        lambda: stock.bar_length(7, mm(30), parting=mm(3), grip=mm(40)).value.to("mm").m,
        lambda: 40 + sum(30 + 3 for _blank in range(7)),
    ),
    "blanks of a bar, parted one by one": (
        lambda: stock.blanks_from_bar(mm(1000), mm(29.7), parting=mm(3), grip=mm(40)).value.m,
        lambda: _bars(1000, 29.7, 3, 40),
    ),
    "nearest drill, tried one by one": (
        lambda: float(drills.nearest_drill(mm(5.13)).nearest.mm),
        lambda: float(min((drill.mm for drill in drills.drills()), key=lambda size: abs(float(size) - 5.13))),
    ),
    "across the corners of a hexagon": (
        lambda: _in_mm(corners.across_corners(mm(10), 6).value),
        lambda: 10 * width_of(polygon(6), 0) / width_of(polygon(6), 30),
    ),
    "across the corners of a square": (
        lambda: _in_mm(corners.across_corners(mm(10), 4).value),
        lambda: 10 * width_of(polygon(4), 0) / width_of(polygon(4), 45),
    ),
    "across the flats of an octagon": (
        lambda: _in_mm(corners.across_flats(mm(10), 8).value),
        lambda: 5 * min(width_of(polygon(8), bearing / 4) for bearing in range(360)),
    ),
    "depth of a flat, from the rim to the flat": (
        lambda: _in_mm(corners.depth_of_flat(mm(20), mm(14)).value),
        lambda: max(point.imag for point in polygon(3600, 10)) - 14 / 2,
    ),
    "sine bar, tried until the angle is right": (
        lambda: _in_mm(corners.sine_bar(mm(100), 12.5).value),
        lambda: where_zero(lambda high: angle_of(math.sqrt(100**2 - high**2) + 1j * high) - 12.5, 0, 99),
    ),
    "angle of a sine bar, from its place": (
        lambda: corners.angle_of_sine_bar(mm(100), mm(25)).value.to("degree").m,
        lambda: angle_of(math.sqrt(100**2 - 25**2) + 25j),
    ),
    "blank of a gear by diametral pitch": (
        lambda: _in_mm(_GEAR.blank),
        lambda: (37 + 2) / (25.4 / 0.8) * 25.4,
    ),
    "pitch diameter of a gear, tooth by tooth": (
        lambda: _in_mm(_GEAR.pitch_diameter),
        lambda: sum(math.pi * 0.8 for _tooth in range(37)) / math.pi,
    ),
    "thickness of a tooth, side to side": (
        lambda: _in_mm(_GEAR.thickness),
        lambda: abs(_tooth(0.8, 37)[0] - _tooth(0.8, 37)[1]),
    ),
    "addendum of a tooth, from tip to chord": (
        lambda: _in_mm(_GEAR.addendum),
        lambda: 0.8 * 37 / 2 + 0.8 - sum(_tooth(0.8, 37)).real / 2,
    ),
    "gears apart, by diametral pitch": (
        lambda: _in_mm(gears.centre_distance(mm(0.8), 37, 22).value),
        lambda: (37 + 22) / (2 * 25.4 / 0.8) * 25.4,
    ),
    "best wire, that touches at the pitch line": (
        lambda: _in_mm(over_wires.best_wire(mm(1.5), 55).value),
        lambda: abs(0.375 + 0.375j * math.tan(math.radians(27.5))) * 2,
    ),
    "over three wires, sunk between the flanks": (
        lambda: _in_mm(over_wires.over_wires(_ISO, 60, mm(0.9)).value),
        lambda: _wire_on_flanks(1.5, 60, _in_mm(_ISO.pitch_diameter), 0.9),
    ),
    "minor diameter of an ISO thread, from its triangle": (
        lambda: _in_mm(_ISO.minor),
        lambda: 10 - 2 * Fraction(5, 8) * _sharp_height(1.5, 60),
    ),
    "pitch diameter of an ISO thread, where ridge and groove are one width": (
        lambda: _in_mm(_ISO.pitch_diameter),
        lambda: 10 - 2 * where_zero(lambda down: 1.5 / 8 + 2 * down * math.tan(math.pi / 6) - 1.5 / 2, 0, 1.5),
    ),
    "depth of a Whitworth thread, from its triangle": (
        lambda: _in_mm(threads.sizes_of(threads.find_thread("1/4 BSW")).height),
        lambda: _sharp_height(25.4 / 20, 55) * 2 / 3,
    ),
    "tapping drill, tried until the per cent is right": (
        lambda: _in_mm(threads.tapping_drill(mm(10), mm(1.5), 70).value),
        lambda: where_zero(lambda drill: 70 - (10 - drill) / (2 * 0.75 * _sharp_height(1.5, 60)) * 100, 7, 10),
    ),
    "chord of seven steps": (
        lambda: _in_mm(chords.step_off(mm(80), 7).value),
        lambda: _chord_steps(80, 7, 1),
    ),
    "straight across three of seven steps": (
        lambda: _in_mm(chords.step_off(mm(80), 7).across[2]),
        lambda: _chord_steps(80, 7, 3),
    ),
    "third hole of a circle, x": (
        lambda: _in_mm(_HOLES.holes[2].x),
        lambda: (10 - 4j + 40 * cmath.exp(1j * math.radians(30 - 2 * 72))).real,
    ),
    "third hole of a circle, y": (
        lambda: _in_mm(_HOLES.holes[2].y),
        lambda: (10 - 4j + 40 * cmath.exp(1j * math.radians(30 - 2 * 72))).imag,
    ),
    "from hole to hole": (lambda: _in_mm(_HOLES.chord), lambda: _chord_steps(80, 5, 1)),
    "angle of a taper": (lambda: _TAPER.included, lambda: 2 * angle_of(80 + 2.5j)),
    "taper for each foot": (lambda: _TAPER.per_foot.to("inch").m, lambda: (25 - 20) / 25.4 / (80 / 25.4 / 12)),
    "taper of an angle, tried until it fits": (
        lambda: tapers.taper_from_angle(8).rate,
        lambda: where_zero(lambda rate: 2 * angle_of(1 + 0.5j * rate) - 8, 0, 1),
    ),
    "set-over, as the larger end stands off": (
        lambda: _in_mm(tapers.tailstock_set_over(_TAPER, mm(200)).value),
        lambda: float(Fraction(25 - 20, 80) * 200 / 2),
    ),
    "hypotenuse, as a distance": (
        lambda: _in_mm(triangles.right_triangle(a=mm(30), b=mm(50)).c),
        lambda: abs(50 + 30j),
    ),
    "angle of two sides": (lambda: triangles.right_triangle(a=mm(30), b=mm(50)).alpha, lambda: angle_of(50 + 30j)),
    "other side, tried until the distance is right": (
        lambda: _in_mm(triangles.right_triangle(a=mm(30), c=mm(50)).b),
        lambda: where_zero(lambda b: abs(b + 30j) - 50, 0, 50),
    ),
    "hypotenuse of a side and an angle": (
        lambda: _in_mm(triangles.right_triangle(a=mm(30), alpha=35).c),
        lambda: 30 / cmath.exp(1j * math.radians(35)).imag,
    ),
    "side beside an angle": (
        lambda: _in_mm(triangles.right_triangle(c=mm(30), beta=35).b),
        lambda: (30 * cmath.exp(1j * math.radians(55))).real,
    ),
    "swept volume, slice by slice": (
        lambda: scaling.swept_volume(mm(25), mm(30), 3).value.to("mm**3").m,
        lambda: 3 * summed(lambda _place: summed(_ring, 0, 12.5, 500), 0, 30, 50),
    ),
    "weight of a model, cube by cube": (
        lambda: scaling.to_model(Q(640, "kg"), Fraction(1, 8)).value.to("kg").m,
        lambda: 640 * len([0]) / len([(x, y, z) for x in range(8) for y in range(8) for z in range(8)]),
    ),
}


@pytest.mark.parametrize("name", ROWS)
def test_a_sum_done_another_way_comes_to_the_same(name: str) -> None:
    ours, another = ROWS[name]
    assert ours() == pytest.approx(float(another()), rel=2e-7)


def _from_triangle(row: Any) -> tuple[float, float]:
    """Pitch and minor diameter of a thread in mm, from its sharp triangle and how much of that is cut away."""
    sharp, major = _sharp_height(float(row.pitch), row.angle), float(row.major)
    # ISO 68-1: an eighth off the crest and a quarter off the root; BS 84: a sixth off either; BS 93: six tenths of the
    # pitch deep.
    crest, deep = {60: (sharp / 8, sharp * 5 / 8), 55: (sharp / 6, sharp * 2 / 3)}.get(
        row.angle, (sharp / 2 - 0.3 * float(row.pitch), 0.6 * float(row.pitch))
    )
    return major - 2 * (sharp / 2 - crest), major - 2 * deep


def test_every_thread_of_the_tables_follows_from_its_triangle() -> None:
    rows = thread_rows()
    assert len(rows) > 200
    for row in rows.values():
        sizes = threads.sizes_of(row)
        found = _in_mm(sizes.pitch_diameter), _in_mm(sizes.minor)
        assert found == pytest.approx(_from_triangle(row), rel=2e-6), row.name
