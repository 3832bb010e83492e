"""Full size to model and back: what a scale does to lengths, areas, volumes and masses.

A scale is the exact ratio model / full size: 1:6 is Fraction(1, 6). Lengths go with the ratio, areas with its
square, volumes (and masses of the same material) with its cube: the square-cube law.
"""

import math
from fractions import Fraction

from calcs.messages import _, gettext_noop
from calcs.typed.scales import check_ratio
from calcs.typed.text import rounded
from calcs.units.argument_checks import Quantity, amount, count
from calcs.units.figures import format_plain, format_significant
from calcs.units.kinds import AREA, LENGTH, MASS, VOLUME
from calcs.units.registry import registry, sign_of
from calcs.working.builder import Result, WorkingBuilder
from calcs.working.exactly_enough import format_in_full
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
    return _between(_("full size to model"), (_("full size"), _("model")), full_size, Fraction(ratio))


def to_full_size(model: Quantity, ratio: Fraction | float) -> Result:
    """The size that a model's size stands for, with its working; the other way round from `to_model`.

    >>> from calcs.units.registry import registry
    >>> to_full_size(registry().Quantity(2, "inch"), Fraction(1, 6)).value.magnitude
    12.0
    """
    check_ratio(ratio)
    return _between(_("model to full size"), (_("model"), _("full size")), model, 1 / Fraction(ratio))


_POWERS = (
    (LENGTH, 1, gettext_noop("length")),
    (AREA, 2, gettext_noop("area")),
    (VOLUME, 3, gettext_noop("volume")),
    (MASS, 3, gettext_noop("mass")),
)


def _between(title: str, ends: tuple[str, str], given: Quantity, factor: Fraction) -> Result:
    """Take a size from the first end to the second, its lines in the unit given."""
    check = getattr(given, "check", lambda _: False)
    found = next((one for one in _POWERS if check(one[0].base)), None)
    if found is None:
        raise ValueError(_("This scales lengths, areas, volumes and masses, and what was given is something else."))
    kind, power, name = found
    amount(given, kind, _(name), zero=True)
    size, unit = float(given.magnitude), sign_of(given.units)
    try:
        value = float(Fraction(size) * factor**power)
    except OverflowError:
        raise ValueError(_("The {name} to be scaled is beyond anything in a workshop.", name=_(name))) from None
    raised = {1: "", 2: "²", 3: "³"}[power]
    ratio = str(factor) if factor.denominator <= 1000 else rounded(factor)[0]
    numbers = f"{format_in_full(size)} × {f'({ratio})' if raised else ratio}{raised}"
    answer = f"{format_significant(value, unit)} {unit}"
    steps = (
        Step(_("size"), ends[0], "", size, unit, "", f"{format_plain(size)} {unit}"),
        Step(ends[1], _("size × ratio") + raised, numbers, value, unit, "", answer),
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
