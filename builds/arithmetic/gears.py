"""Spur gears: the blank and its teeth, how far apart two shafts stand, and the change wheels for a thread."""

from __future__ import annotations

import re
from typing import Any, ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact, Table
from builds.arithmetic.fields import CountField, NumbersField, PickField, PitchField, TypedField, in_unit
from builds.arithmetic.forms import Kind, SumForm
from calcs.messages import _
from calcs.shop.change_wheels import COMMON_WHEELS, change_wheels
from calcs.shop.gears import FULL_DEPTH, MOST_TEETH, OLD_DEPTH, Gear, centre_distance, spur_gear
from calcs.typed.reading import Reading, refused, taken
from calcs.units.figures import format_plain
from calcs.units.quantity_text import format_both, format_four
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


def for_a_thread(form: SumForm) -> Answer:
    """The wheels between spindle and leadscrew for a pitch, and how far off the thread will be."""
    cleaned = form.cleaned_data
    pitch, wheels = cleaned["pitch"], cleaned.get("wheels") or COMMON_WHEELS
    found = change_wheels(pitch, cleaned["leadscrew"], wheels)
    unit, places = ("in", 5) if form.of_unit == "in" else ("mm", 4)
    rows = tuple(
        (
            train.as_text(),
            _signed(train.error(pitch)),
            f"{in_unit(millimetres(float(train.pitch)), form.of_unit).magnitude:.{places}f}",
        )
        for train in found.trains
    )
    heads = (_("Drivers / driven"), _("mm too long in 100 mm"), _("Cuts, {unit}", unit=unit))
    table = Table(_("The nearest trains"), heads, rows, (1, 2))
    said = _("exact") if not found.error else _("off by {error}", error=_off(found.error))
    facts = (Fact(_("Ratio"), f"{found.ratio}"), Fact(_("Pitch"), format_both(pitch)))
    remarks = (
        _("The first wheel is on the spindle's side, the last on the leadscrew. See that wheels and studs clear."),
    )
    set_used = _(
        "The wheels are one common set, from memory: {wheels}. Write those that you have.",
        wheels=", ".join(map(str, COMMON_WHEELS)),
    )
    sources = (set_used,) if tuple(wheels) == COMMON_WHEELS else ()
    return Answer(
        _("Change wheels"),
        found.trains[0].as_text(),
        said,
        facts,
        remarks,
        (table,),
        (found.working,),
        sources,
        operation="threading",
    )


def _signed(error: float) -> str:
    """A column's figure: nothing at all where the train is exact."""
    return f"{error:+.3f}".replace("-", "−") if error else "0"


def _off(error: float) -> str:
    """How far a thread runs out, in mm over 100 mm."""
    if not error:
        return _("exact")
    size = format_four(abs(error))
    return _("{size} mm too long in 100 mm", size=size) if error > 0 else _("{size} mm too short in 100 mm", size=size)


class GearsForm(SumForm):
    """One gear, two, or a train."""

    asks = gettext_lazy("What is wanted")

    tooth = ToothField(
        gettext_lazy("Size of tooth"),
        ("module 1", "20 DP"),
        help_text=gettext_lazy("A module like 0.8, or a diametral pitch like 20 DP."),
    )
    teeth = CountField(gettext_lazy("Teeth"), "40", least=6, most=MOST_TEETH)
    others = CountField(gettext_lazy("Teeth of the other"), "20", least=6, most=MOST_TEETH)
    pitch = PitchField(gettext_lazy("Pitch of the thread"), ("1 mm", "40 tpi"))
    leadscrew = PitchField(
        gettext_lazy("Leadscrew"), ("8 tpi", "8 tpi"), help_text=gettext_lazy("Its pitch, or 8 tpi.")
    )
    wheels = NumbersField(
        gettext_lazy("Wheels at hand"),
        ", ".join(map(str, COMMON_WHEELS)),
        most=500,
        whole=True,
        help_text=gettext_lazy("Their teeth, like 20, 30, 40; each is used once."),
    )
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
        "thread": Kind(
            gettext_lazy("Change wheels for a thread"),
            for_a_thread,
            ("pitch", "leadscrew", "wheels"),
            needed=("pitch", "leadscrew"),
        ),
    }
