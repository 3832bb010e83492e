"""Shrinking a ring on: how hot it is made so that it drops over its shaft.

Source: heated, a bore grows by expansion·rise·bore (the definition of linear expansion). Expansions are for about 20 to
200 °C, and the heats a metal bears without going soft are common practice; both from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

from calcs.messages import _, gettext_noop
from calcs.units.argument_checks import Quantity, amount, ratio
from calcs.units.figures import format_plain
from calcs.units.kinds import LENGTH
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working

HOTTEST = 1000


@dataclass(frozen=True)
class Metal:
    """A metal of rings: its expansion in millionths for each °C, and the °C above which it may lose what it was."""

    name: str
    expansion: float
    bears: float


METALS = {
    "steel": Metal(gettext_noop("steel"), 12, 300),
    "hardened steel": Metal(gettext_noop("hardened steel"), 12, 150),
    "stainless steel": Metal(gettext_noop("stainless steel"), 17, 400),
    "cast iron": Metal(gettext_noop("cast iron"), 10.5, 400),
    "brass": Metal(gettext_noop("brass"), 19, 250),
    "bronze": Metal(gettext_noop("bronze"), 18, 250),
    "aluminium alloy": Metal(gettext_noop("aluminium alloy"), 23, 150),
}


@dataclass(frozen=True)
class Shrink:
    """A ring shrunk on: the rise and the heat in °C, and what to know about it."""

    rise: float
    heat: float
    working: Working
    remarks: tuple[str, ...]


def shrink_fit(
    bore: Quantity,
    shaft: Quantity,
    clearance: Quantity,
    metal: str = "steel",
    room: float = 20,
    expansion: float | None = None,
) -> Shrink:
    """Return how hot a ring must be to pass over a larger shaft with a clearance on the diameter.

    room: °C of ring and shaft at first. expansion: millionths for each °C, the table's where left out. ValueError for a
    shaft that is not the larger, a metal that is not in `METALS`, and a heat of more than 1000 °C.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(shrink_fit(Q(50, "mm"), Q(50.05, "mm"), Q(0.05, "mm")).heat, 1)
    186.7
    """
    if metal not in METALS:
        raise ValueError(_("The ring is of one of {names}.", names=", ".join(_(name) for name in METALS)))
    of = METALS[metal]
    inner, outer = amount(bore, LENGTH, _("bore of the ring")), amount(shaft, LENGTH, _("diameter of the shaft"))
    free, cold = (
        amount(clearance, LENGTH, _("clearance"), zero=True),
        ratio(room, _("temperature of the shop"), -30, 60),
    )
    grows = ratio(of.expansion if expansion is None else expansion, _("expansion in millionths"), 0.5, 200)
    if outer <= inner:
        raise ValueError(_("The shaft is not larger than the bore: nothing is shrunk on there."))
    rise = (outer - inner + free) * 1_000_000 / (grows * inner)
    if cold + rise > HOTTEST:
        raise ValueError(_("That would take more than {most} °C: check the sizes.", most=HOTTEST))
    sums = WorkingBuilder(_("Shrinking on"), bore)
    _write(sums, (inner, outer, free, cold, grows), rise)
    return Shrink(rise, cold + rise, sums.working(), _remarks(of, cold + rise))


def _write(sums: WorkingBuilder, given: tuple[float, ...], rise: float) -> None:
    """The lines of the working; the ring has to grow by the interference and the clearance."""
    inner, outer, free, cold, grows = given
    growth = outer - inner + free
    within, over, loose = (sums.show(size, "length") for size in (inner, outer, free))
    sums.line(_("growth"), _("shaft − bore + clearance"), f"{over} − {within} + {loose}", growth, "length")
    numbers = f"{sums.show(growth, 'length')} × 1,000,000 ÷ ({format_plain(grows)} × {within})"
    sums.line(_("rise"), _("growth·1,000,000 ÷ (expansion·bore)"), numbers, rise, "warmth")
    numbers = f"{format_plain(cold)} + {format_in_full(rise)}"
    sums.line(_("temperature"), _("shop + rise"), numbers, cold + rise, "warmth")


def _remarks(of: Metal, heat: float) -> tuple[str, ...]:
    hot = _(
        "Hot metal looks like cold metal. Wear dry gauntlets and a face shield, hold the ring with tongs, and have a "
        "dry place to put it down."
    )
    if heat <= of.bears:
        return (hot,)
    softens = _(
        "Above about {bears} °C {metal} may soften or warp: take less interference, or chill the shaft as well.",
        bears=format_plain(of.bears),
        metal=_(of.name),
    )
    return (hot, softens)
