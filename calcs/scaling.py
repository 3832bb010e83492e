"""Full size to model: reading a scale as people type it, and what it does to lengths, areas and volumes.

A scale is the exact ratio model / full size: 1:6 is Fraction(1, 6). Lengths go with the ratio, areas with its
square, volumes (and masses of the same material) with its cube: the square-cube law.
"""

import math
import re
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from calcs.given import LENGTH, amount, count
from calcs.lengths_grammar import MILLIMETRES, find_length
from calcs.reading import Reading, Refusal, check_size, refused, shown
from calcs.stock import nearest_stock
from calcs.sums import Result, Sums
from calcs.typed_text import NUMBER, exact_number, in_figures, plain_text, words_to_figures
from calcs.working import Step, Working, as_given, deserved

if TYPE_CHECKING:
    import pint

_FOOT = MILLIMETRES["ft"]
_SMALLEST, _LARGEST = Fraction(1, 10_000), Fraction(1000)
_UNKNOWN = re.compile(r"[?\-._ ]*|tb[acd]|un ?known|not known|n/?a")
_LETTERS = re.compile(r"(?:h0|ho|00|oo|em|ee|tt|s7|0|o|n|z|g|s)(?: (?:scale|gauge))?")
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
        return Reading(typed, ratio, "ok", f"{shown(typed)} → {format_scale(ratio)}{note}")
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
    _check_ratio(ratio)
    figures = in_figures(1 / ratio if ratio <= 1 else ratio)
    about, figure = ("about ", figures[6:]) if figures.startswith("about ") else ("", figures)
    return f"{about}1:{figure}" if ratio <= 1 else f"{about}{figure}:1"


def scaled_length(full_size: "pint.Quantity[Any]", ratio: Fraction | float) -> "pint.Quantity[Any]":
    """The length on the model, in the unit given. Ratio is model / full size, more than zero.

    Raises ValueError for a ratio of zero or less, or a quantity that is not a length.

    >>> from calcs.quantities import registry
    >>> scaled_length(registry().Quantity(60, "inch"), Fraction(1, 4)).magnitude
    15.0
    """
    return _scaled(full_size, ratio, 1, ("[length]",), "a length")


def scaled_area(full_size: "pint.Quantity[Any]", ratio: Fraction | float) -> "pint.Quantity[Any]":
    """The area on the model: the ratio squared. Raises ValueError as `scaled_length` does."""
    return _scaled(full_size, ratio, 2, ("[length] ** 2",), "an area")


def scaled_volume(full_size: "pint.Quantity[Any]", ratio: Fraction | float) -> "pint.Quantity[Any]":
    """The volume on the model, or the mass in the same material: the ratio cubed. Raises as `scaled_length`."""
    return _scaled(full_size, ratio, 3, ("[length] ** 3", "[mass]"), "a volume or a mass")


def _check_ratio(ratio: Fraction | float) -> None:
    if not math.isfinite(ratio) or ratio <= 0:
        raise ValueError("A scale is a finite ratio of more than zero, like 1/6.")


def _scaled(
    full_size: "pint.Quantity[Any]", ratio: Fraction | float, power: int, kinds: tuple[str, ...], name: str
) -> "pint.Quantity[Any]":
    _check_ratio(ratio)
    if not any(full_size.check(kind) for kind in kinds):
        raise ValueError(f"This scales {name}, and the quantity given is something else.")
    factor = Fraction(ratio) ** power
    scaled: pint.Quantity[Any] = full_size * factor.numerator / factor.denominator
    return scaled


def ratio_per_foot(size: "pint.Quantity[Any]") -> Fraction:
    """The scale of so many inches (or mm) to the foot, as a ratio. ValueError for what is no length.

    >>> from calcs.quantities import registry
    >>> ratio_per_foot(registry().Quantity(1.5, "inch"))
    Fraction(1, 8)
    """
    return Fraction(amount(size, LENGTH, "size to the foot") / float(_FOOT)).limit_denominator(100_000)


def to_model(full_size: "pint.Quantity[Any]", ratio: Fraction | float) -> Result:
    """The size on the model, with its working: lengths by the ratio, areas by its square, volumes and masses (of
    the same material) by its cube. The answer keeps the unit given. Raises ValueError as `scaled_length` does.

    >>> from calcs.quantities import registry
    >>> to_model(registry().Quantity(640, "kg"), Fraction(1, 8)).value.magnitude
    1.25
    """
    _check_ratio(ratio)
    return _between("To the model", "full size", full_size, Fraction(ratio))


def to_full_size(model: "pint.Quantity[Any]", ratio: Fraction | float) -> Result:
    """The size that a model's size stands for, with its working; the other way round from `to_model`.

    >>> from calcs.quantities import registry
    >>> to_full_size(registry().Quantity(2, "inch"), Fraction(1, 6)).value.magnitude
    12.0
    """
    _check_ratio(ratio)
    return _between("To full size", "model", model, 1 / Fraction(ratio))


_POWERS = (
    ("[length]", 1, "length"),
    ("[length] ** 2", 2, "area"),
    ("[length] ** 3", 3, "volume"),
    ("[mass]", 3, "mass"),
)


def _between(title: str, symbol: str, given: "pint.Quantity[Any]", factor: Fraction) -> Result:
    from calcs.quantities import registry

    check = getattr(given, "check", lambda _: False)
    found = next(((power, name) for kind, power, name in _POWERS if check(kind)), None)
    if found is None:
        raise ValueError("This scales lengths, areas, volumes and masses, and what was given is something else.")
    power, name = found
    size = float(given.magnitude) if isinstance(given.magnitude, (int, float)) else math.nan
    if not math.isfinite(size) or size < 0:
        raise ValueError(f"The {name} to be scaled must be a finite figure of zero or more.")
    try:
        value = float(Fraction(size) * factor**power)
    except OverflowError:
        raise ValueError(f"The {name} to be scaled lies outside what a workshop can mean.") from None
    unit = f"{given.units:~P}"
    ratio = in_figures(factor) if factor >= 1 else f"1/{in_figures(1 / factor)}"
    raised = {1: "", 2: "²", 3: "³"}[power]
    steps = (
        Step(symbol, name, "", size, unit, "", f"{as_given(size)} {unit}"),
        Step(
            "result",
            f"{symbol} × ratio{raised}",
            f"{as_given(size)} × ({ratio}){raised}",
            value,
            unit,
            "square-cube law" if power > 1 else "",
            f"{deserved(value, unit)} {unit}",
        ),
    )
    return Result(registry().Quantity(value, given.units), Working(title, steps))


def swept_volume(bore: "pint.Quantity[Any]", stroke: "pint.Quantity[Any]", cylinders: int = 1) -> Result:
    """The volume that an engine's pistons sweep: (π/4)·bore²·stroke·cylinders, in cm³ or in³ as the bore is given.

    >>> from calcs.quantities import registry
    >>> round(swept_volume(registry().Quantity(1, "inch"), registry().Quantity(1, "inch")).value.magnitude, 4)
    0.7854
    """
    across, long = amount(bore, LENGTH, "bore"), amount(stroke, LENGTH, "stroke")
    number = count(cylinders, "number of cylinders", 1000)
    sums = Sums("Swept volume", bore)
    per = "" if sums.inch else " ÷ 1000"
    numbers = f"π ÷ 4 × {sums.show(across, 'length')}² × {sums.show(long, 'length')} × {number}{per}"
    cubic = math.pi / 4 * across**2 * long * number
    return Result(sums.line("V", f"(π ÷ 4)·bore²·stroke·cylinders{per}", numbers, cubic, "volume"), sums.working())


__all__ = [
    "format_scale",
    "nearest_stock",
    "ratio_per_foot",
    "read_scale",
    "scaled_area",
    "scaled_length",
    "scaled_volume",
    "swept_volume",
    "to_full_size",
    "to_model",
]
