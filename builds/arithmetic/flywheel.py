"""A flywheel: the energy that it holds and gives, and, under its caution, what pulls at its rim."""

from __future__ import annotations

from typing import ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact
from builds.arithmetic.engine_crank import in_speed
from builds.arithmetic.fields import LengthField, MeasureField, NumberField, PickField
from builds.arithmetic.forms import Kind, SumForm
from builds.arithmetic.shells import in_stress
from builds.arithmetic.springs import in_both_units
from builds.arithmetic.stock import density_for, mass_words, materials
from calcs.engines.flywheels import flywheel, rim_stress, turns_of_energy
from calcs.messages import _
from calcs.shop.reference_tables import Chosen, cited
from calcs.units.figures import format_significant
from calcs.units.kinds import DENSITY, POWER
from calcs.units.quantity_text import format_quantity


def energy(form: SumForm) -> Answer:
    """What a plain wheel holds at its speed, and what it gives in a swing of it."""
    cleaned, density = form.cleaned_data, density_for(form)
    swing, turns = cleaned["swing"], cleaned["turns"]
    found = flywheel(cleaned["outside"], cleaned["width"], density.value, turns, swing, cleaned.get("inside"))
    note = _("while its speed swings by {swing} %", swing=f"{swing:g}")
    facts = [
        Fact(_("Gives"), in_work(found.given), note),
        Fact(_("Mass"), mass_words(found.mass)),
        Fact(
            _("Inertia"), in_both_units(found.inertia, "kilogram * meter ** 2", "pound * foot ** 2", "kg·m²", "lb·ft²")
        ),
    ]
    if cleaned.get("power") is not None:
        number = turns_of_energy(found.given, cleaned["power"], turns)
        facts.insert(1, Fact(_("Turns that this drives at that power"), format_significant(number)))
    remark = _(
        "A plain disc, or a plain ring where the inside is given: spokes and boss, which hold little, are left out."
    )
    said = _("at {turns} rev/min", turns=format_significant(turns))
    return Answer(
        _("It holds"),
        in_work(found.energy),
        said,
        tuple(facts),
        (remark, _("How fast it may turn is another question: its rim pulls harder with the square of the speed.")),
        workings=found.workings,
        sources=source_of(density),
    )


def in_work(joules: float) -> str:
    """Work in joules, with foot-pounds in brackets."""
    return in_both_units(joules, "joule", "foot * force_pound", "J", "ft·lbf")


def source_of(density: Chosen) -> tuple[str, ...]:
    """Where a density out of the tables comes from."""
    if density.status == "own":
        return ()
    dense = format_quantity(density.value.to("kilogram / meter ** 3"))
    return (_("Density {density}: {source}.", density=dense, source=cited(density.source, density.status)),)


def rim(form: SumForm) -> Answer:
    """How fast a rim goes and what that pulls at it, under the caution."""
    density = density_for(form)
    found = rim_stress(form.cleaned_data["outside"], density.value, form.cleaned_data["turns"])
    remarks = (
        _("This is a plain thin ring, free to grow. Spokes, joints and holes are not in it, and often decide."),
        _("With the outside diameter the figure is on the high side."),
        _("It goes with the square of the speed: a tenth faster pulls a fifth more."),
        _("Old shops kept plain cast-iron rims below a mile a minute, 26.8 m/s or 5,280 ft/min (from memory)."),
    )
    fast = float(found.speed.to("meter / second").magnitude)
    return Answer(
        _("Pull in the rim"),
        in_stress(found.stress),
        _("for learning only; it says nothing of how fast the wheel may turn"),
        (Fact(_("Speed of the rim"), in_speed(fast)),),
        remarks,
        workings=(found.working,),
        sources=source_of(density),
        first=found.cautions,
    )


class FlywheelForm(SumForm):
    """A wheel and its speed."""

    asks = gettext_lazy("What is wanted")

    outside = LengthField(gettext_lazy("Outside diameter"), ("150 mm", "6 in"))
    inside = LengthField(
        gettext_lazy("Inside of the rim"), ("120 mm", "5 in"), help_text=gettext_lazy("Left empty, a solid disc.")
    )
    width = LengthField(gettext_lazy("Width"), ("20 mm", "3/4 in"))
    turns = NumberField(gettext_lazy("Speed, rev/min"), "400", least=0.01, most=500_000)
    swing = NumberField(
        gettext_lazy("Speed may swing by, %"),
        "4",
        least=0.01,
        most=100,
        help_text=gettext_lazy("From the slowest to the fastest."),
    )
    power = MeasureField(gettext_lazy("Power of the engine"), POWER, ("W", "hp"), ("15 W", "1/50 hp"))
    material = PickField(gettext_lazy("Material"), materials, initial="cast iron")
    density = MeasureField(
        gettext_lazy("Density"),
        DENSITY,
        ("kg/m^3", "lb/in^3"),
        help_text=gettext_lazy("Left empty, the table's for the material."),
    )

    kinds: ClassVar[dict[str, Kind]] = {
        "energy": Kind(
            gettext_lazy("What it holds and gives"),
            energy,
            ("outside", "inside", "width", "turns", "swing", "material", "power"),
            ("density",),
            needed=("outside", "width", "turns", "swing"),
        ),
        "rim": Kind(
            gettext_lazy("What pulls at its rim"),
            rim,
            ("outside", "turns", "material"),
            ("density",),
            needed=("outside", "turns"),
        ),
    }
