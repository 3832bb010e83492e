"""Spur gears: the blank and its teeth, and how far apart two shafts stand."""

from __future__ import annotations

import re
from typing import Any, ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact
from builds.arithmetic.fields import CountField, PickField, TypedField, in_unit
from builds.arithmetic.forms import Kind, SumForm
from calcs.messages import _
from calcs.shop.gears import FULL_DEPTH, MOST_TEETH, OLD_DEPTH, Gear, centre_distance, spur_gear
from calcs.typed.reading import Reading, refused, taken
from calcs.units.figures import format_plain
from calcs.units.quantity_text import format_both
from calcs.units.registry import millimetres

_TOOTH_SIZE = re.compile(
    r"(?P<before>modules?|mod|m|dp)?\s*(?P<number>\d{1,3}(?:[.,]\d{1,4})?|[.,]\d{1,4})\s*(?P<behind>modules?|mod|m|mm|dp)?",
    re.ASCII,
)
_DEPTHS = [
    (f"{FULL_DEPTH}", gettext_lazy("2.25 modules, as standards have it now")),
    (f"{OLD_DEPTH}", gettext_lazy("2.157 modules, as older cutters are made")),
]


class ToothField(TypedField):
    """The size of a tooth: a module like 1 or 0.8, or a diametral pitch like 20 DP. Cleans to the module, a length."""

    def read(self, text: str) -> Reading:
        found = _TOOTH_SIZE.fullmatch(text.strip().lower().replace(".p.", "p").replace("d.p", "dp"))
        named = {found["before"], found["behind"]} - {None} if found else set()
        if found is None or len({name == "dp" for name in named}) > 1:
            return refused(text, _("Write a module like 1 or 0.8, or a diametral pitch like 20 DP."))
        number = float(found["number"].replace(",", "."))
        is_pitch = "dp" in named or (not named and self.unit == "in")
        if not (2 <= number <= 400 if is_pitch else 0.05 <= number <= 20):
            return refused(text, _("A module lies between 0.05 and 20, a diametral pitch between 2 and 400."))
        size = 25.4 / number if is_pitch else number
        words = _("module {size} mm", size=format_plain(size))
        if is_pitch:
            words = _("{number} DP, which is {module}", number=format_plain(number), module=words)
        return taken(text, millimetres(size), words)

    def from_reading(self, reading: Reading) -> Any:
        return in_unit(reading.value, self.unit)


def blank(form: SumForm) -> Answer:
    """The blank of a gear, its tooth, and the cutter that it takes."""
    cleaned = form.cleaned_data
    found = spur_gear(cleaned["tooth"], cleaned["teeth"], float(cleaned["depth"] or FULL_DEPTH))
    said = _("outside diameter, for {number} teeth", number=found.teeth)
    cutter = (Fact(_("Cutter"), _("number {number}", number=found.cutter), _("of the set of eight")),)
    facts = (
        Fact(_("Depth of tooth"), format_both(found.depth)),
        Fact(_("Pitch diameter"), format_both(found.pitch_diameter)),
        *measured(found),
        *(cutter if found.cutter is not None else ()),
    )
    return Answer(
        _("Turn the blank to"),
        format_both(found.blank),
        said,
        facts,
        found.remarks,
        workings=(found.working,),
        operation="milling",
    )


def measured(found: Gear) -> tuple[Fact, ...]:
    """What a tooth caliper is set to, and what it should read."""
    return (
        Fact(_("Thickness of tooth"), format_both(found.thickness), _("straight across, without play")),
        Fact(_("Measured below the tip by"), format_both(found.addendum)),
    )


def distance(form: SumForm) -> Answer:
    """How far apart the shafts of two gears stand."""
    cleaned = form.cleaned_data
    one, two = cleaned["teeth"], cleaned["others"]
    found = centre_distance(cleaned["tooth"], one, two)
    ratio = Fact(
        _("Ratio"), f"{one} : {two}", _("{turns} turns of the one for each of the other", turns=f"{two / one:.4g}")
    )
    remark = _("The distance is without play. A little more, a twentieth of a module or so, lets them run freely.")
    said = _("from shaft to shaft")
    return Answer(_("Apart"), format_both(found.value), said, (ratio,), (remark,), workings=(found.working,))


class GearsForm(SumForm):
    """One gear, or two."""

    asks = gettext_lazy("What is wanted")

    tooth = ToothField(
        gettext_lazy("Size of tooth"),
        ("module 1", "20 DP"),
        help_text=gettext_lazy("A module like 0.8, or a diametral pitch like 20 DP."),
    )
    teeth = CountField(gettext_lazy("Teeth"), "40", least=6, most=MOST_TEETH)
    others = CountField(gettext_lazy("Teeth of the other"), "20", least=6, most=MOST_TEETH)
    depth = PickField(gettext_lazy("Depth of tooth"), _DEPTHS)

    kinds: ClassVar[dict[str, Kind]] = {
        "blank": Kind(
            gettext_lazy("A gear and its blank"), blank, ("tooth", "teeth"), ("depth",), needed=("tooth", "teeth")
        ),
        "distance": Kind(
            gettext_lazy("How far apart two gears stand"),
            distance,
            ("tooth", "teeth", "others"),
            needed=("tooth", "teeth", "others"),
        ),
    }
