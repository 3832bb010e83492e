"""Screw threads: their diameters, tapping drills, and how much thread a drill leaves.

Sources: [1] ISO 68-1, sharp height H = √3/2·P; ISO 724: D2 = D − 0.649519·P, D1 = D − 1.082532·P; root of the screw
d3 = d − 1.226869·P. The unified thread (ASME B1.1) has the same form. [2] Whitworth form, 55° (BS 84, from memory):
the depth is two thirds of the sharp height ½·P·cot 27.5°, which is 0.640327·P. [3] BA, BS 93: pitch 0.9^n mm, diameter
6·p^1.2 mm, depth 0.6·p.

"Per cent of thread" has one definition here, that of the drill charts: for 60° threads the share of 3/4·H, which is
76.98·TPI·(D − drill) in inches or 76.98·(D − drill) ÷ pitch (Machinery's Handbook, 31st ed., p. 2155, table 2: 1.299
from 2·3/4·H); for Whitworth and BA threads the share of the whole depth. By it a 60° nut bored to its basic minor
diameter (5/8·H) has 83 %. Every page asks `percent_of_thread`, or `tapping_drill` the other way round.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from calcs.messages import _
from calcs.shop.reference_tables import ThreadRow
from calcs.shop.thread_names import not_found, threads_named
from calcs.units.argument_checks import Quantity, amount, ratio
from calcs.units.figures import format_plain
from calcs.units.kinds import FEED, LENGTH
from calcs.units.registry import registry
from calcs.working.builder import Result, WorkingBuilder
from calcs.working.result import Working

Form = Literal["iso", "whitworth", "ba"]

# Diameter lost for each unit of pitch when the thread is full: twice the depth.
WHITWORTH_DEPTH = 2 / 3 * 0.5 / math.tan(math.radians(27.5))
DOUBLE_DEPTH: dict[str, float] = {"iso": 1.25 * math.sqrt(3) / 2, "whitworth": 2 * WHITWORTH_DEPTH, "ba": 1.2}
"""Of the thread as it is cut, down to the basic minor diameter of the nut or the core."""
HUNDRED_PER_CENT: dict[str, float] = {**DOUBLE_DEPTH, "iso": 1.5 * math.sqrt(3) / 2}
"""Of the thread that counts as 100 per cent."""
FORMS: dict[float, Form] = {60.0: "iso", 55.0: "whitworth", 47.5: "ba"}


@dataclass(frozen=True)
class ThreadSizes:
    """The diameters of a thread. minor: of the nut (D1), or the core; root: of the screw (d3), None beside ISO."""

    major: Quantity
    pitch: Quantity
    pitch_diameter: Quantity
    minor: Quantity
    root: Quantity | None
    height: Quantity
    working: Working


def find_thread(name: str) -> ThreadRow:
    """Return the thread of that name, however it is written. ValueError where it is none, or can be several.

    >>> find_thread("1/4-20").drill_name, find_thread("M6 x 1").drill_name
    ('#7', '5 mm')
    """
    found = threads_named(str(name))
    if len(found) != 1:
        raise not_found(str(name), found)
    return found[0]


def iso_thread(major: Quantity, pitch: Quantity) -> ThreadSizes:
    """Return the basic diameters of an ISO metric or unified thread (60°). Formulas [1].

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> sizes = iso_thread(Q(6, "mm"), Q(1, "mm"))
    >>> [round(size.magnitude, 3) for size in (sizes.pitch_diameter, sizes.minor, sizes.root)]
    [5.35, 4.917, 4.773]
    """
    sums, across, step = _begin(_("Thread, 60°"), major, pitch, "iso")
    high = math.sqrt(3) / 2 * step
    height = sums.line("H", "0.866025·P", f"0.866025 × {sums.show(step, 'length')}", high, "length", "ISO 68-1")
    root = _less(sums, "d3", across, step, 17 / 12 * math.sqrt(3) / 2)
    middle = _less(sums, "D2", across, step, 0.75 * math.sqrt(3) / 2)
    minor = _less(sums, "D1", across, step, DOUBLE_DEPTH["iso"])
    return ThreadSizes(major, pitch, middle, minor, root, height, sums.working())


def sizes_of(row: ThreadRow) -> ThreadSizes:
    """Return the sizes of a thread from the table, in inches or millimetres as its series is."""
    unit = LENGTH.shown(row.inch)
    major, pitch = (registry().Quantity(float(size / unit.size), unit.pint) for size in (row.major, row.pitch))
    form = FORMS[row.angle]
    if form == "iso":
        return iso_thread(major, pitch)
    return _whole_depth(
        _("Thread, {name}", name=row.name), major, pitch, form, WHITWORTH_DEPTH if form == "whitworth" else 0.6
    )


def percent_of_thread(major: Quantity, pitch: Quantity, drill: Quantity, form: Form = "iso") -> Result:
    """Return how much of the thread a drilled hole leaves, in per cent as the module defines them.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(percent_of_thread(Q(10, "mm"), Q(1.5, "mm"), Q(8.5, "mm")).value.magnitude, 1)
    77.0
    """
    sums, across, step = _begin(_("Per cent of thread"), major, pitch, form)
    hole = amount(drill, LENGTH, _("drill"))
    if hole >= across:
        raise ValueError(_("The drill is not smaller than the thread, so no thread would be left."))
    sums.given(_("drill"), _("diameter of the hole"), hole, "length")
    factor = HUNDRED_PER_CENT[form]
    percent = 100 * (across - hole) / (factor * step)
    numbers = f"100 × ({sums.show(across, 'length')} − {sums.show(hole, 'length')})"
    numbers += f" ÷ ({factor:.6f} × {sums.show(step, 'length')})"
    formula = _("100·(D − drill) ÷ ({factor}·P)", factor=f"{factor:.6f}")
    value = sums.line(_("per cent"), formula, numbers, percent, "per cent", _counted_as(form))
    # Nothing is left for the tap's own core where the hole is smaller than it.
    too_small = across - hole > DOUBLE_DEPTH[form] * step * (1 + 1e-9)
    remarks = (_("This hole is smaller than the core of the thread: a tap would jam in it."),) if too_small else ()
    return Result(value, sums.working(), remarks)


def tapping_drill(major: Quantity, pitch: Quantity, percent: float = 75.0, form: Form = "iso") -> Result:
    """Return the diameter of hole that leaves so many per cent of thread: D − per cent/100·depth factor·P.

    percent: 10 to 110, as the module defines them. `calcs.shop.drills.nearest_drill` gives the drill next to it.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(tapping_drill(Q(0.25, "in"), Q(0.05, "in"), 75.4).value.magnitude, 4)
    0.201
    """
    share = ratio(percent, _("per cent of thread"), 10, 110)
    sums, across, step = _begin(_("Tapping drill"), major, pitch, form)
    factor = HUNDRED_PER_CENT[form]
    hole = across - share / 100 * factor * step
    numbers = (
        f"{sums.show(across, 'length')} − {format_plain(share)} ÷ 100 × {factor:.6f} × {sums.show(step, 'length')}"
    )
    formula = _("D − per cent ÷ 100 × {factor}·P", factor=f"{factor:.6f}")
    return Result(sums.line(_("drill"), formula, numbers, hole, "length", _counted_as(form)), sums.working())


def _counted_as(form: Form) -> str:
    return _("of 3/4·H, as drill charts count") if form == "iso" else _("of the thread's full depth")


def _begin(title: str, major: Quantity, pitch: Quantity, form: Form) -> tuple[WorkingBuilder, float, float]:
    across, step = amount(major, LENGTH, _("major diameter")), amount(pitch, FEED, _("pitch"))
    if form not in HUNDRED_PER_CENT:
        raise ValueError(_('The form of a thread is "iso", "whitworth" or "ba".'))
    if HUNDRED_PER_CENT[form] * step * 1.1 >= across:
        raise ValueError(_("The pitch is too coarse for the diameter: no core would be left. Check the two."))
    sums = WorkingBuilder(title, major)
    sums.given("D", _("major diameter"), across, "length")
    sums.given("P", _("pitch"), step, "length")
    return sums, across, step


def _less(
    sums: WorkingBuilder, symbol: str, across: float, step: float, factor: float, source: str = "ISO 724"
) -> Quantity:
    numbers = f"{sums.show(across, 'length')} − {factor:.6f} × {sums.show(step, 'length')}"
    return sums.line(symbol, f"D − {factor:.6f}·P", numbers, across - factor * step, "length", source)


def _whole_depth(title: str, major: Quantity, pitch: Quantity, form: Form, depth: float) -> ThreadSizes:
    sums, across, step = _begin(title, major, pitch, form)
    source = "BS 93" if form == "ba" else _("BS 84, from memory")
    factor = f"{depth:.6f}".rstrip("0")
    numbers = f"{factor} × {sums.show(step, 'length')}"
    height = sums.line(_("depth"), f"{factor}·P", numbers, depth * step, "length", source)
    middle = _less(sums, _("pitch diameter"), across, step, depth, source)
    minor = _less(sums, _("core"), across, step, 2 * depth, source)
    return ThreadSizes(major, pitch, middle, minor, None, height, sums.working())
