"""Sums of cutting done again another way: each row one sum, ours and the other's."""

import math
from collections.abc import Callable
from typing import Any

import pytest

from calcs import cutting
from calcs.cutting import Depths, SetUp
from calcs.units.registry import registry
from tests.calcs.redone.geometry import summed, where_zero

Q = registry().Quantity
Row = tuple[Callable[[], Any], Callable[[], float]]
AT_400 = SetUp(spindle_speed=400)
AT_30 = SetUp(Q(30, "m/min"))


def mm(size: float) -> Any:
    return Q(size, "mm")


def _turned(long: float, feed: float, turns: float) -> float:
    """Minutes turn by turn, the last one in part."""
    whole = int(long / feed)
    return sum(1 / turns for _turn in range(whole)) + (long - whole * feed) / feed / turns


def _gone_through(cut: Any, area: float, long: float) -> float:
    """What a cut removes in a minute: all that it takes away, by the time that it takes."""
    return area * long / float(cut.minutes)


def _faced_in_rings(outer: float, inner: float, feed: float, speed: float) -> float:
    """Minutes at a constant speed of the surface, ring by ring."""
    return summed(lambda radius: 2 * math.pi * radius / (1000 * speed) / feed, inner / 2, outer / 2)


def _point(across: float, angle: float) -> float:
    """How far the point of a drill stands out: down its lip until the rim."""
    return where_zero(lambda deep: deep * math.tan(math.radians(angle / 2)) - across / 2, 0, across * 5)


def _way_in(radius: float, deep: float) -> float:
    """How far a cutter's axis is from the corner of the work when its rim first touches, tried back from there."""
    return where_zero(lambda way: math.hypot(way, radius - deep) - radius, 0, radius * 2)


def _face_way_in(radius: float, wide: float) -> float:
    """How far a face mill goes from its first touch until the whole width is in the cut."""
    return radius - where_zero(lambda way: math.hypot(way, wide / 2) - radius, 0, radius)


def _ridge(feed: float, nose: float) -> float:
    """The ridge between two rounds, µm, from where they meet."""
    meets = where_zero(lambda high: math.hypot(feed / 2, nose - high) - nose, nose, 0)
    return 1000 * meets


def _minutes_of_strokes(strokes: int, forward: float, back: float) -> float:
    return sum(forward + back for _stroke in range(strokes))


_TURNED = cutting.turning(mm(20), mm(75), mm(0.13), AT_400, Depths(mm(1), mm(0.5)))
_BORED = cutting.boring(mm(20), mm(75), mm(0.13), AT_400, Depths(mm(0.5)))
_DRILLED = cutting.drilling(mm(8), mm(25), mm(0.12), AT_400)
_REAMED = cutting.reaming(mm(10), mm(40), mm(0.2), AT_400, drilled=mm(9.7), out_at_feed=True)
_SLAB = cutting.peripheral_milling(mm(70), 5, mm(0.25), mm(400), SetUp(Q(60, "m/min")), Depths(mm(6.5)), width=mm(50))
_FACED = cutting.face_milling(mm(63), 5, mm(0.1), mm(120), mm(40), AT_400, Depths(mm(1)))
_LOADED = SetUp(spindle_speed=400, specific_energy=Q(2.5, "J/mm**3"))
_PULLED = cutting.turning(mm(40), mm(75), mm(0.13), _LOADED, Depths(mm(1)))

ROWS: dict[str, Row] = {
    "spindle speed, by the way of a point in a minute": (
        lambda: cutting.spindle_speed(Q(30, "m/min"), mm(20)).value.to("rpm").m,
        lambda: 30_000 / summed(lambda _angle: 10.0, 0, 2 * math.pi),
    ),
    "turning, turn by turn": (lambda: _TURNED.minutes, lambda: 2 * _turned(75, 0.13, 400)),
    "turning, what comes off": (
        lambda: _TURNED.removal_rate.to("mm**3/min").m,
        lambda: 2 * _gone_through(_TURNED, math.pi * (10**2 - 9.5**2), 75),
    ),
    "boring, turn by turn": (lambda: _BORED.minutes, lambda: _turned(75, 0.13, 400)),
    "boring, what comes off": (
        lambda: _BORED.removal_rate.to("mm**3/min").m,
        lambda: _gone_through(_BORED, math.pi * (10**2 - 9.5**2), 75),
    ),
    "drilling, with its point": (
        lambda: _DRILLED.minutes,
        lambda: _turned(25 + _point(8, 118), 0.12, 400),
    ),
    "drilling, what comes off": (
        lambda: _DRILLED.removal_rate.to("mm**3/min").m,
        lambda: summed(lambda radius: 2 * math.pi * radius, 0, 4) * 0.12 * 400,
    ),
    "drilling by pecks, one by one": (
        lambda: (
            cutting.drilling(mm(8), mm(25), mm(0.12), AT_400, point_angle=None, peck=mm(6), peck_time=Q(4, "s")).minutes
        ),
        lambda: _turned(25, 0.12, 400) + sum(4 / 60 for done in (6, 12, 18, 24) if done < 25),
    ),
    "reaming in and out": (lambda: _REAMED.minutes, lambda: 2 * _turned(40, 0.2, 400)),
    "reaming, what comes off": (
        lambda: _REAMED.removal_rate.to("mm**3/min").m,
        lambda: summed(lambda radius: 2 * math.pi * radius, 9.7 / 2, 5) * 0.2 * 400,
    ),
    "facing at one spindle speed, turn by turn": (
        lambda: cutting.facing(mm(60), mm(0.07), AT_400, inner=mm(30)).minutes,
        lambda: _turned(15, 0.07, 400),
    ),
    "facing at one surface speed, ring by ring": (
        lambda: cutting.facing(mm(60), mm(0.07), AT_30, inner=mm(30), constant="surface speed").minutes,
        lambda: _faced_in_rings(60, 30, 0.07, 30),
    ),
    "parting off, turn by turn": (
        lambda: cutting.parting(mm(23), mm(0.03), AT_400).minutes,
        lambda: _turned(11.5, 0.03, 400),
    ),
    "slab milling, with the way in": (
        lambda: _SLAB.minutes,
        lambda: (400 + _way_in(35, 6.5)) / (60_000 / (math.pi * 70) * 5 * 0.25),
    ),
    "slab milling, what comes off": (
        lambda: _SLAB.removal_rate.to("mm**3/min").m,
        lambda: 6.5 * 50 * sum(60_000 / (math.pi * 70) * 0.25 for _tooth in range(5)),
    ),
    "face milling, with the way in": (
        lambda: _FACED.minutes,
        lambda: (120 + _face_way_in(31.5, 40)) / (5 * 0.1 * 400),
    ),
    "an open slot": (
        lambda: cutting.slot_milling(mm(6), 2, mm(0.05), mm(97), mm(3), AT_400).minutes,
        lambda: (97 + _face_way_in(3, 6)) / (2 * 0.05 * 400),
    ),
    "a closed slot, plunge by plunge": (
        lambda: (
            cutting.slot_milling(
                mm(6), 2, mm(0.05), mm(46), mm(3), AT_400, Depths(depth_per_pass=mm(1)), closed=True
            ).minutes
        ),
        lambda: sum(1 / (40 * 0.5) + (46 - 6) / 40 for _layer in (1, 2, 3)),
    ),
    "a pocket, path by path": (
        lambda: (
            cutting.pocket_milling(
                mm(10), 2, mm(0.05), Q(10, "cm**3"), AT_400, stepover=mm(5), depth_per_pass=mm(2)
            ).minutes
        ),
        lambda: sum(100 / 40 for _path in range(int(10_000 / (100 * 5 * 2)))),
    ),
    "tapping in and out, turn by turn": (
        lambda: cutting.tapping(mm(6), mm(1), mm(20), AT_400, return_ratio=2, holes=3).minutes,
        lambda: sum(20 / 400 + 20 / 800 for _hole in range(3)),
    ),
    "cutting a thread of two starts, pass by pass": (
        lambda: (
            cutting.threading(
                mm(20),
                mm(2),
                mm(40),
                SetUp(spindle_speed=100, return_time=Q(6, "s")),
                Depths(passes=8),
                spring_passes=2,
                starts=2,
            ).minutes
        ),
        lambda: sum(40 / (2 * 2) / 100 + 0.1 for _pass in range(2 * 10)),
    ),
    "shaping, stroke by stroke": (
        lambda: cutting.shaping(mm(250), mm(120), mm(0.5), SetUp(Q(15, "m/min"))).minutes,
        lambda: _minutes_of_strokes(240, 250 / 15_000, 250 / 15_000 * 2 / 3),
    ),
    "grinding a flat, stroke by stroke": (
        lambda: (
            cutting.surface_grinding(
                mm(160),
                mm(40),
                Depths(mm(0.2), mm(0.02)),
                SetUp(approach=mm(20), overtravel=mm(20)),
                table_speed=Q(8, "m/min"),
                cross_feed=mm(2),
                spark_out=2,
            ).minutes
        ),
        lambda: sum(_minutes_of_strokes(20, 200 / 8000, 0) for _layer in range(10 + 2)),
    ),
    "sawing, in inches": (
        lambda: cutting.sawing(Q(600, "mm**2"), Q(20, "cm**2/min"), cuts=3).minutes,
        lambda: 3 * (600 / 25.4**2) / (2000 / 25.4**2),
    ),
    "power, from force and speed": (
        lambda: _PULLED.power.to("W").m,
        lambda: 2.5e9 * (0.13e-3 * 1e-3) * (math.pi * 0.039 * 400 / 60),
    ),
    "torque, from the force on its arm": (
        lambda: _PULLED.torque.to("N*m").m,
        lambda: 2.5e9 * (0.13e-3 * 1e-3) * 0.039 / 2,
    ),
}


@pytest.mark.parametrize("name", ROWS)
def test_a_sum_done_another_way_comes_to_the_same(name: str) -> None:
    ours, another = ROWS[name]
    assert ours() == pytest.approx(float(another()), rel=2e-7)


def test_the_ridge_of_a_round_nose_is_within_a_hundredth_of_where_two_rounds_meet() -> None:
    # The sum takes the parabola for the round, as the trade does.
    ours = cutting.theoretical_finish(mm(0.2), mm(0.8)).value.to("µm").m
    assert ours == pytest.approx(_ridge(0.2, 0.8), rel=0.01)
