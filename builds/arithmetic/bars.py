"""Cutting up bars: which pieces from which bar, so that the least is bought and the rack goes first."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any, ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact, Table
from builds.arithmetic.fields import LengthField
from builds.arithmetic.forms import Kind, SumForm
from builds.arithmetic.lengths_field import LengthsField, SomeOf
from calcs.messages import _, ngettext
from calcs.units.quantity_text import format_both
from calcs.units.registry import registry
from calcs.working.exactly_enough import format_in_full
from calcs.working.result import Step, Working

if TYPE_CHECKING:
    from calcs.shop.bars import CuttingPlan

SECONDS = 1.5
"""A page is waited for no longer; what is then known of the best is said."""


def cutting_list(form: SumForm) -> Answer:
    """The bars to take and to buy, and what to cut from each."""
    # Not at the top: it loads NumPy, which an ordinary page does without.
    from calcs.shop.bars import cut_up
    from calcs.shop.bars_words import how_sure

    given = form.cleaned_data
    pieces, shop, rack = given["pieces"], given.get("shop") or (), given.get("rack") or ()
    kerf, end = _mm(given.get("kerf")), _mm(given.get("end"))
    stock = [(one.length_mm, None, None) for one in shop] + [(one.length_mm, None, one.how_many) for one in rack]
    plan = cut_up([(one.length_mm, one.how_many) for one in pieces], stock, kerf, end, SECONDS)
    names = {one.length_mm: one.written for one in (*rack, *shop, *pieces)}
    bought, taken = (Counter(bar.stock_mm for bar in plan.bars if bar.bought is wanted) for wanted in (True, False))
    return Answer(
        _("To buy") if bought else _("Nothing to buy: the rack has it"),
        _counted(bought or taken, names),
        "" if not (bought and taken) else _("and from the rack {bars}", bars=_counted(taken, names)),
        facts=_facts(plan),
        remarks=(how_sure(plan),),
        tables=(_table(plan, names),),
        workings=(_working(plan, pieces, kerf, end),),
        operation="sawing",
    )


def _mm(length: Any) -> float:
    return 0.0 if length is None else float(length.to("mm").magnitude)


def _counted(bars: Counter[float], names: dict[float, str]) -> str:
    return ", ".join(f"{number} × {names[length]}" for length, number in sorted(bars.items()))


def _facts(plan: CuttingPlan) -> tuple[Fact, ...]:
    mm = registry().Quantity
    left = sum(bar.left_mm for bar in plan.bars)
    longest = max((bar.left_mm for bar in plan.bars), default=0.0)
    note = _("the longest {length}", length=format_both(mm(longest, "mm"))) if left else ""
    return (
        Fact(_("Bought in all"), format_both(mm(plan.bought_mm, "mm"))),
        Fact(_("Left over in all"), format_both(mm(left, "mm")), note),
    )


def _table(plan: CuttingPlan, names: dict[float, str]) -> Table:
    """The cutting list for the saw: bars that are cut alike stand on one line, those of the rack first."""
    from calcs.shop.bars_words import cut_alike, cuts_in_words

    rows = tuple(
        (
            f"{number} × {names[bar.stock_mm]}",
            _("to buy") if bar.bought else _("rack"),
            cuts_in_words(bar, names),
            f"{bar.left_mm:.1f} mm",
        )
        for bar, number in cut_alike(plan)
    )
    heads = (_("Bars"), _("From"), _("Cut from each"), _("Left of each"))
    return Table(_("Cutting list"), heads, rows, (3,))


def _working(plan: CuttingPlan, pieces: tuple[SomeOf, ...], kerf: float, end: float) -> Working:
    """The length that must be had at least, and what the bars give."""
    wanted = sum(one.how_many * (one.length_mm + kerf) for one in pieces)
    sums = " + ".join(
        f"{one.how_many} × ({format_in_full(one.length_mm)} + {format_in_full(kerf)})" for one in pieces if one.how_many
    )
    bars = sum(bar.stock_mm for bar in plan.bars)
    held = end * len(plan.bars)
    given = f"{format_in_full(bars)} − {len(plan.bars)} × {format_in_full(end)}"
    usable = ngettext("length of {n} bar less the end held", "length of {n} bars less the ends held", len(plan.bars))
    return Working(
        _("What the pieces take, and what the bars give"),
        (
            Step(_("pieces"), _("each with its saw cut"), sums, wanted, "mm"),
            Step(_("bars"), usable, given, bars - held, "mm"),
        ),
    )


class BarsForm(SumForm):
    """Pieces, bars that can be bought, bars in the rack."""

    pieces = LengthsField(
        gettext_lazy("Pieces to cut"),
        ("12 × 35 mm; 4 × 62 mm; 6 × 118 mm", "12 × 1-3/8 in; 4 × 2-7/16 in; 6 × 4-5/8 in"),
        help_text=gettext_lazy("How many of each length, parted by semicolons."),
    )
    shop = LengthsField(
        gettext_lazy("Lengths that can be bought"),
        ("1000 mm; 500 mm", "36 in; 12 in"),
        help_text=gettext_lazy("In any number."),
    )
    rack = LengthsField(
        gettext_lazy("In the rack"), ("2 × 240 mm", "2 × 9 in"), help_text=gettext_lazy("What is there is used first.")
    )
    kerf = LengthField(gettext_lazy("Saw cut"), ("1.5", "1/16"))
    end = LengthField(
        gettext_lazy("End that is held"),
        ("15", "5/8"),
        help_text=gettext_lazy("Of each bar: what the chuck or vice needs."),
    )

    kinds: ClassVar[dict[str, Kind]] = {
        "bars": Kind(gettext_lazy("Bars"), cutting_list, ("pieces", "shop", "rack", "kerf", "end"), needed=("pieces",))
    }
