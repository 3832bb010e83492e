"""Cutting bars, held against worked examples of operations research."""

import pytest

from calcs.shop.bars import cut_up


def test_rolls_of_a_paper_machine():
    # "Cutting stock problem", Wikipedia (from memory): 219 rolls of 13 widths from 5,600 mm; 73 master rolls are the
    # fewest, the bound is 72.7.
    widths = {1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20}
    widths |= {2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20}
    plan = cut_up([(float(width), number) for width, number in widths.items()], [(5600.0, None, None)], 0, 0, 10.0)
    assert len(plan.bars) == 73
    assert plan.gap == 0


def test_raws_and_finals_of_a_textbook():
    # V. Chvátal 1983, Linear Programming, chapter 13 (from memory): raws of 100 inches, 97 finals of 45, 610 of 36,
    # 395 of 31 and 211 of 14; the fractions come to 452.25 raws, so 453 are the fewest.
    finals = [(45.0, 97), (36.0, 610), (31.0, 395), (14.0, 211)]
    plan = cut_up(finals, [(100.0, None, None)], 0, 0, 10.0)
    assert len(plan.bars) == 453
    assert plan.gap == 0


def test_rolls_of_a_modelling_book():
    # R. Fourer, D. M. Gay and B. W. Kernighan 2003, AMPL, 2nd edition, chapter 15 (from memory): rolls 110 wide,
    # orders 20: 48, 45: 35, 50: 24, 55: 10, 75: 8; the fractions come to 46.25, and 47 are the fewest.
    orders = [(20.0, 48), (45.0, 35), (50.0, 24), (55.0, 10), (75.0, 8)]
    plan = cut_up(orders, [(110.0, None, None)], 0, 0, 10.0)
    assert len(plan.bars) == 47
    assert plan.gap == 0


@pytest.mark.parametrize("seed", range(3))
def test_the_fewest_bars_as_an_assignment_program_finds_them(seed):
    # Reference: the other program of the textbooks (L. V. Kantorovich 1960, Management Science 6, 366-422; from
    # memory), piece by piece into bar after bar, solved by SciPy's milp without any pattern.
    import numpy as np
    from scipy.optimize import LinearConstraint, milp

    rng = np.random.default_rng(seed)
    lengths, numbers, bars = rng.integers(120, 480, 5), rng.integers(1, 4, 5), 9
    size = len(lengths) * bars
    cost = np.concatenate([np.zeros(size), np.ones(bars)])
    every = np.zeros((len(lengths), size + bars))
    room = np.zeros((bars, size + bars))
    for one, length in enumerate(lengths):
        every[one, one * bars : (one + 1) * bars] = 1
        for bar in range(bars):
            room[bar, one * bars + bar] = length + 3
            room[bar, size + bar] = -1000
    found = milp(
        cost,
        constraints=[LinearConstraint(every, numbers, numbers), LinearConstraint(room, -np.inf, 0)],
        bounds=(0, np.concatenate([np.full(size, 9), np.ones(bars)])),
        integrality=np.ones(size + bars),
    )
    job = [(float(length), int(number)) for length, number in zip(lengths, numbers, strict=True)]
    plan = cut_up(job, [(1010.0, None, None)], 3, 10)
    assert len(plan.bars) == round(found.fun)
