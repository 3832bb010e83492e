"""A small helical spring of round wire: its rate, and the stress in the wire.

Sources: rate G·d⁴ ÷ (8·D³·coils) and stress K·8·F·D ÷ (π·d³) with the curvature factor
K = (4C − 1) ÷ (4C − 4) + 0.615 ÷ C, C = D ÷ d (Shigley, Mechanical Engineering Design, helical springs; from memory).
Strength of the wire A ÷ d^m and the share of it that is usual, 45 % for steels and 35 % for stainless and bronze: the
same book's tables, from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.messages import _, gettext_noop
from calcs.units.argument_checks import Quantity, amount, ratio
from calcs.units.figures import format_plain
from calcs.units.kinds import LENGTH
from calcs.working.builder import WorkingBuilder
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Working


@dataclass(frozen=True)
class Wire:
    """A spring wire: shear modulus in MPa, strength `tensile` ÷ d^`fall` in MPa with d in mm, and the share used."""

    name: str
    shear: float
    tensile: float
    fall: float
    share: float
    thinnest: float
    thickest: float


WIRES = {
    "music wire": Wire(gettext_noop("music wire"), 80_000, 2211, 0.145, 0.45, 0.1, 6.5),
    "hard-drawn steel": Wire(gettext_noop("hard-drawn steel"), 79_300, 1783, 0.190, 0.45, 0.7, 12.7),
    "stainless steel": Wire(gettext_noop("stainless steel"), 69_000, 1867, 0.146, 0.35, 0.3, 2.5),
    "phosphor bronze": Wire(gettext_noop("phosphor bronze"), 41_400, 913, 0.028, 0.35, 0.6, 2.0),
}


@dataclass(frozen=True)
class Spring:
    """A spring under a travel. rate: N/mm; force: N; stress and usual_most: MPa, the last None outside the table."""

    rate: float
    force: float
    stress: float
    usual_most: float | None
    index: float
    working: Working
    remarks: tuple[str, ...]


def coil_spring(wire: Quantity, mean: Quantity, coils: float, travel: Quantity, material: str = "music wire") -> Spring:
    """Return the rate of a spring, its force and the stress in its wire at a travel.

    mean: diameter to the middle of the wire. coils: the active ones, 0.5 to 500. ValueError for a material that is not
    in `WIRES`, or a coil that is tighter than twice its wire.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> spring = coil_spring(Q(1, "mm"), Q(10, "mm"), 8, Q(10, "mm"))
    >>> round(spring.rate, 4), round(spring.force, 2), round(spring.stress, 1)
    (1.25, 12.5, 364.4)
    """
    if material not in WIRES:
        raise ValueError(_("The wire is one of {names}.", names=", ".join(_(name) for name in WIRES)))
    of = WIRES[material]
    d, across = amount(wire, LENGTH, _("wire")), amount(mean, LENGTH, _("mean diameter of the coil"))
    turns, move = ratio(coils, _("active coils"), 0.5, 500), amount(travel, LENGTH, _("travel"))
    if across < 2 * d:
        raise ValueError(_("The coil is tighter than twice its wire: nothing could be wound so."))
    index = across / d
    rate = of.shear * d**4 / (8 * across**3 * turns)
    factor = (4 * index - 1) / (4 * index - 4) + 0.615 / index
    force = rate * move
    stress = factor * 8 * force * across / (math.pi * d**3)
    sums = WorkingBuilder(_("Coil spring"))
    _write(sums, of, (d, across, turns, move), (rate, force, factor, stress))
    most = of.share * of.tensile / d**of.fall if of.thinnest <= d <= of.thickest else None
    return Spring(rate, force, stress, most, index, sums.working(), _remarks(index, stress, most))


def _write(sums: WorkingBuilder, of: Wire, given: tuple[float, ...], found: tuple[float, ...]) -> None:
    """The lines of the working, in millimetres, newtons and megapascals whatever the sizes were given in."""
    d, across, turns, move = (format_in_full(one) for one in given)
    rate, force, factor, stress = found
    shear, full = format_plain(of.shear).replace(",", ""), format_in_full
    sums.line("C", "D ÷ d", f"{across} ÷ {d}", given[1] / given[0], "number")
    sums.line(_("rate"), "G·d⁴ ÷ (8·D³·coils)", f"{shear} × ({d}²)² ÷ (8 × {across}³ × {turns})", rate, "spring rate")
    sums.line(_("force"), _("rate·travel"), f"{full(rate)} × {move}", force, "force")
    c = full(given[1] / given[0])
    sums.line(
        "K", "(4·C − 1) ÷ (4·C − 4) + 0.615 ÷ C", f"(4 × {c} − 1) ÷ (4 × {c} − 4) + 0.615 ÷ {c}", factor, "number"
    )
    numbers = f"{full(factor)} × 8 × {full(force)} × {across} ÷ (π × {d}³)"
    sums.line(_("stress"), "K·8·F·D ÷ (π·d³)", numbers, stress, "stress")


def _remarks(index: float, stress: float, most: float | None) -> tuple[str, ...]:
    remarks = []
    if not 4 <= index <= 12:
        remarks.append(
            _("A coil of 4 to 12 wires across winds and works well; this one has {index}.", index=f"{index:.3g}")
        )
    if most is not None and stress > most:
        remarks.append(_("The wire is stressed beyond what is usual for it: the spring would take a set."))
    if most is None:
        remarks.append(_("The table of strengths does not reach this thickness of wire."))
    return tuple(remarks)
