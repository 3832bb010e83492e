"""Stock: the section, volume and mass of bar and plate, what is cut away, and how much bar a batch takes.

Sources: [1] plane geometry: round π/4·d², hexagon √3/2·s² across flats, tube π/4·(D² − d²). [2] mass = volume ×
density. [3] common practice: every blank costs its own length and the saw's or parting tool's width, and a bar has
an end that the chuck holds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calcs.messages import _
from calcs.shop.reference_tables import stock_sizes
from calcs.units.argument_checks import Quantity, amount, count, optional
from calcs.units.kinds import DENSITY, LENGTH, MASS, VOLUME
from calcs.units.registry import registry
from calcs.working.builder import Result, WorkingBuilder
from calcs.working.result import Working

MOST_BLANKS = 100_000


@dataclass(frozen=True)
class Section:
    """A cross-section: `area` with its unit, `across` its largest size given, and the working of the area."""

    shape: str
    area: Quantity
    across: Quantity
    working: Working


def round_bar(diameter: Quantity) -> Section:
    """Return the section of a round bar. ValueError for a diameter of zero or less. Formula [1].

    >>> from calcs.units.registry import registry
    >>> round(round_bar(registry().Quantity(20, "mm")).area.magnitude, 1)
    314.2
    """
    across = amount(diameter, LENGTH, _("diameter"))
    area = math.pi / 4 * across**2
    return _section("round", _("Section, round"), diameter, area, "(π ÷ 4)·d²", "π ÷ 4 × {0}²", across)


def square_bar(side: Quantity) -> Section:
    """Return the section of a square bar."""
    across = amount(side, LENGTH, _("side"))
    return _section("square", _("Section, square"), side, across**2, "a²", "{0}²", across)


def hexagon_bar(across_flats: Quantity) -> Section:
    """Return the section of a hexagon bar by its size across flats: √3/2·s². Formula [1]."""
    across = amount(across_flats, LENGTH, _("size across flats"))
    area = math.sqrt(3) / 2 * across**2
    return _section("hexagon", _("Section, hexagon"), across_flats, area, "(√3 ÷ 2)·s²", "√3 ÷ 2 × {0}²", across)


def flat_bar(width: Quantity, thickness: Quantity) -> Section:
    """Return the section of a flat bar, a plate or a block."""
    wide, thick = amount(width, LENGTH, _("width")), amount(thickness, LENGTH, _("thickness"))
    return _section("flat", _("Section, flat"), width, wide * thick, "w·t", "{0} × {1}", wide, thick)


def tube(outer: Quantity, *, inner: Quantity | None = None, wall: Quantity | None = None) -> Section:
    """Return the section of a tube, a ring or a disc with a hole, by its inner diameter or its wall. Formula [1].

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(tube(Q(4, "in"), inner=Q(3, "in")).area.magnitude, 3)
    5.498
    """
    if (inner is None) == (wall is None):
        raise ValueError(_("Give either the inner diameter or the wall of the tube, one of the two."))
    out = amount(outer, LENGTH, _("outer diameter"))
    bored = optional(inner, LENGTH, _("inner diameter"))
    into = out - 2 * amount(wall, LENGTH, _("wall")) if wall is not None else bored
    if into >= out or (wall is not None and into < 0):
        raise ValueError(_("The inside of the tube must be smaller than its outside."))
    area = math.pi / 4 * (out**2 - into**2)
    return _section("tube", _("Section, tube"), outer, area, "(π ÷ 4)·(D² − d²)", "π ÷ 4 × ({0}² − {1}²)", out, into)


def _section(shape: str, title: str, like: Quantity, area: float, formula: str, numbers: str, *sizes: float) -> Section:
    sums = WorkingBuilder(title, like)
    filled = numbers.format(*(sums.show(size, "length") for size in sizes))
    value = sums.line("A", formula, filled, area, "area", _("plane geometry"))
    return Section(shape, value, like, sums.working())


def volume(section: Section, length: Quantity) -> Result:
    """Return the volume of so long a piece: A·L, in cm³ or in³.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(volume(flat_bar(Q(8, "in"), Q(2.5, "in")), Q(8, "in")).value.magnitude, 6)
    160.0
    """
    sums, _cubic, value = _volume_lines(_("Volume"), section, length)
    return Result(value, _after(section, sums))


def mass(section: Section, length: Quantity, density: Quantity) -> Result:
    """Return the mass of so long a piece: A·L·ρ, in kg or lb. Formula [2].

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> round(mass(round_bar(Q(20, "mm")), Q(10, "m"), Q(7850, "kg/m³")).value.magnitude, 2)
    24.66
    """
    dense = amount(density, DENSITY, _("density"))
    sums, cubic, _value = _volume_lines(_("Mass"), section, length)
    return Result(_mass_line(sums, cubic, dense), _after(section, sums))


def _volume_lines(title: str, section: Section, length: Quantity) -> tuple[WorkingBuilder, float, Quantity]:
    area = float(section.area.to("millimeter ** 2").magnitude)
    long = amount(length, LENGTH, _("length"))
    sums = WorkingBuilder(title, section.area)
    numbers = f"{sums.show(area, 'area')} × {sums.show(long, 'length')}"
    per = "" if sums.inch else " ÷ 1000"
    value = sums.line("V", f"A·L{per}", f"{numbers}{per}", area * long, "volume")
    return sums, area * long, value


def _mass_line(sums: WorkingBuilder, cubic: float, dense: float) -> Quantity:
    sums.given("ρ", _("density"), dense, "density")
    per = "" if sums.inch else " ÷ 1,000,000"
    numbers = f"{sums.show(cubic, 'volume')} × {sums.show(dense, 'density')}{per}"
    return sums.line("m", f"V·ρ{per}", numbers, cubic * dense / 1e9, "mass")


def _after(section: Section, sums: WorkingBuilder) -> Working:
    """The section's own lines before those of the sum."""
    working = sums.working()
    return Working(working.title, (*section.working.steps, *working.steps))


@dataclass(frozen=True)
class CutAway:
    """What goes into the swarf: mass and volume (None where they are not known) and per cent of the blank."""

    percent: float
    volume: Quantity | None
    mass: Quantity | None
    working: Working


def cut_away(blank: Quantity, finished: Quantity, density: Quantity | None = None) -> CutAway:
    """Return what is cut away between a blank and the finished part, both volumes or both masses.

    density: turns the one into the other. ValueError when the finished part is larger than its blank.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> cut_away(Q(4, "kg"), Q(1, "kg")).percent
    75.0
    """
    solid = getattr(blank, "check", lambda _: False)("[mass]")
    if solid:
        kind, key, symbol = MASS, "mass", _("mass")
        before, after = amount(blank, kind, _("blank's mass")), amount(finished, kind, _("finished mass"))
    else:
        kind, key, symbol = VOLUME, "volume", _("volume")
        before, after = amount(blank, kind, _("blank's volume")), amount(finished, kind, _("finished volume"))
    if after > before:
        raise ValueError(_("The finished part is larger than its blank. Check the two."))
    sums = WorkingBuilder(_("Cut away"), blank)
    numbers = f"{sums.show(before, key)} − {sums.show(after, key)}"
    away = sums.line(symbol, _("blank − finished"), numbers, before - after, key)
    other: Quantity | None = None
    if density is not None and before > after:
        dense = amount(density, DENSITY, _("density"))
        if solid:
            other = sums.line(_("volume"), _("mass ÷ ρ"), "", (before - after) / dense * 1e9, "volume")
        else:
            other = _mass_line(sums, before - after, dense)
    percent = (before - after) / before * 100
    numbers = f"{sums.show(before - after, key)} ÷ {sums.show(before, key)} × 100"
    sums.line(_("share"), _("cut away ÷ blank × 100"), numbers, percent, "per cent")
    return CutAway(percent, other if solid else away, away if solid else other, sums.working())


def bar_length(blanks: int, each: Quantity, *, parting: Quantity | None = None, grip: Quantity | None = None) -> Result:
    """Return the bar that so many blanks take: n·(length + parting allowance) + the gripping end. Formula [3].

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> bar_length(10, Q(20, "mm"), parting=Q(3, "mm"), grip=Q(40, "mm")).value.magnitude
    270.0
    """
    number = count(blanks, _("number of blanks"), MOST_BLANKS)
    sums, long, lost, held = _bar_lines(_("Bar for a batch"), each, parting, grip)
    numbers = f"{number} × ({sums.show(long, 'length')} + {sums.show(lost, 'length')}) + {sums.show(held, 'length')}"
    value = sums.line(_("bar"), _("n·(length + parting) + grip"), numbers, number * (long + lost) + held, "length")
    return Result(value, sums.working())


def blanks_from_bar(
    bar: Quantity, each: Quantity, *, parting: Quantity | None = None, grip: Quantity | None = None
) -> Result:
    """Return how many blanks a bar gives; the left-over end is in the working. Zero where it is too short. [3].

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> blanks_from_bar(Q(22.75, "in"), Q(2, "in"), parting=Q(0.125, "in"), grip=Q(1.5, "in")).value.magnitude
    10
    """
    whole = amount(bar, LENGTH, _("length of the bar"))
    sums, long, lost, held = _bar_lines(_("Blanks from a bar"), each, parting, grip)
    # A hair short of a whole number is rounding, not a blank lost.
    number = max(0, math.floor((whole - held) / (long + lost) + 1e-9))
    rest = max(0.0, whole - number * (long + lost))
    sums.line(_("left over"), _("with the gripping end"), "", rest, "length")
    parts = f"({sums.show(whole, 'length')} − {sums.show(held, 'length')})"
    numbers = f"{parts} ÷ ({sums.show(long, 'length')} + {sums.show(lost, 'length')})"
    numbers = _("{quotient}, rounded down", quotient=numbers)
    sums.line(_("blanks"), _("(bar − grip) ÷ (length + parting)"), numbers, number, "number")
    return Result(registry().Quantity(number, "dimensionless"), sums.working())


def _bar_lines(
    title: str, each: Quantity, parting: Quantity | None, grip: Quantity | None
) -> tuple[WorkingBuilder, float, float, float]:
    sums = WorkingBuilder(title, each)
    long = amount(each, LENGTH, _("length of a blank"))
    lost, held = optional(parting, LENGTH, _("parting allowance")), optional(grip, LENGTH, _("gripping end"))
    sums.given(_("length"), _("of one blank"), long, "length")
    sums.given(_("parting"), _("allowance for each cut and its facing"), lost, "length")
    sums.given(_("grip"), _("end that the chuck holds"), held, "length")
    return sums, long, lost, held


@dataclass(frozen=True)
class NearestStock:
    """The stock size nearest to a wanted one, those on either side (None beyond the table), and the difference.

    `difference`: nearest − wanted; `section_percent`: how much more (or, negative, less) section it has.
    """

    nearest: Quantity
    below: Quantity | None
    above: Quantity | None
    difference: Quantity
    section_percent: float
    working: Working


def nearest_stock(wanted: Quantity, unit: str | None = None, own: tuple[Quantity, ...] | None = None) -> NearestStock:
    """Return the nearest stock size for a bar of that size, and what difference it makes.

    unit: "mm" or "in" stock; None for the system that the size was given in. own: the sizes the shop really has, which
    stand above the table. ValueError for no sizes at all.

    >>> from calcs.units.registry import registry
    >>> Q = registry().Quantity
    >>> found = nearest_stock(Q(0.95, "in"))
    >>> found.nearest.magnitude, round(found.above.magnitude, 4)
    (0.9375, 1.0)
    """
    size = amount(wanted, LENGTH, _("size"))
    sums = WorkingBuilder(_("Nearest stock"), wanted)
    if unit not in (None, "mm", "in"):
        raise ValueError(_('Stock is sold in "mm" or "in".'))
    table = stock_sizes()[unit or ("in" if sums.inch else "mm")]
    sizes = [float(one) for one in table] if own is None else [amount(one, LENGTH, _("stock size")) for one in own]
    if not sizes:
        raise ValueError(_("There are no stock sizes to choose from."))
    near = min(sizes, key=lambda one: abs(one - size))
    below = max((one for one in sizes if one <= size * (1 + 1e-9)), default=None)
    above = min((one for one in sizes if one >= size * (1 - 1e-9)), default=None)
    sums.given(_("wanted"), _("size"), size, "length")
    source = _("common sizes of bar, from memory") if own is None else _("your own sizes")
    value = sums.line(_("nearest"), _("from the sizes there are"), "", near, "length", source)
    percent = ((near / size) ** 2 - 1) * 100
    numbers = f"(({sums.show(near, 'length')} ÷ {sums.show(size, 'length')})² − 1) × 100"
    sums.line(_("section"), _("((nearest ÷ wanted)² − 1) × 100, more or less of it"), numbers, percent, "per cent")
    numbers = f"{sums.show(near, 'length')} − {sums.show(size, 'length')}"
    difference = sums.line(_("difference"), _("nearest − wanted"), numbers, near - size, "length")
    under, over = (None if one is None else sums.quantity(one, "length") for one in (below, above))
    return NearestStock(value, under, over, difference, percent, sums.working())
