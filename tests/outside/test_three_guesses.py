"""Means and spreads of three guesses against a textbook's table and against chance itself."""

import math
import random
from statistics import fmean, pstdev

import pytest

from calcs.shop.three_guesses import three_guesses
from calcs.units.registry import registry

Q = registry().Quantity

# Heizer and Render, Operations Management, the table of eight works of a filter for a paper mill: shortest, likeliest
# and longest in weeks, the mean, and the spread squared to two places; from memory.
TABLE = [
    (1, 2, 3, 2, 0.11),
    (2, 3, 4, 3, 0.11),
    (1, 2, 3, 2, 0.11),
    (2, 4, 6, 4, 0.44),
    (1, 4, 7, 4, 1.00),
    (1, 2, 9, 3, 1.78),
    (3, 4, 11, 5, 1.78),
    (1, 2, 3, 2, 0.11),
]


@pytest.mark.parametrize(("shortest", "likeliest", "longest", "mean", "squared"), TABLE)
def test_the_textbooks_table(shortest, likeliest, longest, mean, squared):
    found = three_guesses(Q(shortest, "h"), Q(likeliest, "h"), Q(longest, "h"))
    assert found.mean / 60 == pytest.approx(mean)
    assert (found.spread / 60) ** 2 == pytest.approx(squared, abs=0.005)


def test_the_mean_is_that_of_the_curve_behind_the_rule():
    # The rule stands for a beta curve with 1 + 4·(m − a) ÷ (b − a) and 1 + 4·(b − m) ÷ (b − a) as its two figures.
    chance = random.Random(5)
    drawn = [2 + 8 * chance.betavariate(1 + 4 * 1 / 8, 1 + 4 * 7 / 8) for _ in range(20_000)]
    found = three_guesses(Q(2, "h"), Q(3, "h"), Q(10, "h"))
    assert fmean(drawn) == pytest.approx(found.mean / 60, abs=0.04)
    # The spread is a rule of thumb: for a curve so far to one side it is somewhat more than the curve's own.
    assert pstdev(drawn) == pytest.approx(found.spread / 60, rel=0.15)


def test_works_that_are_alike_add_their_means_and_the_squares_of_their_spreads():
    one, nine = (three_guesses(Q(1, "h"), Q(2, "h"), Q(4, "h"), works) for works in (1, 9))
    assert nine.mean == pytest.approx(9 * one.mean)
    assert nine.spread == pytest.approx(math.sqrt(9 * one.spread**2))
    assert nine.each == one.mean


def test_guesses_that_do_not_rise_are_refused():
    with pytest.raises(ValueError, match="rise"):
        three_guesses(Q(3, "h"), Q(2, "h"), Q(4, "h"))
