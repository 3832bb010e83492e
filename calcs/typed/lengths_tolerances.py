"""The tolerance behind a size: figures up and down ("±0.05", "+0.002 -0"), or a class of ISO 286 ("h6").

Written as drawings have it (ISO 129-1): a deviation of nothing may stand without a sign, the two may be parted by a
stroke, and a unit behind the last of them is that of the size too.
"""

import re
from dataclasses import dataclass

from calcs.messages import _
from calcs.typed.reading import Refusal
from calcs.typed.text import NUMBER, exact_number
from calcs.units.kinds import LENGTH

UNIT = r"(?:" + "|".join(sorted(map(re.escape, LENGTH.spelled), key=len, reverse=True)) + r")(?![a-z])\.?"
FIGURE = rf"(?:{NUMBER})\s*(?:{UNIT}|(?:ten|hundred|thousand)ths?\b)?"

_NOTHING = r"0(?:[.,]0*)?"
_EACH_WAY = rf"\s*(?:±|\+/-|\+-|-/\+)\s*(?P<each>{FIGURE})"
_UP_AND_DOWN = (
    rf"\s*(?P<up>\+\s*{FIGURE})\s*/?\s*(?P<down>-\s*{FIGURE})|\s(?P<below>-\s*{FIGURE})\s*/?\s*(?P<above>\+\s*{FIGURE})"
)
# Both on one side of the size, or one of them nothing without a sign; here no space parts a sign from its figure.
_ONE_SIDE = (
    rf"\s(?P<first>[+-](?=[\d.,]){FIGURE})\s*(?:/\s*|(?<=\s))(?P<second>[+-](?=[\d.,]){FIGURE}|{_NOTHING})"
    rf"|\s(?P<none>{_NOTHING})\s*(?:/\s*|(?<=\s))(?P<other>[+-](?=[\d.,]){FIGURE})"
)
_CLASS = (
    r"\s(?P<fit>(?:js|z[abc]|[a-hj-np-z])(?:1[0-8]|0?[1-9])(?:\s*/\s*(?:js|z[abc]|[a-z])\d{1,2})?)"
    # Without a space only the usual classes, and none that is a unit or an exponent.
    r"|(?<=\d)(?P<close_fit>(?:js|[fghknprs])(?:1[0-2]|[5-9]))"
)
_BEHIND = re.compile(rf"(?P<size>.+?)\s*(?:{_EACH_WAY}|{_UP_AND_DOWN}|{_ONE_SIDE}|{_CLASS})")
# 12 +1-1/2, which adds a mixed number or gives two limits.
_SUM_OF_MIXED = re.compile(r"\+\s*\d+\s*-\s*\d+\s?/\s?\d")
# Words that make a longer text stand round no size.
LONGEST = 80
_SIGNED = ("up", "down", "below", "above", "first", "second", "none", "other")
_FIGURE_OF = re.compile(rf"[+-]?\s*({NUMBER})")
_UNIT_OF = re.compile(rf"{UNIT}$")
_LONE = re.compile(rf"(.*[\d\"a-z.)])\s+([+-])(?=[\d.,])({FIGURE})")


@dataclass(frozen=True)
class Tolerance:
    """A size as text, and what stands behind it: deviations as signed texts, or a class in small letters."""

    size: str
    deviations: tuple[str, ...]
    fit: str


def split_tolerance(plain: str) -> Tolerance | None:
    """The size and the tolerance behind it in a plain text; None where there is none, Refusal where it is no figure.

    >>> split_tolerance("12 +0.1/0"), split_tolerance("12 h6").fit
    (Tolerance(size='12', deviations=('+0.1', '0'), fit=''), 'h6')
    """
    found = _BEHIND.fullmatch(plain) if len(plain) <= LONGEST else None
    if not found:
        return None
    if _SUM_OF_MIXED.search(plain):
        raise Refusal(_("This may be a tolerance or a sum. Write the size alone, like 12 mm, or what it comes to."))
    deviations = tuple(found[name] for name in _SIGNED if found[name])
    if each := found["each"]:
        deviations = (f"+{each}", f"-{each}")
    return Tolerance(_with_unit(found["size"], deviations), deviations, found["fit"] or found["close_fit"] or "")


def completed(plain: str) -> str:
    """The text with nothing for the other deviation where only one is written: "12 -0.1" as "12 -0.1 +0".

    >>> completed("12 -0.1"), completed("12")
    ('12 -0.1 +0', '12')
    """
    alone = None if split_tolerance(plain) else _LONE.fullmatch(plain)
    return f"{alone[1]} {alone[2]}{alone[3]} {'-' if alone[2] == '+' else '+'}0" if alone else plain


def _with_unit(size: str, deviations: tuple[str, ...]) -> str:
    """The size, with the unit behind its deviations where it has none itself."""
    for figure in (found for one in deviations if (found := _FIGURE_OF.match(one))):
        exact_number(figure[1])
    units = [found[0] for one in deviations if (found := _UNIT_OF.search(one))]
    if len({LENGTH.spelled[unit.rstrip(".")] for unit in units}) > 1:
        raise Refusal(_("The two limits have different units. Write the size alone, like 12 mm."))
    if not units or not size[-1:].isdigit():
        return size
    if LENGTH.spelled[units[-1].rstrip(".")].size >= 1:
        return f"{size} {units[-1]}"
    if size.isdigit():
        either = _("“{size}” may be {size} {unit} or a figure in the drawing's unit. Write the unit behind it too.")
        raise Refusal(either.format(size=size, unit=units[-1]))
    return size
