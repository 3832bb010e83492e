"""The limits of a size and the clearance of a fit, with the plain name of the fit and what it feels like."""

from __future__ import annotations

import re
from typing import Any

from builds.arithmetic.answers import Answer, Fact
from builds.arithmetic.fields import TypedField
from builds.arithmetic.forms import SumForm
from calcs.messages import _
from calcs.shop.fits import Fit, fit, limits
from calcs.typed.reading import Reading
from calcs.units.quantity_text import format_both, format_quantity, keep_together

# H7/g6 is also written H7-g6, H7 g6 and H7g6: the letters' case tells hole from shaft.
_BOTH = re.compile(r"([A-Z]{1,2}\d{1,2})\s*[/–-]?\s*([a-z]{1,2}\d{1,2})", re.ASCII)


class SymbolField(TypedField):
    """A fit like H7/g6, or one symbol of it."""

    def read(self, text: str) -> Reading:
        plain = text.strip()[:20]
        if found := _BOTH.fullmatch(plain):
            plain = f"{found[1]}/{found[2]}"
        return Reading(text, plain, "ok", "")


def fitted(form: SumForm) -> Answer:
    """The limits of a size, or the clearance of a fit."""
    size, symbols = form.cleaned_data["nominal"], form.cleaned_data["symbols"]
    if "/" in symbols:
        found = fit(size, symbols)
        facts = [fact for one in (found.hole, found.shaft) for fact in limit_facts(one)]
        words = found.words[0].upper() + found.words[1:]
        also = format_both(size)
        if found.name is not None:
            also = _("{size}: a {fit}, which {feel}", size=also, fit=found.name.name, feel=found.name.feel)
        facts.insert(0, Fact(_("In inches"), in_thou(found)))
        return Answer(_("Fit {symbols}", symbols=symbols), words, also, tuple(facts), workings=(found.working,))
    one = limits(size, symbols)
    places = 4 if str(size.units) != "inch" and one.lower_um % 1 else None
    low, high = format_quantity(one.smallest, places), format_quantity(one.largest, places)
    number = _("{low} to {high}", low=low, high=high)
    return Answer(
        _("Limits {symbol}", symbol=one.symbol),
        number,
        format_both(size),
        tuple(limit_facts(one)),
        workings=(one.working,),
    )


def in_thou(found: Fit) -> str:
    """The clearance or interference of a fit in thousandths of an inch, as the micrometres beside it."""
    least, most = (f"{abs(end) / 25.4:.2f}" for end in (found.least_um, found.most_um))
    if found.least_um >= 0:
        return _("{least} to {most} thou of clearance", least=least, most=most)
    if found.most_um <= 0:
        return _("{least} to {most} thou of interference", least=most, most=least)
    return _("{most} thou of clearance to {least} of interference", most=most, least=least)


def limit_facts(one: Any) -> list[Fact]:
    """The two limits of a hole or shaft."""
    low, high = (f"{end:+g}".replace("-", "−") for end in (one.lower_um, one.upper_um))
    half = one.lower_um % 1 != 0
    ends = _("{low} to {high} µm", low=low, high=high)
    return [
        Fact(_("{symbol} smallest", symbol=one.symbol), limit(one.smallest, half), ends),
        Fact(_("{symbol} largest", symbol=one.symbol), limit(one.largest, half)),
    ]


def limit(length: Any, half: bool = False) -> str:
    """A limit to the thousandth of a millimetre (half of one for JS), or to the tenth of a thou and half of it more."""
    mm, inch = length.to("millimeter"), length.to("inch")
    words = (format_quantity(mm, 4 if half else 3), format_quantity(inch, 5))
    first, second = reversed(words) if str(length.units) == "inch" else words
    return f"{first} ({keep_together(second)})"
