"""Stock: what a blank weighs, what of it goes into the swarf, and how much bar a batch takes."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any, ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact
from builds.arithmetic.fields import CountField, LengthField, MeasureField, PickField
from builds.arithmetic.forms import Kind, SumForm
from calcs.messages import _, ngettext
from calcs.shop.reference_tables import Chosen, cited, densities, density_of
from calcs.shop.stock import (
    CutAway,
    Section,
    bar_length,
    blanks_from_bar,
    cut_away,
    flat_bar,
    hexagon_bar,
    mass,
    round_bar,
    square_bar,
    tube,
    volume,
)
from calcs.units.kinds import DENSITY, MASS, VOLUME
from calcs.units.quantity_text import format_both, format_quantity, format_quantity_four

OTHER = "something else"


def blank(form: SumForm, section: Callable[..., Section], names: tuple[str, ...]) -> Answer:
    """The mass of a blank and, where the finished part is known, what is cut away."""
    piece = section(*(form.cleaned_data[name] for name in names))
    density = density_for(form)
    length, pieces = form.cleaned_data["length"], form.cleaned_data.get("pieces") or 1
    cubic, heavy = volume(piece, length), mass(piece, length, density.value)
    dense = format_quantity(density.value.to("kilogram / meter ** 3"))
    facts = [
        Fact(_("Volume"), format_quantity(cubic.value)),
        Fact(_("Section"), format_quantity(piece.area)),
        Fact(_("Density"), dense, density.words),
    ]
    workings = [heavy.working]
    away = swarf(form, cubic.value, heavy.value, density)
    if away is not None:
        facts += swarf_facts(form, away)
        workings.append(away.working)
    also = _("{number} of them {mass}", number=pieces, mass=mass_words(heavy.value * pieces)) if pieces > 1 else ""
    source = _("Density {density}: {source}.", density=dense, source=cited(density.source, density.status))
    return Answer(
        _("Mass of the blank"),
        mass_words(heavy.value),
        also,
        facts=tuple(facts),
        workings=tuple(workings),
        sources=() if density.status == "own" else (source,),
        operation="sawing",
        material=form.cleaned_data.get("material") or "",
    )


def tube_blank(outer: Any, inner: Any) -> Section:
    return tube(outer, inner=inner)


def density_for(form: SumForm) -> Chosen:
    """The density typed, or the table's for the material. ValueError where there is neither."""
    own, material = form.cleaned_data.get("density"), form.cleaned_data.get("material") or OTHER
    if own is None and material == OTHER:
        raise ValueError(_("Write the density, like 7850 kg/m³, or choose a material."))
    return density_of(material, own)


def swarf(form: SumForm, cubic: Any, heavy: Any, density: Chosen) -> CutAway | None:
    """What is cut away, from the finished mass or the finished volume."""
    kept = form.given("finished_mass", "finished_volume")
    if len(kept) == 2:
        raise ValueError(_("Give the finished mass or the finished volume, one of the two."))
    if "finished_mass" in kept:
        return cut_away(heavy, kept["finished_mass"], density.value)
    if "finished_volume" in kept:
        return cut_away(cubic, kept["finished_volume"], density.value)
    return None


def swarf_facts(form: SumForm, away: CutAway) -> list[Fact]:
    """Chips in per cent, mass and volume."""
    share = f"{away.percent:.0f} %" if away.percent >= 1 or not away.percent else _("under {least} %", least=1)
    facts = [Fact(_("Cut away"), share, _("of the blank"))]
    inch = form.of_unit == "in"
    if away.mass is not None:
        facts.append(Fact(_("Chips"), mass_words(away.mass.to("pound" if inch else "kilogram"))))
    if away.volume is not None:
        solid = format_quantity(away.volume.to("inch ** 3" if inch else "centimeter ** 3"))
        facts.append(Fact(_("Chips, solid"), solid, _("lying loose they fill many times that")))
    return facts


def mass_words(quantity: Any) -> str:
    """A mass in grams below a kilogram, in kilograms above; or in ounces and pounds."""
    if str(quantity.units) == "pound":
        small, some = quantity.to("ounce"), 16
    else:
        small, some = quantity.to("gram"), 1000
    return format_quantity_four(small if small.magnitude < some else quantity)


def bar_for_blanks(form: SumForm) -> Answer:
    """How long a bar a batch takes."""
    given = form.given("parting", "grip")
    result = bar_length(form.cleaned_data["blanks"], form.cleaned_data["each"], **given)
    return Answer(_("Bar for the batch"), format_both(result.value), workings=(result.working,), operation="sawing")


def blanks_of_bar(form: SumForm) -> Answer:
    """How many blanks a bar gives."""
    given = form.given("parting", "grip")
    result = blanks_from_bar(form.cleaned_data["bar"], form.cleaned_data["each"], **given)
    number = int(result.value.magnitude)
    rest = result.working.steps[-2].answer  # the line before the last: what is left over
    if number:
        blanks = ngettext("{n} blank", "{n} blanks", number)
        also = _("{length} is left over, with the gripping end", length=rest)
    else:
        blanks, also = _("None"), _("The bar is too short for one blank, its cut and the gripping end.")
    return Answer(_("The bar gives"), blanks, also, workings=(result.working,), operation="sawing")


def materials() -> list[tuple[str, Any]]:
    """The materials of the tables, and one of a density of your own."""
    return [
        *((name, _(name)) for name in sorted(densities())),
        (OTHER, gettext_lazy("something else, of a density of my own")),
    ]


_ALSO = ("material", "density", "finished_mass", "finished_volume")


def _blank(label: Any, section: Callable[..., Section], *sizes: str, **labels: Any) -> Kind:
    fields = (*sizes, "length", *_ALSO)
    work = partial(blank, section=section, names=sizes)
    return Kind(label, work, fields, ("pieces",), (*sizes, "length"), labels)


class StockForm(SumForm):
    """The shape of the stock decides which sizes are asked."""

    asks = gettext_lazy("Stock")

    diameter = LengthField(gettext_lazy("Diameter"), ("25 mm", "1 in"))
    across = LengthField(gettext_lazy("Side of the square"), ("20 mm", "3/4 in"))
    width = LengthField(gettext_lazy("Width"), ("50 mm", "2 in"))
    thickness = LengthField(gettext_lazy("Thickness"), ("10 mm", "3/8 in"))
    outer = LengthField(gettext_lazy("Outer diameter"), ("40 mm", "1-1/2 in"))
    inner = LengthField(gettext_lazy("Inner diameter"), ("30 mm", "1-1/4 in"))
    length = LengthField(gettext_lazy("Length of the blank"), ("60 mm", "2-1/2 in"))
    material = PickField(gettext_lazy("Material"), materials, initial="mild steel")
    density = MeasureField(
        gettext_lazy("Density"),
        DENSITY,
        ("kg/m^3", "lb/in^3"),
        help_text=gettext_lazy("Left empty, the table's for the material."),
    )
    finished_mass = MeasureField(gettext_lazy("Finished part weighs"), MASS, ("g", "oz"), ("25 g", "0.9 oz"))
    finished_volume = MeasureField(
        gettext_lazy("or measures"),
        VOLUME,
        ("cm^3", "in^3"),
        help_text=gettext_lazy("Its volume, where the mass is not known."),
    )
    pieces = CountField(gettext_lazy("Pieces"), "1", most=100_000)
    blanks = CountField(gettext_lazy("Blanks"), "10", most=100_000)
    bar = LengthField(gettext_lazy("Length of the bar"), ("1 m", "3 ft"))
    each = LengthField(gettext_lazy("Length of one blank"), ("20 mm", "3/4 in"))
    parting = LengthField(
        gettext_lazy("Parting allowance"),
        ("3 mm", "1/8 in"),
        help_text=gettext_lazy("Saw or parting tool, and the facing, for each blank."),
    )
    grip = LengthField(
        gettext_lazy("Gripping end"),
        ("40 mm", "1-1/2 in"),
        help_text=gettext_lazy("What the chuck holds of the last of the bar."),
    )

    kinds: ClassVar[dict[str, Kind]] = {
        "round": _blank(gettext_lazy("Round bar"), round_bar, "diameter"),
        "square": _blank(gettext_lazy("Square bar"), square_bar, "across"),
        "hexagon": _blank(gettext_lazy("Hexagon bar"), hexagon_bar, "across", across=gettext_lazy("Across flats")),
        "flat": _blank(gettext_lazy("Flat bar, plate or block"), flat_bar, "width", "thickness"),
        "tube": _blank(gettext_lazy("Tube, ring or disc with a hole"), tube_blank, "outer", "inner"),
        "bar-for-blanks": Kind(
            gettext_lazy("Bar for a batch of blanks"),
            bar_for_blanks,
            ("blanks", "each", "parting", "grip"),
            needed=("blanks", "each"),
        ),
        "blanks-from-bar": Kind(
            gettext_lazy("Blanks from a bar"), blanks_of_bar, ("bar", "each", "parting", "grip"), needed=("bar", "each")
        ),
    }
