"""Dividing a circle with dividers: how far to open them, and the distances that check the marks.

Source: plane geometry, chord = D·sin(180°·steps ÷ divisions).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.messages import _
from calcs.units.argument_checks import Quantity, amount, count, ratio
from calcs.units.kinds import LENGTH
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working

MOST_STEPS = 360


@dataclass(frozen=True)
class SteppedOff:
    """A circle stepped off.

    value: what the dividers are opened to. across: the straight distance over 1, 2, 3 … steps, up to half the circle.
    gathers: how many times an error of the dividers is found in the last gap.
    """

    value: Quantity
    across: tuple[Quantity, ...]
    gathers: int
    working: Working


def step_off(diameter: Quantity, divisions: int) -> SteppedOff:
    """Return what dividers are opened to for 3 to 360 equal steps round a circle, and the chords that check them.

    >>> from calcs.units.registry import registry
    >>> round(step_off(registry().Quantity(100, "mm"), 6).value.magnitude, 9)
    50.0
    """
    circle = amount(diameter, LENGTH, _("diameter of the circle"))
    number = count(divisions, _("number of divisions"), MOST_STEPS)
    ratio(number, _("number of divisions"), 3, MOST_STEPS)
    sums = WorkingBuilder(_("Stepping off a circle"), diameter)
    sums.given("D", _("diameter of the circle"), circle, "length")
    across = tuple(
        sums.quantity(circle * math.sin(math.pi * steps / number), "length") for steps in range(1, number // 2 + 1)
    )
    numbers = f"{sums.show(circle, 'length')} × sin({format_in_full(180 / number)}°)"
    first = circle * math.sin(math.pi / number)
    value = sums.line(_("chord"), _("D·sin(180° ÷ divisions)"), numbers, first, "length")
    return SteppedOff(value, across, number - 1, sums.working())
