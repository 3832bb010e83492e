"""Cylinder and crank: where a piston stands, what it sweeps, how fast it goes, and what scale does to all that."""

from __future__ import annotations

from functools import partial
from typing import ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact, Table
from builds.arithmetic.engine_drawings import crank_drawing, quarters
from builds.arithmetic.fields import AngleField, CountField, LengthField, MeasureField, NumberField, ScaleField
from builds.arithmetic.forms import Kind, SumForm
from builds.arithmetic.springs import in_both_units
from calcs.engines.cylinders import cylinder_volumes, mean_piston_speed
from calcs.engines.engine_scale import by_piston_speed, by_turns
from calcs.engines.slider_crank import Piston, piston_at
from calcs.messages import _, ngettext
from calcs.units.figures import format_significant
from calcs.units.kinds import POWER, VOLUME
from calcs.units.quantity_text import format_both, format_quantity

_GRAVITY = 9.80665


def place(form: SumForm) -> Answer:
    """Where the piston stands at a crank angle, and how it moves there."""
    cleaned = form.cleaned_data
    found = piston_at(cleaned["stroke"], cleaned["rod"], cleaned["angle"] or 0.0, cleaned.get("turns"))
    rough = found.by_two_terms.place
    facts = [
        Fact(_("By two terms"), in_both_units(rough, "millimeter", "inch", "mm", "in"), _("the usual approximation")),
        Fact(_("Tilt of the rod"), f"{format_significant(abs(found.tilt), '°')}°", _("from the cylinder's axis")),
    ]
    if found.speed is not None:
        facts += movement(found)
    remark = _("A rod of so few cranks leans hard against the cylinder; three to five are usual (common practice).")
    drawn = partial(crank_drawing, found)
    return Answer(
        _("The piston stands below its top by"),
        format_both(found.place),
        _("with the crank {angle}° past the top", angle=f"{found.angle:.5g}"),
        tuple(facts),
        (remark,) if found.rod < 2.5 * found.crank else (),
        workings=(found.working,),
        drawing=drawn(found.angle),
        positions=quarters(drawn),
    )


def movement(found: Piston) -> tuple[Fact, ...]:
    """How fast the piston goes and how hard it is pushed, with what two terms make of it."""
    exact, rough = found.exact, found.by_two_terms
    downwards = _("away from the top") if exact.speed > 0 else _("towards the top")
    fast = Fact(_("Speed"), in_speed(abs(exact.speed)), downwards)
    rough_speed = Fact(_("Speed by two terms"), in_speed(abs(rough.speed)))
    pushed = _("pushed away from the top") if exact.acceleration > 0 else _("pulled towards the top")
    note = _(
        "{words}, {times} times gravity", words=pushed, times=format_significant(abs(exact.acceleration) / _GRAVITY)
    )
    push = Fact(_("Acceleration"), in_push(abs(exact.acceleration)), note)
    return fast, rough_speed, push, Fact(_("Acceleration by two terms"), in_push(abs(rough.acceleration)))


def in_speed(speed: float) -> str:
    """A speed of m/s with feet a minute in brackets."""
    return in_both_units(speed, "meter / second", "foot / minute", "m/s", "ft/min")


def in_push(push: float) -> str:
    """An acceleration of m/s² with feet in brackets."""
    return in_both_units(push, "meter / second ** 2", "foot / second ** 2", "m/s²", "ft/s²")


def volumes(form: SumForm) -> Answer:
    """What all pistons sweep, and the compression ratio."""
    cleaned = form.cleaned_data
    number = cleaned.get("cylinders") or 1
    given = form.given("clearance", "compression")
    found = cylinder_volumes(cleaned["bore"], cleaned["stroke"], number, **given)
    facts = [Fact(_("Swept by one piston"), in_volume(found.one))]
    if found.compression is not None:
        ratio = Fact(_("Compression ratio"), _("{ratio} to 1", ratio=format_significant(found.compression)))
        facts += [ratio, Fact(_("Clearance above one piston"), in_volume(found.clearance))]
    remark = _(
        "The ratio of the volumes is what is meant. Where ports or valves close late, less air is shut in and squeezed."
    )
    cylinders = ngettext("for {n} cylinder", "for {n} cylinders", number)
    return Answer(
        _("Swept volume"),
        in_volume(found.whole),
        cylinders,
        tuple(facts),
        (remark,) if found.compression is not None else (),
        workings=found.workings,
    )


def in_volume(volume: object) -> str:
    """A volume in its own unit with the other system's in brackets."""
    inch = str(volume.units) == "inch ** 3"  # type: ignore[attr-defined]
    other = volume.to("centimeter ** 3" if inch else "inch ** 3")  # type: ignore[attr-defined]
    return f"{format_quantity(volume)} ({format_quantity(other)})"  # type: ignore[arg-type]


def mean_speed(form: SumForm) -> Answer:
    """How fast the piston goes on average."""
    found = mean_piston_speed(form.cleaned_data["stroke"], form.cleaned_data["turns"])
    remark = _("The fastest it goes on the way is about 1.6 times that, a little before half of the stroke.")
    metres = float(found.value.to("meter / second").magnitude)
    said = _("two strokes in every turn")
    return Answer(_("Mean piston speed"), in_speed(metres), said, (), (remark,), workings=(found.working,))


def at_scale(form: SumForm) -> Answer:
    """Speed and power of the model by two laws."""
    cleaned = form.cleaned_data
    scale, turns, power = cleaned["scale"], cleaned["turns"], cleaned.get("power")
    if power is not None:
        power = power.to(POWER.shown(form.of_unit == "in").pint)
    fast, slow = by_piston_speed(turns, scale, power), by_turns(turns, scale, power)
    heads = [_("Law"), _("rev/min"), _("Share of the power")]
    rows = [
        [_("pistons as fast as in full size"), format_significant(fast.turns), one_in(fast.power_share)],
        [_("the same rev/min"), format_significant(slow.turns), one_in(slow.power_share)],
    ]
    if fast.power is not None and slow.power is not None:
        heads.append(_("Power"))
        for row, one in zip(rows, (fast, slow), strict=True):
            watts = float(one.power.to("watt").magnitude)  # type: ignore[union-attr]
            row.append(in_both_units(watts, "watt", "horsepower", "W", "hp"))
    remarks = (
        _("Both laws take the mean pressure on the pistons to be the same as in full size."),
        _(
            "A small engine leaks, rubs and cools more for its size, so it usually makes less than either says "
            "(common practice)."
        ),
    )
    facts = (Fact(_("Turning force"), one_in(fast.torque_share), _("of full size, by either law")),)
    table = Table(_("By two laws"), tuple(heads), tuple(map(tuple, rows)), (1, 2, 3)[: len(heads) - 1])
    number = _("{turns} rev/min", turns=format_significant(fast.turns))
    said = _("with pistons as fast as in full size")
    return Answer(_("The model turns at"), number, said, facts, remarks, (table,), (fast.working, slow.working))


def one_in(share: float) -> str:
    """A share as one in so many.

    >>> one_in(1 / 36), one_in(4.0)
    ('1/36', '4 times')
    """
    if share >= 1:
        return _("{number} times", number=format_significant(share))
    return f"1/{format_significant(1 / share)}"


class CrankForm(SumForm):
    """A piston, its cylinder and its crank."""

    asks = gettext_lazy("What is wanted")

    stroke = LengthField(gettext_lazy("Stroke"), ("40 mm", "1-1/2 in"))
    rod = LengthField(
        gettext_lazy("Rod"), ("80 mm", "3 in"), help_text=gettext_lazy("From the crank pin to the piston pin.")
    )
    angle = AngleField(
        gettext_lazy("Crank angle"), "60", help_text=gettext_lazy("Degrees past the top of the piston's way.")
    )
    turns = NumberField(gettext_lazy("Speed of the crank, rev/min"), "600", least=0.01, most=500_000)
    bore = LengthField(gettext_lazy("Bore"), ("32 mm", "1-1/4 in"))
    cylinders = CountField(gettext_lazy("Cylinders"), "1", most=100)
    clearance = MeasureField(
        gettext_lazy("Clearance above one piston"),
        VOLUME,
        ("cm^3", "in^3"),
        ("5 cm³", "0.3 in³"),
        help_text=gettext_lazy("At its top, with passages. Leave it empty where a ratio is wanted."),
    )
    compression = NumberField(
        gettext_lazy("Or the compression ratio"),
        "",
        least=1.05,
        most=100,
        help_text=gettext_lazy("Like 6, for 6 to 1."),
    )
    scale = ScaleField(gettext_lazy("Scale"), "1:6", help_text=gettext_lazy("Like 1:6, 1/4, or 2 in to the foot."))
    power = MeasureField(gettext_lazy("Power in full size"), POWER, ("kW", "hp"), ("30 kW", "40 hp"))

    kinds: ClassVar[dict[str, Kind]] = {
        "place": Kind(
            gettext_lazy("A piston at a crank angle"),
            place,
            ("stroke", "rod", "angle", "turns"),
            needed=("stroke", "rod"),
            turned="angle",
        ),
        "volumes": Kind(
            gettext_lazy("Swept volume and compression ratio"),
            volumes,
            ("bore", "stroke", "cylinders", "clearance", "compression"),
            needed=("bore", "stroke"),
        ),
        "speed": Kind(gettext_lazy("Mean piston speed"), mean_speed, ("stroke", "turns"), needed=("stroke", "turns")),
        "scale": Kind(
            gettext_lazy("Speed and power at a scale"),
            at_scale,
            ("scale", "turns", "power"),
            needed=("scale", "turns"),
            labels={"turns": gettext_lazy("Speed in full size, rev/min")},
            examples={"turns": ("150", "150")},
        ),
    }
