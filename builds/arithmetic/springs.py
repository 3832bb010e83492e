"""A small coil spring: how stiff it is, and what its wire bears."""

from __future__ import annotations

from typing import ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact
from builds.arithmetic.fields import LengthField, NumberField, PickField
from builds.arithmetic.forms import Kind, SumForm
from calcs.messages import _
from calcs.shop.springs import WIRES, Spring, coil_spring
from calcs.units.figures import format_significant
from calcs.units.quantity_text import format_both
from calcs.units.registry import registry


def spring(form: SumForm) -> Answer:
    """The rate of a spring, its force at the travel, and its stress beside what is usual."""
    cleaned = form.cleaned_data
    wire, outer = cleaned["wire"], cleaned["outer"]
    material = cleaned["material"] or next(iter(WIRES))
    wire_of = WIRES[material]
    found = coil_spring(wire, outer - wire, cleaned["coils"], cleaned["travel"], material)
    solid = wire * (cleaned["coils"] + 2)
    facts = (
        Fact(_("Force"), in_both_units(found.force, "newton", "force_pound", "N", "lbf"), _("at that travel")),
        Fact(_("Stress of the wire"), in_both_units(found.stress, "megapascal", "ksi", "MPa", "ksi"), usual(found)),
        Fact(_("Coil to wire"), f"{found.index:.3g}"),
        Fact(_("Pressed solid"), format_both(solid), _("with two dead coils at the ends")),
    )
    rate = in_both_units(found.rate, "newton / millimeter", "force_pound / inch", "N/mm", "lbf/in")
    said = _("for {coils} active coils of {material}", coils=f"{cleaned['coils']:g}", material=_(wire_of.name))
    source = _(
        "Shigley, Mechanical Engineering Design, helical springs. From memory: shear modulus {shear} MPa, strength "
        "{tensile} ÷ d^{fall} MPa for a wire of d mm, {share} % of which is usual.",
        shear=format_significant(wire_of.shear),
        tensile=format_significant(wire_of.tensile),
        fall=f"{wire_of.fall:g}",
        share=f"{100 * wire_of.share:g}",
    )
    return Answer(_("Rate"), rate, said, facts, found.remarks, workings=(found.working,), sources=(source,))


def usual(found: Spring) -> str:
    """What the wire usually bears, where the table reaches it."""
    if found.usual_most is None:
        return ""
    return _("up to {most} MPa is usual", most=format_significant(found.usual_most))


def in_both_units(size: float, unit: str, other: str, sign: str, other_sign: str) -> str:
    """A figure in its metric unit, with the inch one in brackets."""
    inch = float(registry().Quantity(size, unit).to(other).magnitude)
    return f"{format_significant(size)} {sign} ({format_significant(inch)} {other_sign})"


class SpringsForm(SumForm):
    """A round wire wound to a coil, pushed or pulled."""

    wire = LengthField(gettext_lazy("Wire"), ("1 mm", "0.04 in"))
    outer = LengthField(gettext_lazy("Outside of the coil"), ("11 mm", "0.44 in"))
    coils = NumberField(gettext_lazy("Active coils"), "8", least=0.5, most=500)
    travel = LengthField(gettext_lazy("Travel"), ("10 mm", "3/8 in"))
    material = PickField(gettext_lazy("Wire is of"), [(key, gettext_lazy(wire.name)) for key, wire in WIRES.items()])

    kinds: ClassVar[dict[str, Kind]] = {
        "coil": Kind(
            gettext_lazy("A coil spring"),
            spring,
            ("wire", "outer", "coils", "travel", "material"),
            needed=("wire", "outer", "coils", "travel"),
        ),
    }
