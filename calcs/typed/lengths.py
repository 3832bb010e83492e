"""Lengths as people type them.

1 in = 25.4 mm exactly. Values are worked out with exact fractions and rounded once, to the nearest float, when
they become a quantity in millimetres.
"""

import re

from calcs.typed.lengths_grammar import Found, find_length, in_words
from calcs.typed.lengths_refusals import refuse_lookalikes
from calcs.typed.reading import Reading, Refusal, check_size, quote_input, refused
from calcs.typed.text import plain_text, words_to_figures
from calcs.units.registry import LengthUnit, millimetres

_UNKNOWN = re.compile(
    r"[?\-._ ]*|tb[acd]|un ?known|not known|n/?a|to suit|to fit"
    r"|(?:as|as per|per|to|see) (?:the )?(?:drg|drawing|drawn|dwg)\.?"
)


def read_length(text: str | None, default_unit: LengthUnit | None) -> Reading:
    """Read one length; never raises for any text. None and blank count as unknown.

    text: what was typed. default_unit: the unit of a figure that has none, "mm", "in" or None (then such a
    figure is refused). The value is a Pint quantity in mm, exact to the nearest float, between 0 and 50 m.
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
    try:
        check_size(typed)
        plain = plain_text(typed)
        if _UNKNOWN.fullmatch(plain):
            return Reading(typed, None, "unknown", "No size is given: it counts as unknown, not as zero.")
        figures = words_to_figures(plain.rstrip(" ,;.:"))
        refuse_lookalikes(figures, typed)
        return _as_reading(typed, find_length(figures, default_unit))
    except Refusal as trouble:
        return refused(typed, trouble.sentence)


def _as_reading(typed: str, found: Found) -> Reading:
    message = f"{quote_input(typed)} → {'about ' if found.rough else ''}{in_words(found)}"
    if found.high is not None:
        return Reading(typed, None, "range", message, low=millimetres(found.mm), high=millimetres(found.high))
    return Reading(typed, millimetres(found.mm), "rough" if found.rough else "ok", message)
