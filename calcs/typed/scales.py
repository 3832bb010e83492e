"""A scale as people type it, and back to text. A scale is the exact ratio model / full size: 1:6 is Fraction(1, 6)."""

import math
import re
from fractions import Fraction

from calcs.typed.lengths_grammar import MILLIMETRES, find_length
from calcs.typed.reading import Reading, Refusal, check_size, quote_input, refused
from calcs.typed.text import NUMBER, exact_number, in_figures, plain_text, words_to_figures

_FOOT = MILLIMETRES["ft"]


_SMALLEST = Fraction(1, 10_000)


_LARGEST = Fraction(1000)


_LETTERS = re.compile(r"(?:h0|ho|00|oo|em|ee|tt|s7|0|o|n|z|g|s)(?: (?:scale|gauge))?")


_UNKNOWN = re.compile(r"[?\-._ ]*|tb[acd]|un ?known|not known|n/?a")


_TAIL = re.compile(r"(.+?)[ -]*(?:\bscale|\bsize|\bof full size|\bfull size)")


_INCH_OR_MM = r"(?:\"|in\.?|ins\.?|inch|inches|mm)"


_PER_FOOT = re.compile(
    rf"({NUMBER}\s*{_INCH_OR_MM})(?:\s*(?:to|per|=|:|/)\s*(?:the |a |1\s*)?(?:foot|ft|'))?(?: scale)?"
)


WHAT_IS_READ = "Write a scale like 1:6, 1/4, 1-1/2 in to the foot, or 1' = 1-1/2\"."


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
            return Reading(typed, None, "unknown", "No scale is given: it counts as unknown.")
        ratio, note = _find_scale(words_to_figures(plain.rstrip(" ,;.")))
        if ratio <= 0:
            raise Refusal(f"A scale is more than zero. {WHAT_IS_READ}")
        if not _SMALLEST <= ratio <= _LARGEST:
            raise Refusal(f"A scale lies between 1:10,000 and 1000:1. {WHAT_IS_READ}")
        return Reading(typed, ratio, "ok", f"{quote_input(typed)} → {format_scale(ratio)}{note}")
    except Refusal as trouble:
        return refused(typed, trouble.sentence)


def _find_scale(plain: str) -> tuple[Fraction, str]:
    if plain in ("full size", "full scale", "full"):
        return Fraction(1), ""
    if re.search(r"\bgauge\b|\bgage\b", plain) or _LETTERS.fullmatch(plain):
        raise Refusal(f"A gauge or a letter stands for more than one ratio. {WHAT_IS_READ}")
    if plain.startswith("-"):
        raise Refusal(f"A scale cannot be negative. {WHAT_IS_READ}")
    if per_foot := _PER_FOOT.fullmatch(plain):
        return find_length(per_foot[1], None).mm / _FOOT, " (so much to the foot)"
    if "=" in plain:
        return _two_lengths(*plain.split("=", 1)), " (the smaller size is the model)"
    tail = _TAIL.fullmatch(plain)
    bare = (tail[1] if tail else plain).strip()
    if sides := re.fullmatch(rf"({NUMBER})\s*(?::|\bto\b)\s*({NUMBER})", bare):
        return _ratio(exact_number(sides[1]), exact_number(sides[2])), ""
    if re.fullmatch(r"\d+\s?/\s?\d+", bare):
        return exact_number(bare), ""
    if percent := re.fullmatch(rf"({NUMBER})\s*%", bare):
        return exact_number(percent[1]) / 100, ""
    if re.fullmatch(NUMBER, bare):
        raise Refusal(f"“{bare}” may be 1:{bare} or {bare} in to the foot. {WHAT_IS_READ}")
    raise Refusal(f"This was not understood as a scale. {WHAT_IS_READ}")


def _ratio(model: Fraction, full: Fraction) -> Fraction:
    if full == 0:
        raise Refusal(f"A scale is not divided by zero. {WHAT_IS_READ}")
    return model / full


def _two_lengths(left: str, right: str) -> Fraction:
    found = [find_length(side.strip(), None) for side in (left, right)]
    if any(size.high is not None or size.rough for size in found):
        raise Refusal(f"A scale needs two plain sizes. {WHAT_IS_READ}")
    return _ratio(min(size.mm for size in found), max(size.mm for size in found))


def format_scale(ratio: Fraction) -> str:
    """The ratio as 1:n for models smaller than full size, n:1 for larger; `read_scale` reads exact ones back.

    >>> format_scale(Fraction(1, 8)), format_scale(Fraction(2)), format_scale(Fraction(5, 24))
    ('1:8', '2:1', '1:4.8')
    """
    check_ratio(ratio)
    figures = in_figures(1 / ratio if ratio <= 1 else ratio)
    about, figure = ("about ", figures[6:]) if figures.startswith("about ") else ("", figures)
    return f"{about}1:{figure}" if ratio <= 1 else f"{about}{figure}:1"


def check_ratio(ratio: Fraction | float) -> None:
    if not math.isfinite(ratio) or ratio <= 0:
        raise ValueError("A scale is a finite ratio of more than zero, like 1/6.")
