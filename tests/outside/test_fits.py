"""Limits and fits against the tables of ISO 286."""

import pytest

from calcs.shop.fits import fit, limits
from calcs.units.registry import registry

Q = registry().Quantity
# A size within each range up to 80 mm, and its upper end.
SIZES = [(2, 3), (5, 6), (8, 10), (15, 18), (25, 30), (40, 50), (65, 80)]


def test_the_table_is_kept_where_the_formula_misses_it():
    # IS 919-1:1993 A.3.2: 16·i, where i = 0.45·D^(1/3) + 0.001·D with D = 1.732 up to 3 mm, gives 8.7 µm for IT7; the
    # table prints 10.
    assert limits(Q(2, "mm"), "H7").upper_um == 10


def test_g_holes_and_shafts():
    # ISO 286-2, holes G7 and shafts g6; up to 3 mm and 50 to 80 mm from memory.
    for (size, _), deviation in zip(SIZES, [2, 4, 5, 6, 7, 9, 10], strict=True):
        assert limits(Q(size, "mm"), "G7").lower_um == deviation
        assert limits(Q(size, "mm"), "g6").upper_um == -deviation
    printed = {5: (16, 4), 8: (20, 5), 15: (24, 6), 25: (28, 7), 40: (34, 9), 100: (47, 12)}
    for size, (upper, lower) in printed.items():
        found = limits(Q(size, "mm"), "G7")
        assert (found.upper_um, found.lower_um) == (upper, lower)


def test_a_pressed_fit_of_fifty_millimetres():
    # Ø50 H7/p6: 26…42 on 0…25 µm, interference 1 to 42 µm (DIN ISO 286-2).
    pressed = fit(Q(50, "mm"), "H7/p6")
    assert (pressed.shaft.lower_um, pressed.shaft.upper_um) == (26, 42)
    assert (pressed.hole.lower_um, pressed.hole.upper_um) == (0, 25)
    assert (-pressed.most_um, -pressed.least_um) == (1, 42)
    assert pressed.words == "an interference of 1 to 42 µm"


def test_a_close_running_fit():
    # ISO 286-2, H7/g6 at 20 mm: 0…21 on −20…−7.
    running = fit(Q(20, "mm"), "H7/g6")
    assert (running.least_um, running.most_um) == (7, 41)


@pytest.mark.parametrize("symbol", ["H3", "H13", "k13", "ZC7", "Js7", "7H", "", "K9", "K5", "u6"])
def test_what_is_not_in_the_tables_is_refused_and_not_guessed(symbol):
    with pytest.raises(ValueError, match="Known here are"):
        limits(Q(20, "mm"), symbol)


@pytest.mark.parametrize(
    ("size", "says"),
    [
        # Common practice: the table here ends at 250 mm, and a size is more than zero.
        (0, "nominal size must be more than zero"),
        (-5, "nominal size must be more than zero"),
        (float("nan"), "nominal size must be a finite figure"),
        (251, "H7 at 251 mm is not in the tables. Known here are"),
        (1e5, "H7 at 100,000 mm is not in the tables. Known here are"),
    ],
)
def test_a_size_outside_the_tables_is_refused_with_the_reason(size, says):
    with pytest.raises(ValueError, match=says):
        limits(Q(size, "mm"), "H7")


def test_limits_in_inches_are_the_same_size():
    # 1 in = 25.4 mm, by definition.
    metric, inches = limits(Q(25.4, "mm"), "g6"), limits(Q(1, "inch"), "g6")
    assert inches.largest.to("mm").magnitude == pytest.approx(metric.largest.magnitude, rel=1e-12)
    assert str(inches.largest.units) == "inch"
