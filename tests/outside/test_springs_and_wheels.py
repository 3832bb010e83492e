"""Coil springs and change wheels against worked examples and against every train there is."""

from fractions import Fraction
from itertools import permutations

import pytest

from calcs.shop.change_wheels import COMMON_WHEELS, change_wheels
from calcs.shop.springs import coil_spring
from calcs.units.registry import registry

Q = registry().Quantity


def test_a_spring_of_music_wire_done_by_hand():
    # G·d⁴ ÷ (8·D³·n) = 80,000 × 16 ÷ (8 × 8000 × 10) = 2 N/mm; C = 10, K = 39 ÷ 36 + 0.0615 = 1.14483;
    # 1.14483 × 8 × 40 × 20 ÷ (π × 8) = 291.5 MPa at 20 mm.
    spring = coil_spring(Q(2, "mm"), Q(20, "mm"), 10, Q(20, "mm"))
    assert (spring.rate, spring.force, spring.index) == pytest.approx((2, 40, 10))
    assert spring.stress == pytest.approx(291.5, abs=0.06)
    # Shigley, strength of music wire, from memory: 2211 ÷ 2^0.145 = 1999.6 MPa, of which 45 %.
    assert spring.usual_most == pytest.approx(899.8, abs=0.2)
    assert spring.remarks == ()


def test_a_spring_in_inches_is_the_same_spring():
    metric = coil_spring(Q(2, "mm"), Q(20, "mm"), 10, Q(20, "mm"), "phosphor bronze")
    inches = coil_spring(Q(2 / 25.4, "inch"), Q(20 / 25.4, "inch"), 10, Q(20 / 25.4, "inch"), "phosphor bronze")
    assert (inches.rate, inches.stress) == pytest.approx((metric.rate, metric.stress), rel=1e-9)


def test_a_spring_that_would_take_a_set_or_winds_badly_says_so():
    hard = coil_spring(Q(1, "mm"), Q(3, "mm"), 5, Q(10, "mm"), "stainless steel")
    assert any("take a set" in one for one in hard.remarks)
    assert any("4 to 12 wires" in one for one in hard.remarks)
    thin = coil_spring(Q(0.05, "mm"), Q(0.4, "mm"), 5, Q(1, "mm"))
    assert thin.usual_most is None
    assert any("does not reach" in one for one in thin.remarks)
    with pytest.raises(ValueError, match="tighter than twice its wire"):
        coil_spring(Q(2, "mm"), Q(3, "mm"), 5, Q(1, "mm"))
    with pytest.raises(ValueError, match="one of music wire"):
        coil_spring(Q(1, "mm"), Q(9, "mm"), 5, Q(1, "mm"), "copper")


@pytest.mark.parametrize(
    ("pitch", "leadscrew", "wheels", "ratio"),
    [
        # Common practice: 127 teeth cut metric threads exactly on a leadscrew in inches; 1 mm on 8 tpi is 40/127.
        (Q(1, "mm"), Q(1 / 8, "inch"), COMMON_WHEELS, Fraction(40, 127)),
        (Q(1 / 40, "inch"), Q(1 / 8, "inch"), COMMON_WHEELS, Fraction(1, 5)),
        (Q(1 / 20, "inch"), Q(3, "mm"), (20, 60, 100, 127), Fraction(127, 300)),
    ],
)
def test_known_threads_are_cut_exactly(pitch, leadscrew, wheels, ratio):
    found = change_wheels(pitch, leadscrew, wheels)
    assert found.ratio == ratio
    assert found.error == 0
    train = found.trains[0]
    cut = Fraction(1)
    for driver, driven in zip(train.drivers, train.driven, strict=True):
        cut *= Fraction(driver, driven)
    assert cut == ratio


@pytest.mark.parametrize("pitch", [0.35, 0.7, 0.81, 1.25])
def test_no_train_of_the_wheels_comes_nearer(pitch):
    wheels = (20, 25, 30, 35, 38, 40, 45, 50)
    screw = Fraction("3.175")
    found = change_wheels(Q(pitch, "mm"), Q(1 / 8, "inch"), wheels)
    pairs = [screw * Fraction(a, b) for a, b in permutations(wheels, 2)]
    fours = [screw * Fraction(a * c, b * d) for a, b, c, d in permutations(wheels, 4)]
    wanted = Fraction(str(pitch))
    best = min(abs(cut - wanted) for cut in pairs + fours)
    assert abs(found.trains[0].pitch - wanted) == best
    assert found.error == pytest.approx(float((found.trains[0].pitch - wanted) / wanted * 100))
    assert all(len({*train.drivers, *train.driven}) == 2 * len(train.drivers) for train in found.trains)


def test_too_few_or_too_many_wheels_are_refused():
    for wheels in ((20,), tuple(range(20, 60))):
        with pytest.raises(ValueError, match="from 2 to 20 wheels"):
            change_wheels(Q(1, "mm"), Q(3, "mm"), wheels)
