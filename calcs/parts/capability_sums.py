"""The sums behind what measured pieces say, line by line, in millimetres or inches."""

from __future__ import annotations

import math
from collections.abc import Sequence

from calcs.messages import _, listed
from calcs.parts.capability import Capability, margins_of
from calcs.units.registry import LengthUnit
from calcs.working.exactly_enough import format_in_full, in_digits
from calcs.working.result import Step, Working

INCH = 25.4
SMALL_DIGITS = 3
COUNTED_SINGLY = 0.01
"""A share below one in a hundred is told as one piece in so many."""
HARDLY_EVER = 1e-9


def capability_working(
    values: Sequence[float], found: Capability, lower: float | None, upper: float | None, unit: LengthUnit
) -> Working:
    """Return how mean, spread, Cp, Cpk, the share outside and the drift follow from the sizes.

    values, lower, upper: millimetres, as they went into `capability`, whose result `found` is. unit: of the lines.
    """
    by = INCH if unit == "in" else 1.0
    sizes = [value / by for value in values]
    low, high = (None if limit is None else limit / by for limit in (lower, upper))
    steps = _mean_and_spread(sizes, found, by, unit)
    if found.spread:
        steps += _capability_steps(found.mean / by, found.spread / by, low, high)
        steps += _outside_steps(found, lower, upper)
    if found.drift is not None:
        steps.append(_drift_step(sizes, found.mean / by, found.drift.slope / by, unit))
    return Working(_("what the pieces say"), tuple(steps))


def share_in_words(share: float) -> str:
    """Return a share of pieces in two digits.

    >>> share_in_words(0.1234), share_in_words(0.0004), share_in_words(1e-12), share_in_words(0.9996)
    ('12 %', '1 piece in 2,500', 'hardly any', 'nearly all')
    """
    if share >= COUNTED_SINGLY:
        return _("nearly all") if share >= 0.995 else f"{share * 100:.2g} %"
    if share < HARDLY_EVER:
        return _("hardly any")
    return _("1 piece in {pieces}", pieces=f"{float(f'{1 / share:.2g}'):,.0f}")


def _mean_and_spread(sizes: Sequence[float], found: Capability, by: float, unit: LengthUnit) -> list[Step]:
    n, mean = found.n, found.mean / by
    places = 5 if unit == "in" else 4
    steps = [
        Step("n", _("pieces measured"), "", n, ""),
        Step("m", _("sum of the sizes ÷ n"), f"{format_in_full(math.fsum(sizes))} ÷ {n}", mean, unit,
             shown=f"{mean:.{places}f} {unit}".replace("-", "−")),
    ]  # fmt: skip
    if found.spread is not None:
        squares = math.fsum((size - mean) ** 2 for size in sizes) if found.spread else 0.0
        numbers = f"√({format_in_full(squares)} ÷ ({n} − 1))"
        formula = _("√(sum of (size − m)² ÷ (n − 1))")
        steps.append(Step("s", formula, numbers, found.spread / by, unit, shown=_small(found.spread / by, unit)))
    return steps


def _capability_steps(mean: float, spread: float, low: float | None, high: float | None) -> list[Step]:
    m, s = format_in_full(mean), format_in_full(spread)
    source = _("ISO 22514, from memory")
    steps = []
    if low is not None and high is not None:
        numbers = f"({format_in_full(high)} − {format_in_full(low)}) ÷ (6 × {s})"
        steps.append(_ratio_step("Cp", "(U − L) ÷ (6 × s)", numbers, (high - low) / (6 * spread), source))
    sides = []
    if high is not None:
        sides.append(((high - mean) / (3 * spread), "(U − m) ÷ (3 × s)", f"({format_in_full(high)} − {m})"))
    if low is not None:
        sides.append(((mean - low) / (3 * spread), "(m − L) ÷ (3 × s)", f"({m} − {format_in_full(low)})"))
    if sides:
        value, formula, inside = min(sides)
        nearer = _("{formula}, the nearer limit", formula=formula) if len(sides) > 1 else formula
        steps.append(_ratio_step("Cpk", nearer, f"{inside} ÷ (3 × {s})", value, source))
    return steps


def _ratio_step(symbol: str, formula: str, numbers: str, value: float, source: str) -> Step:
    return Step(symbol, formula, numbers, value, "", source, shown=f"{value:.2f}".replace("-", "−"))


def _outside_steps(found: Capability, lower: float | None, upper: float | None) -> list[Step]:
    margins = margins_of(found, lower, upper)
    if found.outside is None or not margins:
        return []
    both = listed([_two(margin) for margin in margins])
    away = _("spreads from the mean to each limit")
    beyond = _("share of a normal curve beyond {margins} spreads", margins=both)
    return [
        Step(_("margin"), away, "", both, ""),
        Step(_("outside"), beyond, "", found.outside, "", _("normal distribution"), share_in_words(found.outside)),
    ]


def _drift_step(sizes: Sequence[float], mean: float, slope: float, unit: LengthUnit) -> Step:
    n = len(sizes)
    middle = (n - 1) / 2
    along = n * (n * n - 1) / 12
    moved = math.fsum((place - middle) * (size - mean) for place, size in enumerate(sizes))
    formula = _("sum of (place − middle) × (size − m) ÷ sum of (place − middle)²")
    numbers = f"{format_in_full(moved)} ÷ {format_in_full(along)}"
    source = _("the straight line of least squares; A.-M. Legendre 1805, from memory")
    return Step(_("drift a piece"), formula, numbers, slope, unit, source, shown=_small(slope, unit))


def _small(value: float, unit: str) -> str:
    return f"{in_digits(value, SMALL_DIGITS) if value else 0} {unit}"


def _two(margin: float) -> str:
    return f"{margin:.2f}".replace("-", "−")
