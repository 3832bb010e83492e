"""A scale as people type it, and back to text. A scale is the exact ratio model / full size: 1:6 is Fraction(1, 6)."""

import math
import re
from fractions import Fraction

from calcs.messages import _, gettext_noop
from calcs.typed.lengths_grammar import find_length
from calcs.typed.number_words import words_to_figures
from calcs.typed.reading import Reading, Refusal, check_size, refused, taken
from calcs.typed.text import NUMBER, about, exact_number, plain_text, rounded
from calcs.units.kinds import FOOT

_SMALLEST = Fraction(1, 10_000)
_LARGEST = Fraction(1000)
_LETTERS = re.compile(r"(?:h0|ho|00|oo|em|ee|tt|s7|0|o|n|z|g|s)(?: (?:scale|gauge))?")
_UNKNOWN = re.compile(r"[?\-._ ]*|tb[acd]|un ?known|not known|n/?a")
_TAIL = re.compile(r"(.+?)[ -]*(?:\bscale|\bsize|\bof full size|\bfull size)")
_INCH_OR_MM = r"(?:\"|in\.?|ins\.?|inch|inches|mm)"
_PER_FOOT = re.compile(
    rf"({NUMBER}\s*{_INCH_OR_MM})(?:\s*(?:to|per|=|:|/)\s*(?:the |a |1\s*)?(?:foot|ft|'))?(?: scale)?"
)
_WHAT_IS_READ = gettext_noop("Write a scale like 1:6, 1/4, 1-1/2 in to the foot, or 1' = 1-1/2\".")


def _refusal(sentence: str) -> Refusal:
    """A refusal with what would be read behind it."""
    return Refusal(f"{sentence} {_(_WHAT_IS_READ)}")


def read_scale(text: str | None) -> Reading:
    """Read a scale; never raises for any text. The value is an exact Fraction, model over full size.

    A size in inches (or mm) alone is so much to the foot, by custom. None and blank count as unknown; a track
    gauge, a letter or a bare number is refused. Ratios lie between 1:10,000 and 1000:1.

    >>> read_scale("1:6").value, read_scale("1½ in scale").value, read_scale("1' = 1 1/2\\"").value
    (Fraction(1, 6), Fraction(1, 8), Fraction(1, 8))
    """
    typed = "" if text is None else str(text)
    try:
        check_size(typed)
        plain = plain_text(typed)
        if _UNKNOWN.fullmatch(plain):
            return Reading(typed, None, "unknown", _("No scale is given: it counts as unknown."))
        ratio, notes = _find_scale(words_to_figures(plain.rstrip(" ,;.")))
        if ratio <= 0:
            raise _refusal(_("A scale is more than zero."))
        if not _SMALLEST <= ratio <= _LARGEST:
            raise _refusal(_("A scale lies between 1:10,000 and 1000:1."))
        return taken(typed, ratio, format_scale(ratio), notes)
    except Refusal as trouble:
        return refused(typed, trouble.sentence)


def _find_scale(plain: str) -> tuple[Fraction, tuple[str, ...]]:
    """The ratio, and notes on how it was read."""
    if plain in ("full size", "full scale", "full"):
        return Fraction(1), ()
    if re.search(r"\bgauge\b|\bgage\b", plain) or _LETTERS.fullmatch(plain):
        raise _refusal(_("A gauge or a letter stands for more than one ratio."))
    if plain.startswith("-"):
        raise _refusal(_("A scale cannot be negative."))
    if per_foot := _PER_FOOT.fullmatch(plain):
        return find_length(per_foot[1], None).mm / FOOT, (_("so much to the foot"),)
    if "=" in plain:
        return _two_lengths(*plain.split("=", 1)), (_("the smaller size is the model"),)
    tail = _TAIL.fullmatch(plain)
    bare = (tail[1] if tail else plain).strip()
    if sides := re.fullmatch(rf"({NUMBER})\s*(?::|\bto\b)\s*({NUMBER})", bare):
        return _ratio(exact_number(sides[1], ratio=True), exact_number(sides[2], ratio=True)), ()
    if re.fullmatch(r"\d+\s?/\s?\d+", bare):
        return exact_number(bare, ratio=True), ()
    if percent := re.fullmatch(rf"({NUMBER})\s*%", bare):
        return exact_number(percent[1]) / 100, ()
    if re.fullmatch(NUMBER, bare):
        raise _refusal(_("“{figure}” may be 1:{figure} or {figure} in to the foot.", figure=bare))
    raise _refusal(_("This was not understood as a scale."))


def _ratio(model: Fraction, full: Fraction) -> Fraction:
    if full == 0:
        raise _refusal(_("A scale is not divided by zero."))
    return model / full


def _two_lengths(left: str, right: str) -> Fraction:
    found = [find_length(side.strip(), None) for side in (left, right)]
    if any(size.high is not None or size.rough for size in found):
        raise _refusal(_("A scale needs two plain sizes."))
    return _ratio(min(size.mm for size in found), max(size.mm for size in found))


def format_scale(ratio: Fraction) -> str:
    """The ratio as 1:n for models smaller than full size, n:1 for larger; `read_scale` reads exact ones back.

    >>> format_scale(Fraction(1, 8)), format_scale(Fraction(2)), format_scale(Fraction(5, 24))
    ('1:8', '2:1', '1:4.8')
    """
    check_ratio(ratio)
    figure, inexact = rounded(1 / ratio if ratio <= 1 else ratio)
    text = f"1:{figure}" if ratio <= 1 else f"{figure}:1"
    return about(text) if inexact else text


def check_ratio(ratio: Fraction | float) -> None:
    if not math.isfinite(ratio) or ratio <= 0:
        raise ValueError(_("A scale is a finite ratio of more than zero, like 1/6."))
