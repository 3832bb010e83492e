"""Dividing: turns of the crank and holes on the plate, for the plates that the shop has, or steps of the dividers."""

from __future__ import annotations

from fractions import Fraction
from typing import ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact, Table
from builds.arithmetic.fields import AngleField, CountField, LengthField, NumbersField
from builds.arithmetic.forms import Kind, SumForm
from calcs.messages import _, ngettext
from calcs.shop.chords import MOST_STEPS, step_off
from calcs.shop.dividing import COMMON_CIRCLES, Dividing, divide, divide_angle
from calcs.units.quantity_text import format_both


def by_number(form: SumForm) -> Answer:
    """So many equal divisions of the circle."""
    number = form.cleaned_data["divisions"]
    found = divide(number, form.cleaned_data.get("worm") or 40, form.cleaned_data.get("circles") or COMMON_CIRCLES)
    step = ngettext("for each of {n} division", "for each of {n} divisions", number)
    return answer_of(form, found, step)


def by_angle(form: SumForm) -> Answer:
    """One step of an angle."""
    angle = form.cleaned_data["angle"]
    exact = Fraction(repr(angle)).limit_denominator(3600)
    size = exact if float(exact) == angle else angle
    found = divide_angle(size, form.cleaned_data.get("worm") or 40, form.cleaned_data.get("circles") or COMMON_CIRCLES)
    return answer_of(form, found, _("for one step of {angle}", angle=f"{angle:.6g}°"))


def answer_of(form: SumForm, found: Dividing, step: str) -> Answer:
    """The settings, the exact ones first; where there is none, the nearest and how far off it is."""
    rows = tuple(
        (_("{number} holes", number=one.circle), str(one.whole_turns), str(one.holes)) for one in found.settings
    )
    heads = (_("Circle"), _("Whole turns"), _("and holes"))
    tables = (Table(_("Every setting that gives it exactly"), heads, rows, (1, 2)),) if len(rows) > 1 else ()
    if found.settings:
        words, best = _("Turn the crank"), found.settings[0].as_text()
        best = best[0].upper() + best[1:]
        count = _("Count the holes from the one the pin leaves, which is none: the sector arms hold one hole more.")
        remarks: tuple[str, ...] = (count,) if found.settings[0].holes else ()
    else:
        words, best = _("The nearest, not exact"), found.nearest.as_text() if found.nearest else _("none")
        remarks = (found.words, _("Another plate, differential indexing or a rotary table may give it exactly."))
    whole, part = divmod(found.turns, 1)
    turns = " ".join(str(one) for one in (int(whole), part) if one) or "0"
    facts = (Fact(_("Turns of the crank"), turns, _("exactly, for each")),)
    own = form.cleaned_data.get("circles")
    common = _(
        "The plates are one common set of three, from memory: {circles}. Write the circles that yours have.",
        circles=", ".join(map(str, COMMON_CIRCLES)),
    )
    sources = () if own and own != COMMON_CIRCLES else (common,)
    return Answer(words, best, step, facts, remarks, tables, (found.working,), sources, operation="milling")


def by_dividers(form: SumForm) -> Answer:
    """The opening of the dividers for so many steps, and the distances that check the marks."""
    diameter, number = form.cleaned_data["diameter"], form.cleaned_data["steps"]
    found = step_off(diameter, number)
    rows = tuple((str(steps), format_both(chord)) for steps, chord in enumerate(found.across, start=1))
    gathered = ngettext("{n} time", "{n} times", found.gathers)
    facts = (
        Fact(_("Circle"), format_both(diameter), _("diameter")),
        Fact(_("The last gap is off by"), gathered, _("what the dividers are off, the other way")),
    )
    remarks = (
        _(
            "Step round lightly first. Share out what the last gap is off, then mark. Stepping half of them each "
            "way from the first mark gathers half."
        ),
    )
    table = Table(_("From one mark to another, straight across"), (_("Steps"), _("Distance")), rows, (1,))
    said = ngettext("for {n} step round the circle", "for {n} steps round the circle", number)
    opened = format_both(found.value)
    return Answer(_("Open the dividers to"), opened, said, facts, remarks, (table,), (found.working,))


class DividingForm(SumForm):
    """By a number of divisions, by an angle, or without a head."""

    asks = gettext_lazy("Divide by")

    divisions = CountField(gettext_lazy("Divisions of the circle"), "42", most=100_000)
    angle = AngleField(gettext_lazy("Angle of one step"), "7° 30'")
    diameter = LengthField(gettext_lazy("Diameter of the circle"), ("80 mm", "3 in"))
    steps = CountField(gettext_lazy("Steps round the circle"), "7", least=3, most=MOST_STEPS)
    worm = CountField(gettext_lazy("Turns of the crank for one of the spindle"), "40", most=1000)
    circles = NumbersField(
        gettext_lazy("Circles of holes on the plates"),
        ", ".join(map(str, COMMON_CIRCLES)),
        most=1000,
        whole=True,
        help_text=gettext_lazy("The numbers of holes in each circle you have, like 15, 16, 17."),
    )

    kinds: ClassVar[dict[str, Kind]] = {
        "divisions": Kind(
            gettext_lazy("A number of divisions"), by_number, ("divisions", "worm", "circles"), needed=("divisions",)
        ),
        "angle": Kind(gettext_lazy("An angle"), by_angle, ("angle", "worm", "circles"), needed=("angle",)),
        "dividers": Kind(
            gettext_lazy("Dividers, without a head"), by_dividers, ("diameter", "steps"), needed=("diameter", "steps")
        ),
    }
