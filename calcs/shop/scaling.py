"""Full size to model and back: what a scale does to lengths, areas, volumes and masses.

A scale is the exact ratio model / full size: 1:6 is Fraction(1, 6). Lengths go with the ratio, areas with its
square, volumes (and masses of the same material) with its cube: the square-cube law.
"""

import math
from fractions import Fraction

from calcs.messages import _, gettext_noop
from calcs.typed.scales import check_ratio
from calcs.typed.text import in_figures
from calcs.units.argument_checks import Quantity, amount, count
from calcs.units.figures import format_plain, format_significant
from calcs.units.kinds import AREA, LENGTH, MASS, VOLUME
from calcs.units.registry import registry, sign_of
from calcs.working.builder import Result, WorkingBuilder
from calcs.working.result import Step, Working


def to_model(full_size: Quantity, ratio: Fraction | float) -> Result:
    """The size on the model, with its working: lengths by the ratio, areas by its square, volumes and masses (of
    the same material) by its cube. The answer keeps the unit given. ValueError for a ratio of zero
    or less, and for anything else than those four.

    >>> from calcs.units.registry import registry
    >>> to_model(registry().Quantity(640, "kg"), Fraction(1, 8)).value.magnitude
    1.25
    """
    check_ratio(ratio)
    return _between(_("To the model"), _("full size"), full_size, Fraction(ratio))


def to_full_size(model: Quantity, ratio: Fraction | float) -> Result:
    """The size that a model's size stands for, with its working; the other way round from `to_model`.

    >>> from calcs.units.registry import registry
    >>> to_full_size(registry().Quantity(2, "inch"), Fraction(1, 6)).value.magnitude
    12.0
    """
    check_ratio(ratio)
    return _between(_("To full size"), _("model"), model, 1 / Fraction(ratio))


_POWERS = (
    (LENGTH, 1, gettext_noop("length")),
    (AREA, 2, gettext_noop("area")),
    (VOLUME, 3, gettext_noop("volume")),
    (MASS, 3, gettext_noop("mass")),
)


def _between(title: str, symbol: str, given: Quantity, factor: Fraction) -> Result:
    check = getattr(given, "check", lambda _: False)
    found = next(((power, _(name)) for kind, power, name in _POWERS if check(kind.base)), None)
    if found is None:
        raise ValueError(_("This scales lengths, areas, volumes and masses, and what was given is something else."))
    power, name = found
    size = float(given.magnitude) if isinstance(given.magnitude, (int, float)) else math.nan
    if not math.isfinite(size) or size < 0:
        raise ValueError(_("The {name} to be scaled must be a finite figure of zero or more.", name=name))
    try:
        value = float(Fraction(size) * factor**power)
    except OverflowError:
        raise ValueError(_("The {name} to be scaled lies outside what a workshop can mean.", name=name)) from None
    unit, shown = sign_of(given.units), format_plain(size)
    ratio = in_figures(factor) if factor >= 1 else f"1/{in_figures(1 / factor)}"
    raised = {1: "", 2: "²", 3: "³"}[power]
    formula = _("{size} × ratio{raised}", size=symbol, raised=raised)
    source = _("square-cube law") if power > 1 else ""
    answer = f"{format_significant(value, unit)} {unit}"
    steps = (
        Step(symbol, name, "", size, unit, "", f"{shown} {unit}"),
        Step(_("result"), formula, f"{shown} × ({ratio}){raised}", value, unit, source, answer),
    )
    return Result(registry().Quantity(value, given.units), Working(title, steps))


def swept_volume(bore: Quantity, stroke: Quantity, cylinders: int = 1) -> Result:
    """The volume that an engine's pistons sweep: (π/4)·bore²·stroke·cylinders, in cm³ or in³ as the bore is given.

    >>> from calcs.units.registry import registry
    >>> round(swept_volume(registry().Quantity(1, "inch"), registry().Quantity(1, "inch")).value.magnitude, 4)
    0.7854
    """
    across, long = amount(bore, LENGTH, _("bore")), amount(stroke, LENGTH, _("stroke"))
    number = count(cylinders, _("number of cylinders"), 1000)
    sums = WorkingBuilder(_("Swept volume"), bore)
    per = "" if sums.inch else " ÷ 1000"
    numbers = f"π ÷ 4 × {sums.show(across, 'length')}² × {sums.show(long, 'length')} × {number}{per}"
    cubic = math.pi / 4 * across**2 * long * number
    formula = _("(π ÷ 4)·bore²·stroke·cylinders") + per
    return Result(sums.line("V", formula, numbers, cubic, "volume"), sums.working())
