"""Dividing: turns of the crank and holes on the plate, for the plates that the shop has."""

from __future__ import annotations

from fractions import Fraction
from typing import ClassVar

from builds.arithmetic.answers import Answer, Fact, Table
from builds.arithmetic.fields import AngleField, CountField, NumbersField
from builds.arithmetic.forms import Kind, SumForm
from calcs.shop.dividing import COMMON_CIRCLES, Dividing, divide, divide_angle


def by_number(form: SumForm) -> Answer:
    """So many equal divisions of the circle."""
    number = form.cleaned_data["divisions"]
    found = divide(number, form.cleaned_data.get("worm") or 40, form.cleaned_data.get("circles") or COMMON_CIRCLES)
    return answer_of(form, found, f"for each of {number:,} division{'' if number == 1 else 's'}")


def by_angle(form: SumForm) -> Answer:
    """One step of an angle."""
    angle = form.cleaned_data["angle"]
    exact = Fraction(repr(angle)).limit_denominator(3600)
    size = exact if float(exact) == angle else angle
    found = divide_angle(size, form.cleaned_data.get("worm") or 40, form.cleaned_data.get("circles") or COMMON_CIRCLES)
    return answer_of(form, found, f"for one step of {angle:.6g}°")


def answer_of(form: SumForm, found: Dividing, step: str) -> Answer:
    """The settings, the exact ones first; where there is none, the nearest and how far off it is."""
    rows = tuple((f"{one.circle} holes", str(one.whole_turns), str(one.holes)) for one in found.settings)
    heads = ("Circle", "Whole turns", "and holes")
    tables = (Table("Every setting that gives it exactly", heads, rows, (1, 2)),) if len(rows) > 1 else ()
    remarks: list[str] = []
    if found.settings:
        best = found.settings[0].as_text()
        number = best[0].upper() + best[1:]
        words, also = "Turn the crank", step
        if found.settings[0].holes:
            remarks.append(
                "Count the holes from the one the pin leaves, which is none: the sector arms hold one hole more."
            )
    else:
        words, number, also = "The nearest, not exact", found.nearest.as_text() if found.nearest else "none", step
        remarks.append(found.words)
        remarks.append("Another plate, differential indexing or a rotary table may give it exactly.")
    whole, part = divmod(found.turns, 1)
    turns = " ".join(str(one) for one in (int(whole), part) if one) or "0"
    facts = (Fact("Turns of the crank", turns, "exactly, for each"),)
    own = form.cleaned_data.get("circles")
    sources = (
        ()
        if own and own != COMMON_CIRCLES
        else ("The plates are one common set of three, from memory. Write the circles that yours have.",)
    )
    return Answer(words, number, also, facts, tuple(remarks), tables, (found.working,), sources, operation="milling")


class DividingForm(SumForm):
    """By a number of divisions, or by an angle."""

    asks = "Divide by"

    divisions = CountField("Divisions of the circle", "42", most=100_000)
    angle = AngleField("Angle of one step", "7° 30'")
    worm = CountField("Turns of the crank for one of the spindle", "40", most=1000)
    circles = NumbersField(
        "Circles of holes on the plates",
        ", ".join(map(str, COMMON_CIRCLES)),
        most=1000,
        whole=True,
        help_text="The numbers of holes in each circle you have, like 15, 16, 17.",
    )

    kinds: ClassVar[dict[str, Kind]] = {
        "divisions": Kind("A number of divisions", by_number, ("divisions", "worm", "circles"), needed=("divisions",)),
        "angle": Kind("An angle", by_angle, ("angle", "worm", "circles"), needed=("angle",)),
    }
