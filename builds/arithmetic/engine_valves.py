"""Valves in degrees of the crank, lap and lead of a slide valve, and firing orders of in-line and V engines."""

from __future__ import annotations

import re
from typing import Any, ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact, Table
from builds.arithmetic.fields import AngleField, LengthField, NumberField, PickField, TypedField
from builds.arithmetic.forms import Kind, SumForm
from calcs.engines.firing import FiringOrder, FiringOrders, firing_orders
from calcs.engines.slide_valve import SlideValve, lap_for_cut_off, slide_valve
from calcs.engines.valve_events import Lift, ValveEvents, valve_events
from calcs.messages import _, gettext_noop
from calcs.typed.reading import Reading, refused
from calcs.units.figures import format_significant
from calcs.units.quantity_text import format_both

MOST_SHOWN = 8
STROKES = [("4", gettext_lazy("four-stroke")), ("2", gettext_lazy("two-stroke"))]
_USUAL = (
    (gettext_noop("two in line"), "0 0"),
    (gettext_noop("three in line"), "0 120 240"),
    (gettext_noop("four in line"), "0 180 180 0"),
    (gettext_noop("five in line"), "0 144 216 288 72"),
    (gettext_noop("six in line"), "0 120 240 240 120 0"),
    (gettext_noop("eight in line"), "0 180 90 270 270 90 180 0"),
)
"""Cranks of four-stroke engines as they are usually made (common practice)."""


class ThrowsField(TypedField):
    """Places of crank throws in degrees, in their order, like 0 180 180 0. Cleans to a tuple of floats."""

    def __init__(self, label: Any, example: str, *, most: int, **kwargs: Any) -> None:
        super().__init__(label, example, **kwargs)
        self.most = most

    def read(self, text: str) -> Reading:
        words = [word.removesuffix("°") for word in re.split(r"[\s,;]+", text.strip()) if word]
        if not 1 <= len(words) <= self.most:
            return refused(text, _("Write from 1 to {most} throws.", most=self.most))
        known = all(re.fullmatch(r"\d{1,3}(?:\.\d{1,3})?", word, re.ASCII) and float(word) <= 360 for word in words)
        if not known:
            return refused(
                text, _("Write degrees from 0 to 360 with spaces between, like {example}.", example="0 180 180 0")
            )
        return Reading(text, tuple(float(word) for word in words), "ok", "")


def degrees(angle: float) -> str:
    """An angle in the digits it deserves, with its sign."""
    return f"{format_significant(angle, '°')}°"


def poppet(form: SumForm) -> Answer:
    """How long the valves of a four-stroke engine stand open, and where their lobes stand on the cam."""
    cleaned = form.cleaned_data
    found = valve_events(
        *(cleaned[name] for name in ("inlet_opens", "inlet_closes", "exhaust_opens", "exhaust_closes"))
    )
    facts = (
        Fact(
            _("Inlet open for"),
            degrees(found.inlet.duration),
            _("its lobe takes {angle}", angle=degrees(found.inlet.on_cam)),
        ),
        Fact(
            _("Exhaust open for"),
            degrees(found.exhaust.duration),
            _("its lobe takes {angle}", angle=degrees(found.exhaust.on_cam)),
        ),
        Fact(_("Between the lobes"), degrees(found.between_lobes), _("from the exhaust's peak to the inlet's")),
    )
    words, number = _("Both valves stand open for"), degrees(found.overlap)
    if found.overlap < 0:
        words, number = _("Neither valve stands open for"), degrees(-found.overlap)
    remark = _("The cam turns once in two turns of the crank, so its degrees are half of the crank's.")
    said = _("of the crank, round the top between exhaust and inlet")
    return Answer(words, number, said, facts, (remark,), (events_table(found),), (found.working,))


def events_table(found: ValveEvents) -> Table:
    """Every event in the order in which it comes, from the top where the mixture is fired."""

    def rows(lift: Lift, opens: str, peak: str, closes: str) -> list[tuple[float, str]]:
        return [(lift.opens, opens), (lift.peak, peak), (lift.closes, closes)]

    events = rows(found.exhaust, _("exhaust opens"), _("exhaust fully open"), _("exhaust closes"))
    events += rows(found.inlet, _("inlet opens"), _("inlet fully open"), _("inlet closes"))
    lines = tuple((name, degrees(at), degrees(at / 2)) for at, name in sorted(events))
    return Table(_("From the top where it fires"), (_("Event"), _("Crank"), _("Cam")), lines, (1, 2))


def slide(form: SumForm) -> Answer:
    """The angle of advance of an eccentric, and where a slide valve lets steam in and out."""
    cleaned = form.cleaned_data
    nothing = cleaned["travel"] * 0
    lap, lead = (nothing if cleaned.get(name) is None else cleaned[name] for name in ("lap", "lead"))
    found = slide_valve(cleaned["travel"], lap, lead, cleaned.get("exhaust_lap"), cleaned.get("rods"))
    facts = [
        Fact(_("Eccentric ahead of the crank"), degrees(90 + found.advance), _("for a valve that takes steam outside")),
        Fact(_("Cut-off"), per_cent(found.share), _("of the stroke, if the rod never tilted")),
        Fact(_("Port opened by"), format_both(found.opening), _("at most")),
    ]
    if found.outward is not None and found.inward is not None:
        ends = _("and {inward} on the way back", inward=per_cent(found.inward))
        facts.insert(2, Fact(_("With the rod's tilt"), per_cent(found.outward), ends))
    remark = _("Worked out as if the valve went to and fro evenly; the tilt of its own rod is left out.")
    return Answer(
        _("Angle of advance"),
        degrees(found.advance),
        _("beyond a right angle ahead of the crank"),
        tuple(facts),
        (remark,),
        (slide_table(found),),
        (found.working,),
    )


def lap_wanted(form: SumForm) -> Answer:
    """The lap that cuts off where it is wanted."""
    cleaned = form.cleaned_data
    lead = cleaned["travel"] * 0 if cleaned.get("lead") is None else cleaned["lead"]
    found = lap_for_cut_off(cleaned["travel"], cleaned["share"] / 100, lead)
    facts = (
        Fact(_("Angle of advance"), degrees(found.advance), _("beyond a right angle ahead of the crank")),
        Fact(_("Eccentric ahead of the crank"), degrees(90 + found.advance), _("for a valve that takes steam outside")),
    )
    remark = _("The mean of both ends: the rod's tilt cuts off later on the way out and earlier on the way back.")
    said = _("to cut off at {share} of the stroke", share=per_cent(cleaned["share"] / 100))
    return Answer(_("Steam lap"), format_both(found.lap), said, facts, (remark,), workings=(found.working,))


def slide_table(found: SlideValve) -> Table:
    """The four events of one end."""
    before = found.admission < 0
    admission = _("{angle} before", angle=degrees(-found.admission)) if before else degrees(found.admission)
    lines = (
        (_("steam let in"), admission),
        (_("steam cut off"), degrees(found.cut_off)),
        (_("steam let out"), degrees(found.release)),
        (_("what is left shut in"), degrees(found.compression)),
    )
    return Table(_("Crank past its dead centre"), (_("Event"), _("Crank")), lines, (1,))


def per_cent(share: float) -> str:
    """A share in per cent."""
    return f"{format_significant(share * 100)} %"


def in_line(form: SumForm) -> Answer:
    """The firing orders of a row of cylinders."""
    found = firing_orders(form.cleaned_data["throws"], int(form.cleaned_data["strokes"] or 4))
    return order_answer(found, (usual_cranks(),))


def vee(form: SumForm) -> Answer:
    """The firing orders of a V whose throws carry two cylinders each."""
    cleaned = form.cleaned_data
    found = firing_orders(cleaned["pairs"], int(cleaned["strokes"] or 4), cleaned["bank"])
    number = len(cleaned["pairs"])
    counted = _(
        "Cylinders 1 to {last} stand in the first bank, {next} to {all} in the second, which comes to its tops later.",
        last=number, next=number + 1, all=2 * number,
    )  # fmt: skip
    return order_answer(found, (), (counted,))


def order_answer(found: FiringOrders, tables: tuple[Table, ...], remarks: tuple[str, ...] = ()) -> Answer:
    """The best order, how even it is, and the others of the same crank."""
    best = found.orders[0]
    even = Fact(_("Even would be"), degrees(found.even_gap), _("of the crank, from one to the next"))
    gaps = _("every {gap} of the crank", gap=degrees(best.gaps[0]))
    if not best.is_even:
        said = ", ".join(degrees(gap) for gap in best.gaps)
        gaps = _("not even: {gaps}", gaps=said)
        remarks = (*remarks, _("This crank cannot fire evenly; of its orders this one comes nearest to it."))
    if any(gap == 0 for gap in best.gaps):
        remarks = (*remarks, _("Where a gap is 0°, two cylinders fire together."))
    others = tuple((one.as_text(), in_succession(one, found)) for one in found.orders[:MOST_SHOWN])
    title = _("As even with this crank")
    if len(found.orders) > MOST_SHOWN:
        title = _("As even with this crank: {shown} of {all}", shown=MOST_SHOWN, all=len(found.orders))
    table = Table(title, (_("Order"), _("Neighbours in succession")), others, (1,))
    return Answer(
        _("Firing order"),
        best.as_text(),
        gaps,
        (even,),
        remarks,
        (table, *tables) if len(found.orders) > 1 else tables,
        (found.working,),
    )


def in_succession(order: FiringOrder, found: FiringOrders) -> str:
    """How often neighbours of one bank fire one after the other."""
    return str(order.neighbours(found.in_bank))


def usual_cranks() -> Table:
    """Cranks that fire evenly, to copy."""
    rows = tuple(
        (_(name), throws, firing_orders([float(one) for one in throws.split()]).orders[0].as_text())
        for name, throws in _USUAL
    )
    return Table(
        _("Usual cranks of four-stroke engines (common practice)"), (_("Engine"), _("Throws"), _("An order")), rows
    )


class ValvesForm(SumForm):
    """Valves and firing orders."""

    asks = gettext_lazy("What is wanted")

    inlet_opens = AngleField(gettext_lazy("Inlet opens before the top"), "10")
    inlet_closes = AngleField(gettext_lazy("Inlet closes after the bottom"), "50")
    exhaust_opens = AngleField(gettext_lazy("Exhaust opens before the bottom"), "50")
    exhaust_closes = AngleField(
        gettext_lazy("Exhaust closes after the top"),
        "10",
        help_text=gettext_lazy("A minus means the other side of it."),
    )
    travel = LengthField(gettext_lazy("Travel of the valve"), ("10 mm", "3/8 in"))
    lap = LengthField(
        gettext_lazy("Steam lap"),
        ("2 mm", "5/64 in"),
        help_text=gettext_lazy("By which it covers a port in its middle."),
    )
    lead = LengthField(
        gettext_lazy("Lead"),
        ("0.3 mm", "0.01 in"),
        help_text=gettext_lazy("By which the port is open at the dead centre."),
    )
    share = NumberField(gettext_lazy("Cut-off, % of the stroke"), "75", least=5, most=99)
    exhaust_lap = LengthField(gettext_lazy("Exhaust lap"))
    rods = NumberField(gettext_lazy("Connecting rod, in cranks"), "5", least=1.5, most=100)
    throws = ThrowsField(
        gettext_lazy("Throws of the crank"),
        "0 180 180 0",
        most=12,
        help_text=gettext_lazy("How far the crank turns from the top of cylinder 1 to that of each."),
    )
    pairs = ThrowsField(
        gettext_lazy("Throws of the crank"),
        "0 270 90 180",
        most=6,
        help_text=gettext_lazy("Each carries two cylinders: degrees from the top of cylinder 1 to the top of each."),
    )
    bank = AngleField(gettext_lazy("Angle between the banks"), "90")
    strokes = PickField(gettext_lazy("Works as"), STROKES)

    kinds: ClassVar[dict[str, Kind]] = {
        "poppet": Kind(
            gettext_lazy("Valves of a four-stroke engine"),
            poppet,
            ("inlet_opens", "inlet_closes", "exhaust_opens", "exhaust_closes"),
            needed=("inlet_opens", "inlet_closes", "exhaust_opens", "exhaust_closes"),
        ),
        "slide": Kind(
            gettext_lazy("A steam engine's slide valve"),
            slide,
            ("travel", "lap", "lead", "exhaust_lap", "rods"),
            needed=("travel",),
        ),
        "lap": Kind(
            gettext_lazy("Lap for a cut-off"), lap_wanted, ("travel", "share", "lead"), needed=("travel", "share")
        ),
        "line": Kind(gettext_lazy("Firing order, in line"), in_line, ("throws", "strokes"), needed=("throws",)),
        "vee": Kind(gettext_lazy("Firing order, V"), vee, ("pairs", "bank", "strokes"), needed=("pairs", "bank")),
    }
