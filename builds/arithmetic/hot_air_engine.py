"""A hot-air engine with a displacer: its air spaces as the crank turns, and a drawing of where both pistons stand."""

from __future__ import annotations

from functools import partial
from typing import ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact, Table
from builds.arithmetic.engine_drawings import quarters
from builds.arithmetic.fields import AngleField, LengthField, MeasureField
from builds.arithmetic.forms import Kind, SumForm
from builds.arithmetic.hot_air_drawing import hot_air_drawing
from calcs.engines.hot_air import HotAirEngine, hot_air_engine
from calcs.messages import _
from calcs.shop.cautions import BOILER_SENTENCE
from calcs.units.figures import format_significant
from calcs.units.kinds import VOLUME
from calcs.units.quantity_text import format_quantity
from calcs.units.registry import LengthUnit, registry


def spaces(form: SumForm) -> Answer:
    """The compression ratio, and where the air is at a crank angle."""
    cleaned, unit = form.cleaned_data, form.of_unit
    sizes = (cleaned["displacer_bore"], cleaned["displacer_stroke"]), (cleaned["bore"], cleaned["stroke"])
    lead = 90.0 if cleaned.get("lead") is None else cleaned["lead"]
    found = hot_air_engine(*sizes, cleaned["angle"] or 0.0, lead, cleaned.get("dead"))
    facts = (
        Fact(_("In the hot end"), in_volume(found.now.hot, unit), hot_share(found)),
        Fact(_("In the cold end"), in_volume(found.now.cold, unit)),
        Fact(_("In the power cylinder"), in_volume(found.now.power, unit)),
        Fact(_("All the air"), in_volume(found.now.whole, unit), _("with what neither sweeps")),
    )
    remarks = (
        _("The displacer usually leads by about 90° (common practice). The engine runs the way in which it leads."),
        _("Volumes are worked out as by a very long rod, and the displacer's own rod is left out."),
        _("An engine that is pumped up is a pressure vessel.") + " " + _(BOILER_SENTENCE),
    )
    drawn = partial(hot_air_drawing, found, strokes=tuple(float(one[1].to("mm").magnitude) for one in sizes))
    return Answer(
        _("Compression ratio"),
        _("{ratio} to 1", ratio=format_significant(found.compression)),
        _("of all the air, over a turn"),
        facts,
        remarks,
        (turn_table(found, unit),),
        (found.working,),
        drawing=drawn(found.now.angle),
        positions=quarters(drawn),
    )


def in_volume(cubic: float, unit: LengthUnit) -> str:
    """A volume of mm³ in cm³ or in³."""
    quantity = registry().Quantity(cubic, "millimeter ** 3")
    return format_quantity(quantity.to("inch ** 3" if unit == "in" else "centimeter ** 3"))


def hot_share(found: HotAirEngine) -> str:
    """How much of what the displacer sweeps is hot."""
    share = found.now.hot / found.displacer * 100
    return _("{share} % of what the displacer sweeps", share=f"{share:.0f}")


def turn_table(found: HotAirEngine, unit: LengthUnit) -> Table:
    """The air spaces over one turn."""
    volume = "in³" if unit == "in" else "cm³"
    heads = (_("Crank"), _("Hot, {unit}", unit=volume), _("Cold"), _("Power cylinder"), _("All the air"))

    def size(cubic: float) -> str:
        quantity = registry().Quantity(cubic, "millimeter ** 3")
        return f"{quantity.to('inch ** 3').magnitude:.3f}" if unit == "in" else f"{cubic / 1000:.2f}"

    at = (found.spaces(angle) for angle in range(0, 360, 30))
    rows = tuple((f"{one.angle}°", *(size(air) for air in (one.hot, one.cold, one.power, one.whole))) for one in at)
    return Table(_("Over one turn"), heads, rows, (0, 1, 2, 3, 4), folded=True)


class HotAirForm(SumForm):
    """A displacer, a power piston and a crank."""

    displacer_bore = LengthField(gettext_lazy("Displacer cylinder, bore"), ("40 mm", "1-1/2 in"))
    displacer_stroke = LengthField(gettext_lazy("Displacer, stroke"), ("30 mm", "1-1/8 in"))
    bore = LengthField(gettext_lazy("Power cylinder, bore"), ("25 mm", "1 in"))
    stroke = LengthField(gettext_lazy("Power piston, stroke"), ("24 mm", "7/8 in"))
    lead = AngleField(gettext_lazy("Displacer leads by"), "90", help_text=gettext_lazy("Degrees, 0 to 180."))
    dead = MeasureField(
        gettext_lazy("Air that neither sweeps"),
        VOLUME,
        ("cm^3", "in^3"),
        ("4 cm³", "0.25 in³"),
        help_text=gettext_lazy("Round the displacer, in passages and clearances."),
    )
    angle = AngleField(
        gettext_lazy("Crank angle"), "60", help_text=gettext_lazy("Degrees past the power piston's innermost place.")
    )

    kinds: ClassVar[dict[str, Kind]] = {
        "spaces": Kind(
            gettext_lazy("Air spaces by crank angle"),
            spaces,
            ("displacer_bore", "displacer_stroke", "bore", "stroke", "lead", "dead", "angle"),
            needed=("displacer_bore", "displacer_stroke", "bore", "stroke"),
            turned="angle",
        ),
    }
