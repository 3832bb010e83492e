"""Sums of dividing, springs, heat, pressure and chance done again another way: each row ours and the other's."""

import itertools
import math
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from scipy import stats

from calcs.shop import change_wheels, dividing, fits, shells, shrinking, springs, three_guesses, tool_life
from calcs.units.registry import registry
from tests.calcs.redone import test_cutting, test_shapes
from tests.calcs.redone.geometry import summed, where_zero

Q = registry().Quantity
Row = tuple[Callable[[], Any], Callable[[], float]]
_WHEELS = (20, 25, 30, 35, 40, 45, 50, 55, 60, 65)


def mm(size: float) -> Any:
    return Q(size, "mm")


def _h(hours: float) -> Any:
    return Q(hours, "h")


def _turns_exactly(divisions: int) -> Fraction:
    return sum((Fraction(40, divisions) for _step in range(divisions)), Fraction(0)) / divisions


def _circles(divisions: int) -> int:
    """Circles of the common set on which some whole number of holes makes the step, tried hole by hole."""
    step = Fraction(40, divisions)
    return sum(
        any(step == whole + Fraction(holes, circle) for whole in range(41) for holes in range(circle))
        for circle in dividing.COMMON_CIRCLES
    )


def _best_pitch(wanted: Fraction, screw: Fraction, wheels: tuple[int, ...]) -> Fraction:
    """The nearest pitch of one pair or two, each wheel used once, tried one by one."""
    pairs = [Fraction(a, b) for a, b in itertools.permutations(wheels, 2)]
    twice = [Fraction(a * b, c * d) for a, b, c, d in itertools.permutations(wheels, 4)]
    return min((screw * ratio for ratio in (*pairs, *twice)), key=lambda pitch: abs(pitch - wanted))


def _spring_rate(wire: float, mean: float, coils: float, shear: float) -> float:
    """N/mm by the work that twists the wire: the force goes down by what each small piece of it turns."""
    polar = summed(lambda radius: 2 * math.pi * radius**3, 0, wire / 2)
    gone = summed(lambda _place: (mean / 2) ** 2 / (shear * polar), 0, math.pi * mean * coils, 50)
    return 1 / gone


def _pulled_apart(inside: float, wall: float, pressure: float) -> float:
    """MPa through a wall, from the push on half of the ring: pressure in MPa, piece by piece of the bore."""
    push = summed(lambda angle: pressure * inside / 2 * math.sin(angle), 0, math.pi)
    return push / (2 * wall)


def _at_bore(inside: float, wall: float, pressure: float) -> float:
    """MPa at the bore: the two constants of a thick ring, from the pressure within and none without."""
    inner, outer = inside / 2, inside / 2 + wall
    first, second = np.linalg.solve([[1, -1 / inner**2], [1, -1 / outer**2]], [-pressure, 0])
    return float(first + second / inner**2)


def _on_log_paper(speed: float, life: float, n: float, other: float) -> float:
    """Minutes of life read off a straight line between two logarithms."""
    line = [(math.log(speed * times), math.log(life) - math.log(times) / n) for times in (0.1, 10)]
    return math.exp(float(np.interp(math.log(other), *zip(*line, strict=True))))


def _curve(low: float, middle: float, high: float) -> Any:
    """The curve behind three guesses."""
    up, down = 1 + 4 * (middle - low) / (high - low), 1 + 4 * (high - middle) / (high - low)
    return stats.beta(up, down, loc=low, scale=high - low)


def _grade(over: float, up_to: float, times: float) -> int:
    size = math.exp((math.log(over) + math.log(up_to)) / 2)
    return round(times * (0.45 * size ** (1 / 3) + 0.001 * size))


ROWS: dict[str, Row] = {
    "turns of the crank, step by step": (
        lambda: float(dividing.divide(127).turns),
        lambda: float(_turns_exactly(127)),
    ),
    "circles that divide, tried hole by hole": (
        lambda: len(dividing.divide(36).settings),
        lambda: _circles(36),
    ),
    "turns for an angle": (
        lambda: float(dividing.divide_angle(Fraction(31, 4)).turns),
        lambda: float(Fraction(31, 4) / Fraction(360, 40)),
    ),
    "change wheels, tried one by one": (
        lambda: float(change_wheels.change_wheels(mm(0.7), mm(3), _WHEELS).trains[0].pitch),
        lambda: float(_best_pitch(Fraction(7, 10), Fraction(3), _WHEELS)),
    ),
    "rate of a spring, by the twist of its wire": (
        lambda: springs.coil_spring(mm(1.2), mm(9), 7.5, mm(6)).rate,
        lambda: _spring_rate(1.2, 9, 7.5, 80_000),
    ),
    "heat for shrinking on, tried until it passes": (
        lambda: shrinking.shrink_fit(mm(25), mm(25.04), mm(0.03), "brass").heat,
        lambda: 20 + where_zero(lambda rise: 25 * (1 + 19e-6 * rise) - 25.07, 0, 900),
    ),
    "stress through a wall, by the push on half a ring": (
        lambda: shells.hoop_stress(mm(90), mm(3), Q(5.5, "bar")).through_wall,
        lambda: _pulled_apart(90, 3, 0.55),
    ),
    "stress at the bore, by its two constants": (
        lambda: shells.hoop_stress(mm(90), mm(3), Q(5.5, "bar")).at_bore,
        lambda: _at_bore(90, 3, 0.55),
    ),
    "life of a tool, off a line on log paper": (
        lambda: tool_life.life_at(Q(30, "m/min"), Q(60, "min"), Q(25, "m/min"), 0.125).life,
        lambda: _on_log_paper(30, 60, 0.125, 25),
    ),
    "speed for a life, tried until it lasts": (
        lambda: tool_life.speed_for_life(Q(30, "m/min"), Q(60, "min"), Q(200, "min"), 0.3).speed,
        lambda: where_zero(lambda speed: 200 - _on_log_paper(30, 60, 0.3, speed), 5, 100),
    ),
    "mean of three guesses, of the curve behind": (
        lambda: three_guesses.three_guesses(_h(2), _h(3), _h(10)).mean / 60,
        lambda: _curve(2, 3, 10).mean(),
    ),
    "width of a tolerance, by the formula": (
        lambda: fits.limits(mm(25), "H8").upper_um,
        lambda: _grade(18, 30, 25),
    ),
}


@pytest.mark.parametrize("name", ROWS)
def test_a_sum_done_another_way_comes_to_the_same(name: str) -> None:
    ours, another = ROWS[name]
    assert ours() == pytest.approx(float(another()), rel=2e-7)


def test_sixty_sums_are_done_again() -> None:
    assert len({**ROWS, **test_cutting.ROWS, **test_shapes.ROWS}) >= 60
