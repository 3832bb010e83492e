"""Shrinking a ring on: how hot it is made, with the caution first."""

from __future__ import annotations

from typing import ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact
from builds.arithmetic.fields import LengthField, NumberField, PickField
from builds.arithmetic.forms import Kind, SumForm
from calcs.messages import _, gettext_noop
from calcs.shop.cautions import cautions_for
from calcs.shop.shrinking import METALS, shrink_fit
from calcs.units.quantity_text import format_both

_SOURCE = gettext_noop(
    "Expansion of {metal}: {expansion} millionths for each °C, from memory; "
    "a maker's sheet or your own trial counts before it."
)


def heat_of_ring(form: SumForm) -> Answer:
    """The heat of the ring; ring and shaft start as warm as the shop."""
    cleaned = form.cleaned_data
    bore, shaft = cleaned["bore"], cleaned["shaft"]
    metal = cleaned["metal"] or next(iter(METALS))
    room = 20.0 if cleaned["room"] is None else cleaned["room"]
    own = cleaned["expansion"]
    found = shrink_fit(bore, shaft, cleaned["clearance"], metal, room, own)
    facts = (
        Fact(_("Warmer than the shop by"), in_both_degrees(found.rise, rise=True)),
        Fact(_("Shaft larger than the bore by"), format_both(shaft - bore), _("on the diameter")),
        Fact(_("Room when hot"), format_both(cleaned["clearance"]), _("on the diameter, with the shaft cold")),
    )
    used = _(_SOURCE).format(metal=_(METALS[metal].name), expansion=f"{METALS[metal].expansion:g}")
    cools = _("The ring cools on the way and the shaft warms at once: make it somewhat hotter, and be quick.")
    return Answer(
        _("Make the ring as hot as"),
        in_both_degrees(found.heat),
        _("right through"),
        facts,
        (*found.remarks, cools),
        workings=(found.working,),
        sources=() if own else (used,),
        first=cautions_for("heat treatment"),
    )


def in_both_degrees(heat: float, *, rise: bool = False) -> str:
    """A heat in °C with °F in brackets; of a rise, without the 32 that only a thermometer has.

    >>> in_both_degrees(100), in_both_degrees(100, rise=True)
    ('100 °C (212\xa0°F)', '100 °C (180\xa0°F)')
    """
    return f"{heat:.0f} °C ({heat * 9 / 5 + (0 if rise else 32):.0f}\N{NO-BREAK SPACE}°F)"


class ShrinkingForm(SumForm):
    """A ring, and the larger shaft that it goes over."""

    bore = LengthField(gettext_lazy("Bore of the ring, cold"), ("20 mm", "3/4 in"))
    shaft = LengthField(gettext_lazy("Diameter of the shaft"), ("20.02 mm", "0.751 in"))
    clearance = LengthField(
        gettext_lazy("Room wanted when hot"),
        ("0.02 mm", "1 thou"),
        help_text=gettext_lazy("On the diameter, so that the ring drops on."),
    )
    metal = PickField(gettext_lazy("Ring is of"), [(key, gettext_lazy(metal.name)) for key, metal in METALS.items()])
    room = NumberField(gettext_lazy("The shop is at, in °C"), "20", least=0, most=60)
    expansion = NumberField(
        gettext_lazy("Expansion of your own, in millionths for each °C"),
        least=0.5,
        most=200,
        help_text=gettext_lazy("The table's where left empty."),
    )

    kinds: ClassVar[dict[str, Kind]] = {
        "ring": Kind(
            gettext_lazy("A ring shrunk on"),
            heat_of_ring,
            ("bore", "shaft", "clearance", "metal", "room"),
            ("expansion",),
            needed=("bore", "shaft", "clearance"),
        ),
    }
