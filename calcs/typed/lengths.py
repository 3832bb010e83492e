"""Lengths as people type them.

1 in = 25.4 mm exactly. Values are worked out with exact fractions and rounded once, to the nearest float, when
they become a quantity in millimetres.
"""

import re
from typing import Any

from calcs.messages import _
from calcs.typed.lengths_grammar import Found, find_length, in_words
from calcs.typed.lengths_refusals import refuse_lookalikes
from calcs.typed.number_words import words_to_figures
from calcs.typed.other_languages import in_english
from calcs.typed.reading import Reading, Refusal, check_size, refused, taken
from calcs.typed.text import about, plain_text
from calcs.units.registry import LengthUnit, millimetres

_UNKNOWN = re.compile(
    r"[?\-._ ]*|tb[acd]|un ?known|not known|n/?a|to suit|to fit"
    r"|(?:as|as per|per|to|see) (?:the )?(?:drg|drawing|drawn|dwg)\.?"
)


def read_length(text: str | None, default_unit: LengthUnit | None, *, within: str | None = None) -> Reading:
    """Read one length; never raises for any text. None and blank count as unknown.

    text: what was typed. default_unit: the unit of a figure that has none, "mm", "in" or None (then such a
    figure is refused). The value is a Pint quantity in mm, exact to the nearest float, between 0 and 50 m.
    within: the longer text that this is the size in, where the reading is to quote that.
    A range has no value but low and high; a tolerance is left aside; "about" makes the status "rough".
    Raises ValueError for another default unit only.

    >>> read_length("2-1/2", "in").message
    '2-1/2 → 2.5 in = 63.5 mm (a figure without a unit is taken in inches here)'
    >>> read_length("12.7", None).message
    '“12.7” has no unit. Write 12.7 mm or 12.7 in.'
    """
    if default_unit not in ("mm", "in", None):
        raise ValueError('The default unit of lengths is "mm", "in" or None.')
    typed = "" if text is None else str(text)
    whole = typed if within is None else within
    try:
        check_size(typed)
        plain = in_english(plain_text(typed))
        check_size(plain)
        if _UNKNOWN.fullmatch(plain):
            return Reading(whole, None, "unknown", _("No size is given: it counts as unknown, not as zero."))
        figures = words_to_figures(plain.rstrip(" ,;.:"))
        refuse_lookalikes(figures, typed)
        return _as_reading(whole, find_length(figures, default_unit))
    except Refusal as trouble:
        return refused(whole, trouble.sentence)


def _as_reading(typed: str, found: Found) -> Reading:
    words = _sure_words(found)
    more: dict[str, Any] = {"bound": found.bound, "of": found.of, "fit": _as_typed(found.fit, typed)}
    if found.high is not None:
        more |= {"status": "range", "low": millimetres(found.mm), "high": millimetres(found.high)}
        return taken(typed, None, words, found.notes, **more)
    return taken(typed, millimetres(found.mm), words, found.notes, status="rough" if found.rough else "ok", **more)


def _sure_words(found: Found) -> str:
    size = in_words(found)
    if found.bound:
        return _("at least {size}", size=size) if found.bound == "least" else _("at most {size}", size=size)
    return about(size) if found.rough else size


def _as_typed(fit: str, typed: str) -> str:
    """The tolerance class with its letters large or small as they were typed: H7 is a hole and h7 a shaft."""
    place = typed.lower().rfind(fit)
    return typed[place : place + len(fit)] if fit and place >= 0 else ""
