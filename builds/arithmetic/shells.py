"""What pulls on a plain wall under pressure: the caution and the codes first, and no word on whether it is enough."""

from __future__ import annotations

from typing import ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact
from builds.arithmetic.fields import LengthField, MeasureField
from builds.arithmetic.forms import Kind, SumForm
from builds.arithmetic.springs import in_both_units
from calcs.messages import _, gettext_noop
from calcs.shop.shells import hoop_stress
from calcs.units.kinds import PRESSURE

_SOURCE = gettext_noop("G. Lamé 1852, thick cylinders, and the thin wall of the textbooks.")


def stress_of_wall(form: SumForm) -> Answer:
    """The stress at the bore and through the wall, under the caution."""
    found = hoop_stress(form.cleaned_data["inside"], form.cleaned_data["wall"], form.cleaned_data["pressure"])
    facts = (Fact(_("Average through the wall"), in_stress(found.through_wall), _("as for a thin wall")),)
    remarks = (
        _("This is the stress of a plain seamless tube, cold, far from its ends."),
        _("Joints, holes, bushes, stays, flat plates, heat, wear and age are not in it, and often decide."),
    )
    return Answer(
        _("Stress round the wall, at the bore"),
        in_stress(found.at_bore),
        _("for learning only; it says nothing of what the wall may carry"),
        facts,
        remarks,
        workings=(found.working,),
        sources=(_(_SOURCE),),
        first=found.cautions,
    )


def in_stress(stress: float) -> str:
    """A stress in MPa, with pounds to the square inch in thousands in brackets."""
    return in_both_units(stress, "megapascal", "ksi", "MPa", "ksi")


class ShellsForm(SumForm):
    """A round shell: its bore, its wall and the pressure within."""

    inside = LengthField(gettext_lazy("Inside diameter"), ("100 mm", "4 in"))
    wall = LengthField(gettext_lazy("Wall"), ("2.5 mm", "0.1 in"))
    pressure = MeasureField(gettext_lazy("Pressure inside"), PRESSURE, ("bar", "psi"), ("6 bar", "90 psi"))

    kinds: ClassVar[dict[str, Kind]] = {
        "shell": Kind(
            gettext_lazy("A plain round wall"),
            stress_of_wall,
            ("inside", "wall", "pressure"),
            needed=("inside", "wall", "pressure"),
        ),
    }
