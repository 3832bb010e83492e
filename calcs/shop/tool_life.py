"""How long a tool lasts at another speed, and the speed at which it lasts as long as is wanted.

Source: V·Tⁿ = C (F. W. Taylor, On the Art of Cutting Metals, Transactions of the ASME 28, 1907; from memory). It holds
near the speeds that it was found at, for one tool, material, feed and depth. Usual n: common practice, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

from calcs.messages import _, gettext_noop
from calcs.units.argument_checks import Quantity, amount, ratio
from calcs.units.figures import format_plain
from calcs.units.kinds import SPEED, TIME
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working

LEAST_N, MOST_N = 0.05, 1.0
USUAL_N = {
    "high-speed steel": (gettext_noop("high-speed steel"), 0.125),
    "carbide": (gettext_noop("carbide"), 0.25),
    "ceramic": (gettext_noop("ceramic"), 0.5),
}


@dataclass(frozen=True)
class ToolLife:
    """A speed and how long a tool lasts at it; value is what was asked."""

    value: Quantity
    speed: float
    life: float
    working: Working
    remarks: tuple[str, ...]


def life_at(speed: Quantity, life: Quantity, other: Quantity, n: float = USUAL_N["high-speed steel"][1]) -> ToolLife:
    """Return how long a tool lasts at another speed: T2 = T1·(V1 ÷ V2)^(1 ÷ n). n: from 0.05 to 1.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(life_at(Q(160, "m/min"), Q(5, "min"), Q(100, "m/min"), 0.223).life, 1)
    41.1
    """
    first, lasts, second, power = *_known(speed, life, n), amount(other, SPEED, _("other speed")), float(n)
    sums = WorkingBuilder(_("Life of the tool"), speed)
    _write_known(sums, first, lasts, power)
    sums.given("V2", _("other speed"), second, "speed")
    quicker, slower = sums.show(first, "speed"), sums.show(second, "speed")
    found = lasts * (first / second) ** (1 / power)
    _within_reason(found)
    numbers = f"{format_in_full(lasts)} × ({quicker} ÷ {slower})^(1 ÷ {format_plain(power)})"
    value = sums.line("T2", "T1·(V1 ÷ V2)^(1 ÷ n)", numbers, found, "time")
    return ToolLife(value, second, found, sums.working(), _remarks(first, second))


def speed_for_life(
    speed: Quantity, life: Quantity, wanted: Quantity, n: float = USUAL_N["high-speed steel"][1]
) -> ToolLife:
    """Return the speed at which a tool lasts as long as is wanted: V2 = V1·(T1 ÷ T2)^n. n: from 0.05 to 1.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(speed_for_life(Q(100, "m/min"), Q(40, "min"), Q(10, "min"), 0.5).speed, 9)
    200.0
    """
    first, lasts, longer, power = *_known(speed, life, n), amount(wanted, TIME, _("wanted life")), float(n)
    sums = WorkingBuilder(_("Speed for a life of the tool"), speed)
    _write_known(sums, first, lasts, power)
    sums.given("T2", _("wanted life"), longer, "time")
    found = first * (lasts / longer) ** power
    numbers = (
        f"{sums.show(first, 'speed')} × ({format_in_full(lasts)} ÷ {format_in_full(longer)})^{format_plain(power)}"
    )
    value = sums.line("V2", "V1·(T1 ÷ T2)^n", numbers, found, "speed")
    return ToolLife(value, found, longer, sums.working(), _remarks(first, found))


def _known(speed: Quantity, life: Quantity, n: float) -> tuple[float, float]:
    """The speed in m/min and the life in minutes that are known, with n checked."""
    ratio(n, "n", LEAST_N, MOST_N)
    return amount(speed, SPEED, _("known speed")), amount(life, TIME, _("known life"))


def _write_known(sums: WorkingBuilder, speed: float, life: float, n: float) -> None:
    """The speed in m/min, the life in minutes and n, as the lines below call them."""
    sums.given("V1", _("known speed"), speed, "speed")
    sums.given("T1", _("known life"), life, "time")
    sums.given("n", _("how much the tool minds speed: the smaller, the more"), n, "number")


def _within_reason(minutes: float) -> None:
    if not 0.01 <= minutes <= 100_000:
        raise ValueError(_("That is too far from the known speed for this rule: take one nearer to it."))


def _remarks(first: float, second: float) -> tuple[str, ...]:
    if 0.5 <= second / first <= 2:
        return ()
    return (_("That is more than twice or less than half the known speed, farther than the rule can be trusted."),)
