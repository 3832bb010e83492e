"""Holes on a circle: their coordinates, and a drawing of them in the lines of a drawing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact, Table
from builds.arithmetic.fields import AngleField, CountField, LengthField, PickField, PlaceField
from builds.arithmetic.forms import Kind, SumForm
from calcs.messages import _, ngettext
from calcs.shop.bolt_circle import BoltCircle, bolt_circle
from calcs.units.quantity_text import format_both, format_quantity
from calcs.working.result import Step, Working

# The drawing's field: the circle of 150 units in a sheet of 400.
_SIZE, _RADIUS = 400, 150
_MOST_NUMBERED = 36
_MOST_WORKED = 12


@dataclass(frozen=True)
class HoleMark:
    """A hole as it is drawn: its middle, the ends of its centre lines, and where its number stands."""

    number: str
    x: str
    y: str
    left: str
    right: str
    above: str
    below: str
    label_x: str
    label_y: str


@dataclass(frozen=True)
class CircleDrawing:
    """What the template draws; lengths in its own units."""

    template: str
    words: str
    radius: str
    middle: str
    hole: str
    holes: tuple[HoleMark, ...]


def coordinates(form: SumForm) -> Answer:
    """The table of holes, from the centre or from the datum."""
    cleaned = form.cleaned_data
    diameter = cleaned["diameter"]
    centre = None
    if cleaned.get("centre_x") is not None or cleaned.get("centre_y") is not None:
        nothing = diameter * 0
        centre = tuple(cleaned[name] if cleaned.get(name) is not None else nothing for name in ("centre_x", "centre_y"))
    first = cleaned.get("first") or 0.0
    way = cleaned.get("direction") or "anticlockwise"
    found = bolt_circle(diameter / 2, cleaned["holes"], centre=centre, first=first, direction=way)
    number = len(found.holes)
    holes = (
        ngettext("{n} hole, anticlockwise", "{n} holes, anticlockwise", number)
        if way == "anticlockwise"
        else ngettext("{n} hole, clockwise", "{n} holes, clockwise", number)
    )
    facts = (
        Fact(_("Step"), f"{360 / number:.4g}°", f"360° ÷ {number}"),
        Fact(_("Circle"), format_both(diameter), _("diameter")),
    )
    return Answer(
        _("From hole to hole, straight across"),
        format_both(found.chord) if found.chord is not None else _("none"),
        holes,
        facts=facts,
        tables=(hole_table(form, found, centre is not None),),
        workings=(shortened(found.working),),
        operation="drilling",
        drawing=drawing_of(found, diameter, centre, number),
    )


def shortened(working: Working) -> Working:
    """The working of the first dozen holes; the others go the same way, and the table has them."""
    steps = working.steps
    first = next(place for place, step in enumerate(steps) if step.symbol == "x1")
    holes = [step for step in steps[first:] if step.symbol[:1] in "xy"]
    if len(holes) <= 2 * _MOST_WORKED:
        return working
    others = _("for the other {number} holes, which stand in the table", number=len(holes) // 2 - _MOST_WORKED)
    rest = Step(_("and so on"), "", "", others, "")
    return Working(working.title, (*steps[:first], *holes[: 2 * _MOST_WORKED], rest, *steps[first + len(holes) :]))


def hole_table(form: SumForm, found: BoltCircle, moved: bool) -> Table:
    """One line a hole; both units stand, since dials do not ask."""
    places = 4 if form.of_unit == "in" else 3
    unit, other = ("in", "mm") if form.of_unit == "in" else ("mm", "in")
    rows = []
    for place, hole in enumerate(found.holes, 1):
        other_unit = "millimeter" if form.of_unit == "in" else "inch"
        rows.append(
            (
                str(place),
                f"{hole.bearing:.3f}°",
                signed(hole.x, places),
                signed(hole.y, places),
                signed(hole.x.to(other_unit), 7 - places),
                signed(hole.y.to(other_unit), 7 - places),
            )
        )
    heads = (_("Hole"), _("Angle"), f"x, {unit}", f"y, {unit}", f"x, {other}", f"y, {other}")
    title = _("From the datum") if moved else _("From the centre of the circle")
    return Table(title, heads, tuple(rows), (1, 2, 3, 4, 5))


def signed(length: Any, places: int) -> str:
    """A coordinate with its sign, and never a minus before nothing."""
    text = f"{float(length.magnitude):.{places}f}"
    bare = text.lstrip("-")
    return bare if not bare.strip("0.") else text.replace("-", "−")


def drawing_of(found: BoltCircle, diameter: Any, centre: Any, number: int) -> CircleDrawing:
    """The circle in the drawing's own units: y grows downwards there."""
    scale = _RADIUS * 2 / float(diameter.magnitude)
    at_x, at_y = (float(one.magnitude) for one in centre) if centre else (0.0, 0.0)
    middle = _SIZE / 2
    hole = max(1.5, min(14.0, 3.1416 * _RADIUS / number * 0.5))
    marks = tuple(
        mark(
            str(place) if number <= _MOST_NUMBERED else "",
            middle,
            hole,
            (float(one.x.magnitude) - at_x) * scale,
            (float(one.y.magnitude) - at_y) * scale,
        )
        for place, one in enumerate(found.holes, 1)
    )
    words = ngettext(
        "{n} hole on a circle of {diameter}, the first at {bearing}° from the x axis.",
        "{n} holes on a circle of {diameter}, the first at {bearing}° from the x axis.",
        number,
        diameter=format_quantity(diameter),
        bearing=f"{found.holes[0].bearing:.4g}",
    )
    return CircleDrawing("arithmetic/circle.html", words, str(_RADIUS), f"{middle:g}", f"{hole:.2f}", marks)


def mark(number: str, middle: float, hole: float, x: float, y: float) -> HoleMark:
    """One hole, its cross, and its number a little further out."""
    at_x, at_y = middle + x, middle - y
    out = 1 + (hole + 16) / _RADIUS
    reach = hole + 5
    figures = (
        at_x,
        at_y,
        at_x - reach,
        at_x + reach,
        at_y - reach,
        at_y + reach,
        middle + x * out,
        middle - y * out + 5,
    )
    return HoleMark(number, *(f"{one:.2f}" for one in figures))


_DIRECTIONS = [("anticlockwise", gettext_lazy("anticlockwise")), ("clockwise", gettext_lazy("clockwise"))]


class CircleForm(SumForm):
    """One question: the holes of a circle."""

    diameter = LengthField(gettext_lazy("Diameter of the bolt circle"), ("60 mm", "2-1/2 in"))
    holes = CountField(gettext_lazy("Holes"), "6", most=120)
    first = AngleField(
        gettext_lazy("Angle of the first hole"),
        "90",
        help_text=gettext_lazy("Degrees from the x axis (3 o'clock), anticlockwise: 90 is 12 o'clock."),
    )
    direction = PickField(gettext_lazy("The others follow"), _DIRECTIONS)
    centre_x = PlaceField(
        gettext_lazy("Centre at x"), help_text=gettext_lazy("From the datum; left empty, the centre is the datum.")
    )
    centre_y = PlaceField(gettext_lazy("Centre at y"))

    kinds: ClassVar[dict[str, Kind]] = {
        "circle": Kind(
            gettext_lazy("Holes on a circle"),
            coordinates,
            ("diameter", "holes", "first", "direction"),
            ("centre_x", "centre_y"),
            ("diameter", "holes"),
        )
    }
