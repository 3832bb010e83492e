"""What an engine's speed and power come to at another scale, by two laws that both leave much out.

Power = mean pressure on the pistons × their area × their speed. With s = model ÷ full size, areas go with s².
Same piston speed: rev/min ÷ s, power × s². Same rev/min: piston speed × s, power × s³. Both take the mean pressure to
be the same (derived). Pull of what goes to and fro, for its own size, goes with the square of the piston speed.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from calcs.messages import _
from calcs.typed.scales import check_ratio
from calcs.units.argument_checks import Quantity, amount, turns_a_minute
from calcs.units.kinds import POWER
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working


@dataclass(frozen=True)
class ScaledEngine:
    """An engine at a scale under one law: rev/min of the model, its power (None where none was given), the working."""

    turns: float
    power: Quantity | None
    torque_share: float
    power_share: float
    working: Working


def by_piston_speed(speed: object, ratio: Fraction | float, power: Quantity | None = None) -> ScaledEngine:
    """Return the model's speed and power with the pistons as fast as in full size.

    speed: of the full size's crank, in rev/min. ratio: model ÷ full size. ValueError for a ratio of zero or less.

    >>> model = by_piston_speed(500, Fraction(1, 4))
    >>> model.turns, model.power_share
    (2000.0, 0.0625)
    """
    return _scaled(_("The same piston speed"), speed, ratio, power, 2, True)


def by_turns(speed: object, ratio: Fraction | float, power: Quantity | None = None) -> ScaledEngine:
    """Return the model's power at the full size's own rev/min; see `by_piston_speed`.

    >>> by_turns(500, Fraction(1, 4)).power_share
    0.015625
    """
    return _scaled(_("The same rev/min"), speed, ratio, power, 3, False)


def _scaled(
    title: str, speed: object, ratio: Fraction | float, power: Quantity | None, raised: int, faster: bool
) -> ScaledEngine:
    check_ratio(ratio)
    turns, exact = turns_a_minute(speed, _("speed of the crank")), Fraction(ratio)
    sums = WorkingBuilder(title, power)
    s = f"({exact})" if exact.denominator <= 1000 else format_in_full(float(exact))
    sums.given("n", _("rev/min in full size"), turns, "turns")
    found = turns / float(exact) if faster else turns
    if faster:
        sums.line(_("rev/min of the model"), "n ÷ s", f"{format_in_full(turns)} ÷ {s}", found, "turns")
    sign = {2: "²", 3: "³"}[raised]
    share, turned = float(exact**raised), float(exact**3)
    sums.line(_("share of the power"), f"s{sign}", f"{s}{sign}", share, "number")
    sums.line(_("share of the turning force"), "s³", f"{s}³", turned, "number")
    given = None
    if power is not None:
        watts = amount(power, POWER, _("power"))
        numbers = f"{sums.show(watts, 'power')} × {s}{sign}"
        given = sums.line(_("power of the model"), _("power in full size × s") + sign, numbers, watts * share, "power")
    return ScaledEngine(found, given, turned, share, sums.working())
