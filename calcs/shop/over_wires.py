"""A screw measured over three wires that lie in its thread.

Source: plane geometry of the flanks, the lead angle left out, as tables of three-wire measurement do: with half the
thread's angle a, the wire that touches at the pitch line is W = P ÷ (2·cos a), and over the wires a right thread
measures M = D2 + W·(1 + 1 ÷ sin a) − P ÷ (2·tan a). For 60° that is D2 + 3·W − 0.866025·P.
"""

from __future__ import annotations

import math

from calcs.messages import _
from calcs.shop.threads import ThreadSizes
from calcs.units.argument_checks import Quantity, amount, degrees
from calcs.units.figures import format_plain
from calcs.units.kinds import LENGTH
from calcs.working.builder import Result, WorkingBuilder


def best_wire(pitch: Quantity, angle: float = 60.0) -> Result:
    """Return the wire that touches the flanks at the pitch line. angle: between the flanks, degrees.

    >>> from calcs.units.registry import registry
    >>> round(best_wire(registry().Quantity(1, "mm")).value.magnitude, 5)
    0.57735
    """
    step, half = amount(pitch, LENGTH, _("pitch")), degrees(angle, _("angle of the thread"), 10, 120) / 2
    sums = WorkingBuilder(_("Best wire"), pitch)
    sums.given("P", _("pitch"), step, "length")
    numbers = f"{sums.show(step, 'length')} ÷ (2 × cos({format_plain(half)}°))"
    size = step / (2 * math.cos(math.radians(half)))
    return Result(sums.line("W", _("P ÷ (2·cos(half the angle))"), numbers, size, "length"), sums.working())


def over_wires(sizes: ThreadSizes, angle: float, wire: Quantity | None = None) -> Result:
    """Return what a right screw measures over three wires; the best wire where none is given.

    ValueError for a wire that sinks below the crests, or that lies on them and misses the flanks.

    >>> from calcs.shop.threads import iso_thread
    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(over_wires(iso_thread(Q(6, "mm"), Q(1, "mm")), 60).value.magnitude, 3)
    6.217
    """
    half = math.radians(degrees(angle, _("angle of the thread"), 10, 120) / 2)
    across, middle, step = (
        amount(size, LENGTH, name)
        for size, name in (
            (sizes.major, _("major diameter")),
            (sizes.pitch_diameter, _("pitch diameter")),
            (sizes.pitch, _("pitch")),
        )
    )
    thick = amount(wire if wire is not None else best_wire(sizes.pitch, angle).value, LENGTH, _("wire"))
    size = middle + thick * (1 + 1 / math.sin(half)) - step / (2 * math.tan(half))
    if size <= across:
        raise ValueError(_("This wire is too thin: it lies below the crests, and the micrometer would not touch it."))
    if (thick * math.cos(half) - step / 2) / math.tan(half) >= across - middle:
        raise ValueError(_("This wire is too thick: it rests on the crests and does not touch the flanks."))
    sums = WorkingBuilder(_("Over three wires"), sizes.major)
    sums.given("D2", _("pitch diameter"), middle, "length")
    sums.given("P", _("pitch"), step, "length")
    sums.given("W", _("wire"), thick, "length")
    mid, w, p = (sums.show(one, "length") for one in (middle, thick, step))
    a = f"{format_plain(angle / 2)}°"
    numbers = f"{mid} + {w} × (1 + 1 ÷ sin({a})) − {p} ÷ (2 × tan({a}))"
    formula = _("D2 + W·(1 + 1 ÷ sin(half the angle)) − P ÷ (2·tan(half the angle))")
    return Result(sums.line("M", formula, numbers, size, "length"), sums.working())
