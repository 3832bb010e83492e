"""Stepping off a circle against the printed table of chords, and against marks laid out one by one."""

import math

import pytest

from calcs.shop.chords import step_off
from calcs.units.registry import registry

Q = registry().Quantity

# Machinery's Handbook, lengths of chords for spacing off a circle of diameter 1, six places; from memory.
CHORDS = {
    3: 0.866025,
    4: 0.707107,
    5: 0.587785,
    6: 0.500000,
    7: 0.433884,
    8: 0.382683,
    9: 0.342020,
    10: 0.309017,
    11: 0.281733,
    12: 0.258819,
    13: 0.239316,
    15: 0.207912,
    16: 0.195090,
    20: 0.156434,
    24: 0.130526,
    30: 0.104528,
    36: 0.087156,
}


@pytest.mark.parametrize(("divisions", "chord"), CHORDS.items())
def test_the_printed_chords(divisions, chord):
    assert step_off(Q(1, "in"), divisions).value.magnitude == pytest.approx(chord, abs=6e-7)


@pytest.mark.parametrize("divisions", [3, 7, 12, 17])
def test_every_chord_is_the_distance_between_two_marks(divisions):
    marks = [
        (40 * math.cos(2 * math.pi * mark / divisions), 40 * math.sin(2 * math.pi * mark / divisions))
        for mark in range(divisions)
    ]
    across = [chord.magnitude for chord in step_off(Q(80, "mm"), divisions).across]
    assert across == pytest.approx([math.dist(marks[0], mark) for mark in marks[1 : divisions // 2 + 1]])


@pytest.mark.parametrize("divisions", [5, 12])
def test_an_error_of_the_dividers_gathers_in_the_last_gap(divisions):
    found = step_off(Q(100, "mm"), divisions)
    wrong = found.value.magnitude + 0.001
    last = math.tau - (divisions - 1) * 2 * math.asin(wrong / 100)
    gap = 100 * math.sin(last / 2)
    assert (found.value.magnitude - gap) / 0.001 == pytest.approx(found.gathers, rel=0.001)


def test_two_marks_are_a_diameter_and_no_stepping_off():
    with pytest.raises(ValueError, match="between 3 and 360"):
        step_off(Q(100, "mm"), 2)
