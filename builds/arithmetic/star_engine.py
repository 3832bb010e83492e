"""Star engines: the rods and their pistons, the firing order, and the cam ring."""

from __future__ import annotations

from functools import partial
from typing import ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact, Table
from builds.arithmetic.engine_drawings import quarters
from builds.arithmetic.engine_valves import STROKES, degrees
from builds.arithmetic.fields import AngleField, CountField, LengthField, NumberField, PickField, in_unit
from builds.arithmetic.forms import Kind, SumForm
from builds.arithmetic.star_drawing import star_drawing
from calcs.engines.star import MOST_CYLINDERS, CamRing, StarOrder, cam_rings, star_order
from calcs.engines.star_rods import StarRods, star_rods
from calcs.messages import _
from calcs.units.figures import format_significant
from calcs.units.quantity_text import format_both
from calcs.units.registry import LengthUnit, millimetres


def rods(form: SumForm) -> Answer:
    """Where every piston stands, and how far that is from even."""
    cleaned, unit = form.cleaned_data, form.of_unit
    found = star_rods(
        cleaned["stroke"], cleaned["master"], cleaned["pins"], cleaned["cylinders"], cleaned["angle"] or 0.0,
        cleaned.get("link"),
    )  # fmt: skip
    longest = max(found.pistons, key=lambda piston: piston.stroke)
    latest = max(found.pistons, key=lambda piston: abs(piston.late))
    below = in_unit(millimetres(found.pistons[0].below), unit)
    facts = (
        Fact(_("Link rod"), format_both(in_unit(millimetres(found.geometry.link), unit)), _("from centre to centre")),
        Fact(
            _("Longest stroke"),
            format_both(in_unit(millimetres(longest.stroke), unit)),
            _("of piston {number}", number=longest.number),
        ),
        Fact(_("Furthest from its turn"), degrees(abs(latest.late)), _("piston {number}", number=latest.number)),
    )
    remark = _(
        "Even is where a piston would stand if every rod sat on the crank pin itself. Ignition and valves are set to "
        "the tops that the pistons really have."
    )
    drawn = partial(star_drawing, found, unit=unit)
    return Answer(
        _("Piston 1, on the master rod, stands below its top by"),
        format_both(below),
        _("with the crank {angle}° past the top", angle=f"{found.angle:.5g}"),
        facts,
        (remark,),
        (pistons_table(found, unit),),
        (found.working,),
        drawing=drawn(found.angle),
        positions=quarters(drawn),
    )


def pistons_table(found: StarRods, unit: LengthUnit) -> Table:
    """A line a cylinder: where it stands, how far from even, its stroke, its top."""
    heads = (
        _("Cylinder"),
        _("Below its top, {unit}", unit=unit),
        _("Even would be"),
        _("Error"),
        _("Stroke"),
        _("Top at"),
        _("Top late by"),
    )

    def size(length: float) -> str:
        return signed(float(in_unit(millimetres(length), unit).magnitude), 4 if unit == "in" else 3)

    rows = tuple(
        (
            str(one.number),
            size(one.below),
            size(one.even),
            size(one.error),
            size(one.stroke),
            f"{signed((found.geometry.bearing(one.number) + one.late) % 360, 2)}°",
            f"{signed(one.late, 2)}°",
        )
        for one in found.pistons
    )
    return Table(_("Every piston at this angle"), heads, rows, tuple(range(1, len(heads))), folded=True)


def signed(figure: float, places: int) -> str:
    """A figure with so many places, and never a minus before nothing."""
    text = f"{figure:.{places}f}"
    bare = text.lstrip("-")
    return bare if not bare.strip("0.") else text.replace("-", "−")


def order(form: SumForm) -> Answer:
    """In which order the star fires, or why it cannot."""
    found = star_order(form.cleaned_data["cylinders"], int(form.cleaned_data["strokes"] or 4))
    step = Fact(_("From top to top"), degrees(360 / found.cylinders), _("of the crank, going round"))
    counted = _("Cylinders are numbered the way the crank turns.")
    if not found.works:
        return refused_order(found, step, counted)
    said = _("every {gap} of the crank", gap=degrees(found.gap))
    skips = _(
        "A four-stroke engine fires at every second top, so the order leaves one out each time (common practice)."
    )
    remarks = (counted, skips) if found.gap > 360 / found.cylinders else (counted,)
    return Answer(_("Firing order"), found.as_text(), said, (step,), remarks, workings=(found.working,))


def refused_order(found: StarOrder, step: Fact, counted: str) -> Answer:
    """What becomes of an even number of cylinders round one crank pin."""
    why = _(
        "Every second cylinder from 1 is {visited}, and then comes 1 again: the other half never fires. With an odd "
        "number the second round falls between those of the first.",
        visited=found.as_text(),
    )
    built = _("Engines of 14 or 18 are two stars of 7 or 9 one behind the other (common practice).")
    number = _("none with {number}", number=found.cylinders)
    said = _("a four-stroke star has an odd number of cylinders")
    return Answer(_("Firing order"), number, said, (step,), (why, built, counted), workings=(found.working,))


def cam_ring(form: SumForm) -> Answer:
    """The two rings that can work the valves of a star."""
    against, along = cam_rings(form.cleaned_data["cylinders"], form.cleaned_data.get("duration"))
    heads = (_("Ring turns"), _("Lobes"), _("Turns of the crank for one"), _("From lobe to lobe"), _("A lobe takes"))
    rows = (ring_row(_("against the crank"), against), ring_row(_("with the crank"), along))
    remarks = (
        _("So many lobes stand on the ring for the inlets, and as many for the exhausts beside them."),
        _("Fewer lobes turn faster and leave more room for each; both kinds have been built (common practice)."),
    )
    said = _("against the crank, at 1/{ratio} of its speed", ratio=against.ratio)
    table = Table(_("Rings that work"), heads, rows, (1, 2, 3, 4))
    number = _("{number} lobes", number=against.lobes)
    if against.lobes == 1:
        number = _("1 lobe")
    return Answer(_("Cam ring"), number, said, (), remarks, (table,), (against.working, along.working))


def ring_row(way: str, ring: CamRing) -> tuple[str, ...]:
    """One ring in figures."""
    lobe = "" if ring.lobe is None else degrees(ring.lobe)
    return way, str(ring.lobes), format_significant(ring.ratio), degrees(ring.between), lobe


class StarForm(SumForm):
    """A star of cylinders round one crank pin."""

    asks = gettext_lazy("What is wanted")

    cylinders = CountField(gettext_lazy("Cylinders"), "5", least=3, most=MOST_CYLINDERS)
    stroke = LengthField(gettext_lazy("Stroke"), ("24 mm", "1 in"))
    master = LengthField(
        gettext_lazy("Master rod"), ("48 mm", "2 in"), help_text=gettext_lazy("From the crank pin to the piston pin.")
    )
    pins = LengthField(
        gettext_lazy("Circle of the link pins, its radius"),
        ("9 mm", "3/8 in"),
        help_text=gettext_lazy("From the crank pin to the pins of the link rods."),
    )
    angle = AngleField(gettext_lazy("Crank angle"), "60", help_text=gettext_lazy("Degrees past the top of piston 1."))
    link = LengthField(
        gettext_lazy("Link rod"), help_text=gettext_lazy("Left empty, the master rod less the circle's radius.")
    )
    strokes = PickField(gettext_lazy("Works as"), STROKES)
    duration = NumberField(gettext_lazy("A valve stands open for, degrees of the crank"), "240", least=90, most=360)

    kinds: ClassVar[dict[str, Kind]] = {
        "rods": Kind(
            gettext_lazy("Master rod and link rods"),
            rods,
            ("cylinders", "stroke", "master", "pins", "angle"),
            ("link",),
            needed=("cylinders", "stroke", "master", "pins"),
            turned="angle",
        ),
        "order": Kind(gettext_lazy("Firing order of a star"), order, ("cylinders", "strokes"), needed=("cylinders",)),
        "cam": Kind(gettext_lazy("Cam ring"), cam_ring, ("cylinders", "duration"), needed=("cylinders",)),
    }
