"""From round to square or hexagon, and the blocks under a sine bar."""

from __future__ import annotations

from typing import ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact
from builds.arithmetic.fields import AngleField, LengthField, PickField
from builds.arithmetic.forms import Kind, SumForm
from builds.arithmetic.triangles import degrees
from calcs.messages import _
from calcs.shop.corners import across_corners, across_flats, angle_of_sine_bar, depth_of_flat, sine_bar
from calcs.units.quantity_text import format_both

_SHAPES = [
    ("4", gettext_lazy("a square")),
    ("6", gettext_lazy("a hexagon")),
    ("8", gettext_lazy("an octagon")),
]


def corners(form: SumForm) -> Answer:
    """Across the corners of a size across the flats, and how deep each flat is cut into the bar at hand."""
    flats, sides = form.cleaned_data["flats"], int(form.cleaned_data["shape"] or 6)
    found = across_corners(flats, sides)
    facts, workings = [Fact(_("Across the flats"), format_both(flats))], [found.working]
    bar = form.cleaned_data.get("bar")
    deep = depth_of_flat(bar if bar is not None else found.value, flats)
    note = _("from the bar at hand") if bar is not None else _("from a bar as thick as the corners")
    facts.append(Fact(_("Cut each flat"), format_both(deep.value), note))
    workings.append(deep.working)
    remarks: tuple[str, ...] = ()
    if bar is not None and bar < found.value:
        remarks = (_("The bar is thinner than the corners: they will be rounded."),)
    said = _("the bar is at least as thick for sharp corners")
    return Answer(
        _("Across the corners"),
        format_both(found.value),
        said,
        tuple(facts),
        remarks,
        workings=tuple(workings),
        operation="milling",
    )


def largest(form: SumForm) -> Answer:
    """The largest square, hexagon or octagon that a round bar gives."""
    bar, sides = form.cleaned_data["bar"], int(form.cleaned_data["shape"] or 6)
    found = across_flats(bar, sides)
    deep = depth_of_flat(bar, found.value)
    facts = (Fact(_("Bar"), format_both(bar)), Fact(_("Cut each flat"), format_both(deep.value)))
    said = _("across the flats, with sharp corners")
    workings = (found.working, deep.working)
    return Answer(_("At most"), format_both(found.value), said, facts, workings=workings, operation="milling")


def blocks(form: SumForm) -> Answer:
    """The blocks that set a sine bar to an angle."""
    length, angle = form.cleaned_data["sine_length"], form.cleaned_data["angle"]
    found = sine_bar(length, angle)
    facts = (Fact(_("Angle"), degrees(angle)), Fact(_("Sine bar"), format_both(length), _("between the rollers")))
    remarks = (_("Above 45° a small fault of the blocks turns the bar a good deal: set it from the square side."),)
    return Answer(
        _("Blocks under one roller"),
        format_both(found.value),
        "",
        facts,
        remarks if angle > 45 else (),
        workings=(found.working,),
    )


def angle_from_blocks(form: SumForm) -> Answer:
    """The angle that a stack of blocks gives."""
    length, height = form.cleaned_data["sine_length"], form.cleaned_data["height"]
    found = angle_of_sine_bar(length, height)
    facts = (Fact(_("Blocks"), format_both(height)), Fact(_("Sine bar"), format_both(length), _("between the rollers")))
    said = degrees(float(found.value.magnitude))
    return Answer(_("The sine bar stands at"), said, "", facts, workings=(found.working,))


class FlatsForm(SumForm):
    """Flats from round, and a sine bar from either end."""

    asks = gettext_lazy("What is wanted")

    shape = PickField(gettext_lazy("Shape"), _SHAPES, initial="6")
    flats = LengthField(gettext_lazy("Across the flats"), ("10 mm", "3/8 in"))
    bar = LengthField(gettext_lazy("Round bar at hand"), ("20 mm", "3/4 in"))
    sine_length = LengthField(gettext_lazy("Sine bar, between the rollers"), ("100 mm", "5 in"))
    angle = AngleField(gettext_lazy("Angle"), "12° 30'")
    height = LengthField(gettext_lazy("Height of the blocks"), ("25 mm", "1 in"))

    kinds: ClassVar[dict[str, Kind]] = {
        "corners": Kind(
            gettext_lazy("Across the corners"),
            corners,
            ("shape", "flats", "bar"),
            needed=("flats",),
            examples={"bar": ("", "")},
            help={"bar": gettext_lazy("Empty: as thick as the corners.")},
        ),
        "largest": Kind(gettext_lazy("The largest shape from a bar"), largest, ("shape", "bar"), needed=("bar",)),
        "sine": Kind(
            gettext_lazy("Blocks for a sine bar"), blocks, ("sine_length", "angle"), needed=("sine_length", "angle")
        ),
        "blocks": Kind(
            gettext_lazy("The angle of a sine bar"),
            angle_from_blocks,
            ("sine_length", "height"),
            needed=("sine_length", "height"),
        ),
    }
