"""The grammar of lengths: plain text → what was found, in exact millimetres.

A text is read in three steps. What surrounds the size is set aside first (rough words, a diameter sign, a
tolerance); then the shapes of a size are tried, the plainest first; then the unit is settled. Nothing here
chooses between inch and millimetre: a figure without a unit takes the default handed in, or is refused.
"""

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from calcs.messages import _
from calcs.typed.lengths_parts import read_parts
from calcs.typed.lengths_sizes import named_size
from calcs.typed.reading import Bound, Refusal
from calcs.typed.text import NUMBER, decimal_places, exact_number, in_figures
from calcs.typed.words_around import (
    LEAST_BEFORE,
    LEAST_BEHIND,
    MEANINGS,
    MOST_BEFORE,
    MOST_BEHIND,
    ROUGH_BEFORE,
    ROUGH_BEHIND,
    around,
    behind_unit,
    without_brackets,
)
from calcs.units.kinds import INCH, LENGTH

_UNIT = r"(?:" + "|".join(sorted(map(re.escape, LENGTH.spelled), key=len, reverse=True)) + r")(?![a-z])\.?"

_PLAIN = re.compile(rf"({NUMBER})(?:ths)?\s*({_UNIT})?")
# 1 250 mm, with the space that parts thousands; never before an inch, where 1 250 may be anything.
_PARTED = re.compile(r"^([1-9]\d{0,2}(?: \d{3})+)(?=(?:[.,]\d+)? ?mm$)")
_FEET_INCHES = re.compile(rf"(\d+)\s*(?:'|ft\.?|foot|feet)\s*-?\s*({NUMBER})\s*(?:\"|in\.?|ins\.?|inch|inches)?")
_RANGE = re.compile(rf"(?:between\s+)?({NUMBER})\s*({_UNIT})?\s*(?:-|\bto\b|\band\b)\s*({NUMBER})\s*({_UNIT})?")
_LIMITS = re.compile(rf"(\d*\.\d+)\s*({_UNIT})?\s*/\s*(\d*\.\d+)\s*({_UNIT})?")
_DUAL = re.compile(rf"({NUMBER})\s*({_UNIT})\s*(?:[(\[]\s*({NUMBER})\s*({_UNIT})\s*[)\]]|=\s*({NUMBER})\s*({_UNIT}))")

_LIMIT = rf"\s*({NUMBER})\s*({_UNIT})?"
_TOLERANCE = re.compile(
    rf"(.+?)\s*(?:(?:±|\+/-|\+-){_LIMIT}|\+{_LIMIT}\s*/?\s*-{_LIMIT}|\s-{_LIMIT}\s*/?\s*\+{_LIMIT}"
    r"|\s(?P<fit>(?:js|z[abc]|[a-hj-np-z])(?:1[0-8]|0?[1-9])(?:\s*/\s*(?:js|z[abc]|[a-z])\d{1,2})?)"
    # Without a space only the usual classes, and none that is a unit or an exponent.
    r"|(?<=\d)(?P<close_fit>(?:js|[fghknprs])(?:1[0-2]|[5-9])))"
)

# 12 +1-1/2, which adds a mixed number or gives two limits.
_SUM_OF_MIXED = re.compile(r"\+\s*\d+\s*-\s*\d+\s?/\s?\d")

# How sure the size is, and what it is a limit of.
_SURE: tuple[tuple[re.Pattern[str], Bound], ...] = (
    (around(ROUGH_BEFORE, ROUGH_BEHIND), ""),
    (around(LEAST_BEFORE, LEAST_BEHIND), "least"),
    (around(MOST_BEFORE, MOST_BEHIND), "most"),
)

# Where two figures are given for one size they may differ by rounding, never by a size of stock.
_AGREEMENT = Fraction(5, 100)
LARGEST = Fraction(50_000)
# Words that make a longer text stand round no size.
_LONGEST = 80


@dataclass(frozen=True)
class Found:
    """A size in exact mm (or a low and a high), how it is to be spoken of, and what was left aside."""

    mm: Fraction
    inch: bool
    high: Fraction | None = None
    rough: bool = False
    notes: tuple[str, ...] = ()
    bound: Bound = ""
    of: str = ""
    fit: str = ""

    def noting(self, note: str) -> "Found":
        return replace(self, notes=(*self.notes, note))


def find_length(plain: str, default_unit: str | None) -> Found:
    """The length in a plain text of 200 characters or less, with figures for number words; Refusal when there is none.

    >>> find_length("2-1/2", "in").mm
    Fraction(127, 2)
    """
    plain = behind_unit(_PARTED.sub(lambda found: found[1].replace(" ", ""), plain))
    if not _RANGE.fullmatch(plain) and (found := _surrounded(plain, default_unit)):
        return found
    bracketed = re.fullmatch(r"[(\[]\s*([^()\[\]]+?)\s*[)\]]", plain)
    if bracketed:
        return find_length(bracketed[1], default_unit).noting(_("a reference size in brackets"))
    return _sane(_shape(plain, default_unit))


def _surrounded(plain: str, default_unit: str | None) -> Found | None:
    """The size with words round it, each with its meaning; None where there are none."""
    if named_size(plain) or len(plain) > _LONGEST:
        return None
    if tolerance := _TOLERANCE.fullmatch(plain):
        found = find_length(_inside(tolerance), default_unit)
        fit = tolerance["fit"] or tolerance["close_fit"] or found.fit
        return replace(found, fit=fit).noting(_("the tolerance is left aside"))
    if (bare := without_brackets(plain)) != plain:
        return find_length(bare, default_unit)
    for pattern, bound in _SURE:
        if inner := pattern.fullmatch(plain):
            found = find_length(inner[1] or inner[2], default_unit)
            if bound and found.bound not in ("", bound):
                raise Refusal(
                    _("This says at least and at most of one size. Write the one meant, or a range like 3-4 mm.")
                )
            return replace(found, rough=True, bound=bound or found.bound)
    for words in MEANINGS:
        if inner := words.pattern.fullmatch(plain):
            found = find_length(inner[1] or inner[2], default_unit)
            return replace(found, of=found.of or words.of).noting(_(words.note))
    return None


def _inside(around_size: re.Match[str]) -> str:
    """What is left without the tolerance; a unit behind that is the unit of the size."""
    if _SUM_OF_MIXED.search(around_size[0]):
        raise Refusal(_("This may be a tolerance or a sum. Write the size alone, like 12 mm, or what it comes to."))
    inner, *rest = around_size.groups()[:-2]
    inner, units = inner.strip(), [unit for unit in rest[1::2] if unit]
    for limit in rest[::2]:
        exact_number(limit or "0")
    if len({LENGTH.spelled[unit.rstrip(".")] for unit in units}) > 1:
        raise Refusal(_("The two limits have different units. Write the size alone, like 12 mm."))
    return f"{inner} {units[-1]}" if units and inner[-1:].isdigit() else inner


def _sane(found: Found) -> Found:
    if max(found.mm, found.high or 0) > LARGEST:
        raise Refusal(_("That is more than 50 m, too large for a part. Check the figure and its unit."))
    return found


def _shape(plain: str, default_unit: str | None) -> Found:
    named = named_size(plain)
    if named:
        return Found(named.mm, named.inch).noting(named.words)
    if part := read_parts(plain, default_unit):
        of_a_part = Found(part.mm, part.inch)
        return of_a_part.noting(part.remark) if part.remark else of_a_part
    if found := _PLAIN.fullmatch(plain):
        return _plain_size(found[1], found[2], default_unit)
    if found := _FEET_INCHES.fullmatch(plain):
        return _feet_and_inches(found[1], found[2])
    if found := _LIMITS.fullmatch(plain):
        return _limit_pair(found[1], found[3], found[2] or found[4], default_unit)
    if found := _DUAL.fullmatch(plain):
        one = _plain_size(found[1], found[2], default_unit)
        return _agreed(one, _plain_size(found[3] or found[5], found[4] or found[6], default_unit))
    if found := _RANGE.fullmatch(plain):
        return _range(found, default_unit)
    misread = _("This was not understood as a length. Write a size like 2-1/2 in, .020 in, 20 thou, 12.7 mm or 2' 6\".")
    raise Refusal(misread)


def _plain_size(token: str, unit: str | None, default_unit: str | None) -> Found:
    unit = (unit or "").rstrip(".")
    if unit in ("mil", "mils") and default_unit != "in":
        either = _("“{size} mil” may be thousandths of an inch or mm. Write {size} thou or {size} mm.", size=token)
        raise Refusal(either)
    value = exact_number(token, _spoken(unit))
    if unit:
        return Found(value * LENGTH.spelled[unit].size, inch=LENGTH.spelled[unit] in LENGTH.inch)
    if default_unit is None:
        raise Refusal(_("“{size}” has no unit. Write {size} mm or {size} in.", size=token))
    if default_unit == "mm" and "/" in token:
        figure = decimal_places(value, 4)
        either = _("“{size}” has no unit, and fractions are mostly inches. Write {size} in, or {decimal} mm.")
        raise Refusal(either.format(size=token, decimal=figure))
    found = Found(value * LENGTH.spelled[default_unit].size, inch=default_unit == "in")
    if found.inch:
        return found.noting(_("a figure without a unit is taken in inches here"))
    return found.noting(_("a figure without a unit is taken in millimetres here"))


def _spoken(unit: str) -> str:
    return {'"': "in", "'": "ft"}.get(unit, unit)


def _feet_and_inches(feet: str, token: str) -> Found:
    inches = exact_number(token, "in")
    if inches >= 12:
        raise Refusal(_("Behind feet the inches stay under 12. Write it like 5' 2\", or in inches alone."))
    return Found((int(feet) * 12 + inches) * INCH, inch=True)


def _limit_pair(first: str, second: str, unit: str | None, default_unit: str | None) -> Found:
    one, other = (_plain_size(token, unit, default_unit) for token in (first, second))
    if abs(one.mm - other.mm) * 20 > max(one.mm, other.mm):
        apart = _("“{text}” is not a pair of close limits. Write one size like 0.375 in.", text=f"{first}/{second}")
        raise Refusal(apart)
    return one.noting(_("the first of two limits; the tolerance is left aside"))


def _agreed(one: Found, other: Found) -> Found:
    """The first of two figures for one size, when the second, in the other system, says the same."""
    apart = abs(one.mm - other.mm)
    if one.inch == other.inch or apart > _AGREEMENT or 4 * apart > max(one.mm, other.mm):
        unlike = _("{first} and {second} are not one size in the two systems. Write the one that was meant.")
        raise Refusal(unlike.format(first=in_words(one), second=in_words(other)))
    return one.noting(_("the second figure agrees"))


def _range(found: re.Match[str], default_unit: str | None) -> Found:
    low_unit, high_unit = found[2], found[4]
    if low_unit and not high_unit:
        raise Refusal(
            _(
                "The second end of the range has no unit. "
                "Write a size like 2-1/2 in, .020 in, 20 thou, 12.7 mm or 2' 6\"."
            )
        )
    low = _plain_size(found[1], low_unit or high_unit, default_unit)
    high = _plain_size(found[3], high_unit, default_unit)
    if low.mm >= high.mm:
        falls = _("This falls instead of rising, so it may be a sum. Write what it comes to, or a range like 3-4 mm.")
        raise Refusal(falls)
    return replace(low, high=high.mm)


def in_words(found: Found) -> str:
    """The size in its own unit and in the other one: "2.5 in = 63.5 mm"."""
    if found.high is not None:
        low, high = (in_words(Found(size, found.inch)) for size in (found.mm, found.high))
        return _("{low} to {high}", low=low, high=high)
    inch, mm = f"{in_figures(found.mm / INCH)} in", f"{in_figures(found.mm)} mm"
    return f"{inch} = {mm}" if found.inch else f"{mm} = {inch}"
