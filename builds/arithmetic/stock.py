"""Stock: what a blank weighs, what of it goes into the swarf, and how much bar a batch takes."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any, ClassVar

from builds.arithmetic.answers import Answer, Fact, both, in_four, said
from builds.arithmetic.fields import CountField, LengthField, MeasureField, PickField
from builds.arithmetic.forms import Kind, SumForm
from calcs.shop.reference_tables import Chosen, densities, density_of
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
from calcs.typed import measures

OTHER = "something else"


def blank(form: SumForm, section: Callable[..., Section], names: tuple[str, ...]) -> Answer:
    """The mass of a blank and, where the finished part is known, what is cut away."""
    piece = section(*(form.cleaned_data[name] for name in names))
    density = density_for(form)
    length, pieces = form.cleaned_data["length"], form.cleaned_data.get("pieces") or 1
    cubic, heavy = volume(piece, length), mass(piece, length, density.value)
    facts = [
        Fact("Volume", said(cubic.value)),
        Fact("Section", said(piece.area)),
        Fact("Density", said(density.value.to("kilogram / meter ** 3")), density.words),
    ]
    workings = [heavy.working]
    away = swarf(form, cubic.value, heavy.value, density)
    if away is not None:
        facts += swarf_facts(form, away)
        workings.append(away.working)
    also = f"{pieces} of them {mass_words(heavy.value * pieces)}" if pieces > 1 else ""
    source = "" if density.status == "own" else f"Density: {density.source} ({density.status})."
    return Answer(
        "Mass of the blank",
        mass_words(heavy.value),
        also,
        facts=tuple(facts),
        workings=tuple(workings),
        sources=(source,) if source else (),
        operation="sawing",
        material=form.cleaned_data.get("material") or "",
    )


def tube_blank(outer: Any, inner: Any) -> Section:
    return tube(outer, inner=inner)


def density_for(form: SumForm) -> Chosen:
    """The density typed, or the table's for the material. ValueError where there is neither."""
    own, material = form.cleaned_data.get("density"), form.cleaned_data.get("material") or OTHER
    if own is None and material == OTHER:
        raise ValueError("Write the density, like 7850 kg/m³, or choose a material.")
    return density_of(material, own)


def swarf(form: SumForm, cubic: Any, heavy: Any, density: Chosen) -> CutAway | None:
    """What is cut away, from the finished mass or the finished volume."""
    kept = form.given("finished_mass", "finished_volume")
    if len(kept) == 2:
        raise ValueError("Give the finished mass or the finished volume, one of the two.")
    if "finished_mass" in kept:
        return cut_away(heavy, kept["finished_mass"], density.value)
    if "finished_volume" in kept:
        return cut_away(cubic, kept["finished_volume"], density.value)
    return None


def swarf_facts(form: SumForm, away: CutAway) -> list[Fact]:
    """Chips in per cent, mass and volume."""
    facts = [
        Fact(
            "Cut away",
            f"{away.percent:.0f} %" if away.percent >= 1 or not away.percent else "under 1 %",
            "of the blank",
        )
    ]
    if away.mass is not None:
        facts.append(Fact("Chips", mass_words(away.mass.to("pound" if form.of_unit == "in" else "kilogram"))))
    if away.volume is not None:
        unit = "inch ** 3" if form.of_unit == "in" else "centimeter ** 3"
        facts.append(Fact("Chips, solid", said(away.volume.to(unit)), "lying loose they fill many times that"))
    return facts


def mass_words(quantity: Any) -> str:
    """A mass in grams below a kilogram, in kilograms above; or in ounces and pounds."""
    if str(quantity.units) == "pound":
        ounces = quantity.to("ounce")
        return in_four(quantity) if ounces.magnitude >= 16 else in_four(ounces)
    return in_four(quantity.to("gram")) if quantity.to("kilogram").magnitude < 1 else in_four(quantity)


def bar_for_blanks(form: SumForm) -> Answer:
    """How long a bar a batch takes."""
    given = form.given("parting", "grip")
    result = bar_length(form.cleaned_data["blanks"], form.cleaned_data["each"], **given)
    return Answer("Bar for the batch", both(result.value), workings=(result.working,), operation="sawing")


def blanks_of_bar(form: SumForm) -> Answer:
    """How many blanks a bar gives."""
    given = form.given("parting", "grip")
    result = blanks_from_bar(form.cleaned_data["bar"], form.cleaned_data["each"], **given)
    number = int(result.value.magnitude)
    rest = next(step.answer for step in result.working.steps if step.symbol == "left over")
    words = f"{number} blank{'' if number == 1 else 's'}" if number else "None"
    also = (
        "The bar is too short for one blank, its cut and the gripping end."
        if not number
        else f"{rest} is left over, with the gripping end"
    )
    return Answer("The bar gives", words, also, workings=(result.working,), operation="sawing")


def _materials() -> list[tuple[str, str]]:
    return [*((name, name) for name in sorted(densities())), (OTHER, f"{OTHER}, of a density of my own")]


_ALSO = ("material", "density", "finished_mass", "finished_volume")


def _blank(label: str, section: Callable[..., Section], *sizes: str, **labels: str) -> Kind:
    fields = (*sizes, "length", *_ALSO)
    work = partial(blank, section=section, names=sizes)
    return Kind(label, work, fields, ("pieces",), (*sizes, "length"), labels)


class StockForm(SumForm):
    """The shape of the stock decides which sizes are asked."""

    asks = "Stock"

    diameter = LengthField("Diameter", ("25 mm", "1 in"))
    across = LengthField("Side of the square", ("20 mm", "3/4 in"))
    width = LengthField("Width", ("50 mm", "2 in"))
    thickness = LengthField("Thickness", ("10 mm", "3/8 in"))
    outer = LengthField("Outer diameter", ("40 mm", "1-1/2 in"))
    inner = LengthField("Inner diameter", ("30 mm", "1-1/4 in"))
    length = LengthField("Length of the blank", ("60 mm", "2-1/2 in"))
    material = PickField("Material", _materials, initial="mild steel")
    density = MeasureField(
        "Density", measures.DENSITY, ("kg/m^3", "lb/in^3"), help_text="Left empty, the table's for the material."
    )
    finished_mass = MeasureField("Finished part weighs", measures.MASS, ("g", "oz"), ("25 g", "0.9 oz"))
    finished_volume = MeasureField(
        "or measures", measures.VOLUME, ("cm^3", "in^3"), help_text="Its volume, where the mass is not known."
    )
    pieces = CountField("Pieces", "1", most=100_000)
    blanks = CountField("Blanks", "10", most=100_000)
    bar = LengthField("Length of the bar", ("1 m", "3 ft"))
    each = LengthField("Length of one blank", ("20 mm", "3/4 in"))
    parting = LengthField(
        "Parting allowance", ("3 mm", "1/8 in"), help_text="Saw or parting tool, and the facing, for each blank."
    )
    grip = LengthField("Gripping end", ("40 mm", "1-1/2 in"), help_text="What the chuck holds of the last of the bar.")

    kinds: ClassVar[dict[str, Kind]] = {
        "round": _blank("Round bar", round_bar, "diameter"),
        "square": _blank("Square bar", square_bar, "across"),
        "hexagon": _blank("Hexagon bar", hexagon_bar, "across", across="Across flats"),
        "flat": _blank("Flat bar, plate or block", flat_bar, "width", "thickness"),
        "tube": _blank("Tube, ring or disc with a hole", tube_blank, "outer", "inner"),
        "bar-for-blanks": Kind(
            "Bar for a batch of blanks",
            bar_for_blanks,
            ("blanks", "each", "parting", "grip"),
            needed=("blanks", "each"),
        ),
        "blanks-from-bar": Kind(
            "Blanks from a bar", blanks_of_bar, ("bar", "each", "parting", "grip"), needed=("bar", "each")
        ),
    }
