"""Right triangles and tapers, each with a small drawing that names its parts."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact
from builds.arithmetic.fields import AngleField, LengthField, NumberField
from builds.arithmetic.forms import Kind, SumForm
from calcs.messages import _
from calcs.shop.tapers import (
    Taper,
    tailstock_set_over,
    taper_from_angle,
    taper_from_per_foot,
    taper_from_ratio,
    taper_from_sizes,
)
from calcs.shop.triangles import right_triangle
from calcs.units.figures import format_significant
from calcs.units.quantity_text import format_both, format_quantity


@dataclass(frozen=True)
class TriangleDrawing:
    """A right triangle as it is drawn: the right angle at the lower right, alpha at the lower left."""

    template: str
    words: str
    points: dict[str, str]
    names: dict[str, str]


def triangle(form: SumForm) -> Answer:
    """The whole triangle from two of its parts."""
    found = right_triangle(**form.given("a", "b", "c", "alpha", "beta"))
    words = {"a": _("opposite α"), "b": _("beside α"), "c": _("the hypotenuse")}
    facts = [Fact(_part(name), _size(found, name), words.get(name, "")) for name in ("a", "b", "c", "alpha", "beta")]
    given = form.given("a", "b", "c", "alpha", "beta")
    asked = next(name for name in ("c", "alpha", "a", "b", "beta") if name not in given)
    headline = _part(asked), _size(found, asked)
    return Answer(*headline, facts=tuple(facts), workings=(found.working,), drawing=drawing_of(found))


def _part(name: str) -> str:
    if name in "abc":
        return _("Side {letter}", letter=name)
    return _("Angle {letter}", letter="α" if name == "alpha" else "β")


def _size(found: Any, name: str) -> str:
    size = getattr(found, name)
    return format_both(size) if name in "abc" else degrees(size)


def degrees(angle: float) -> str:
    """An angle in degrees, and in degrees and minutes behind it.

    >>> degrees(36.8699)
    "36.87° (36° 52')"
    """
    minutes = round(angle * 60)
    return f"{angle:.3f}".rstrip("0").rstrip(".") + f"° ({minutes // 60}° {minutes % 60:02d}')"


def drawing_of(found: Any) -> TriangleDrawing:
    """The triangle in its true shape, as large as the sheet lets it be; a needle is drawn a little thicker."""
    steep = min(80.0, max(8.0, found.alpha))
    wide, high = math.cos(math.radians(steep)), math.sin(math.radians(steep))
    scale = min(280 / wide, 190 / high)
    left, right, low = 200 - wide * scale / 2, 200 + wide * scale / 2, 235.0
    top = low - high * scale
    near = min(26.0, wide * scale / 3, high * scale / 3)
    figures = {
        "left": left,
        "right": right,
        "low": low,
        "top": top,
        "a_x": right + 12,
        "a_y": (low + top) / 2,
        "b_x": (left + right) / 2,
        "b_y": low + 24,
        "c_x": (left + right) / 2 - 14,
        "c_y": (low + top) / 2 - 10,
        "square_x": right - near / 2,
        "square_y": low - near / 2,
        "alpha_x": left - 20,
        "alpha_y": low + 6,
        "beta_x": right + 6,
        "beta_y": top - 4,
        "sheet_top": top - 30,
        "sheet_high": low - top + 64,
    }
    words = _(
        "A right triangle: a {a}, b {b}, c {c}, α {alpha}°.",
        **{name: format_quantity(getattr(found, name)) for name in "abc"},
        alpha=format_significant(found.alpha, "°"),
    )
    if steep != found.alpha:
        words += " " + _("The drawing is not true to it.")
    return TriangleDrawing("arithmetic/triangle.html", words, {name: f"{one:.1f}" for name, one in figures.items()}, {})


def taper_by_sizes(form: SumForm) -> Answer:
    """A taper from its two diameters and its length."""
    cleaned = form.cleaned_data
    return taper_answer(form, taper_from_sizes(cleaned["large"], cleaned["small"], cleaned["length"]))


def taper_by_angle(form: SumForm) -> Answer:
    """A taper from its included angle."""
    return taper_answer(form, taper_from_angle(form.cleaned_data["included"]))


def taper_by_foot(form: SumForm) -> Answer:
    """A taper from its diameter to the foot."""
    return taper_answer(form, taper_from_per_foot(form.cleaned_data["per_foot"]))


def taper_by_ratio(form: SumForm) -> Answer:
    """A taper 1:n."""
    return taper_answer(form, taper_from_ratio(form.cleaned_data["one_in"]))


def taper_answer(form: SumForm, found: Taper) -> Answer:
    """What a taper is in every way that it is spoken of, and what sets the lathe to it."""
    per_foot = found.per_foot.to("inch")
    of_diameter = _("of diameter")
    facts = [
        Fact(_("Included angle"), degrees(found.included)),
        Fact(_("Taper"), f"1:{format_significant(found.one_in, 'mm')}"),
        Fact(_("To the foot"), format_both(per_foot), of_diameter),
        Fact(_("To 100 mm"), f"{format_significant(found.rate * 100, 'mm')} mm", of_diameter),
    ]
    workings, remarks = [found.working], []
    centres = form.cleaned_data.get("centres")
    if centres is not None:
        over = tailstock_set_over(found, centres)
        note = _("for the whole length between centres")
        facts.append(Fact(_("Set-over of the tailstock"), format_both(over.value), note))
        workings.append(over.working)
        if found.half > 8:
            remarks.append(_("The set-over is a rule for slow tapers; here the top slide is the way."))
    return Answer(
        _("Set the top slide to"),
        degrees(found.half),
        _("half the included angle, from the axis"),
        tuple(facts),
        tuple(remarks),
        workings=tuple(workings),
        operation="turning",
        drawing=taper_drawing(form, found),
    )


def taper_drawing(form: SumForm, found: Taper) -> TriangleDrawing:
    """The taper on its axis, its slope as it is as far as it can be seen."""
    half = min(35.0, max(2.0, found.half))
    drop = min(100.0, 240 * math.tan(math.radians(half)))
    big = max(50.0, min(105.0, drop + 20))
    points = {
        "left": 80.0,
        "right": 320.0,
        "middle": 140.0,
        "big_top": 140 - big,
        "big_low": 140 + big,
        "small_top": 140 - (big - drop),
        "small_low": 140 + (big - drop),
    }
    cleaned = form.cleaned_data
    letters = {"large": "D", "small": "d", "length": "L"}
    names = {
        name: format_quantity(cleaned[name]) if cleaned.get(name) is not None else letter
        for name, letter in letters.items()
    }
    words = _(
        "A taper of {angle}° included, 1:{ratio}.",
        angle=format_significant(found.included, "°"),
        ratio=format_significant(found.one_in, "mm"),
    )
    if half != found.half or drop == 100.0:
        words += " " + _("The slope is drawn so that it can be seen.")
    return TriangleDrawing("arithmetic/taper.html", words, {name: f"{one:.1f}" for name, one in points.items()}, names)


_CENTRES = ("centres",)


class TrianglesForm(SumForm):
    """A triangle from any two parts, or a taper from what is known of it."""

    asks = gettext_lazy("What is known")

    a = LengthField(gettext_lazy("Side a, opposite α"), ("30 mm", "3 in"))
    b = LengthField(gettext_lazy("Side b, beside α"), ("40 mm", "4 in"))
    c = LengthField(gettext_lazy("Side c, the hypotenuse"))
    alpha = AngleField(gettext_lazy("Angle α"))
    beta = AngleField(gettext_lazy("Angle β"))
    large = LengthField(gettext_lazy("Large diameter"), ("25 mm", "1 in"))
    small = LengthField(gettext_lazy("Small diameter"), ("20 mm", "3/4 in"))
    length = LengthField(gettext_lazy("Length of the taper"), ("60 mm", "3 in"))
    included = AngleField(gettext_lazy("Included angle"), "2° 52'")
    per_foot = LengthField(gettext_lazy("Diameter to the foot of length"), ("0.6 in", "0.6 in"))
    one_in = NumberField(gettext_lazy("n, in a taper of 1:n"), "20", least=0.01, most=100_000)
    centres = LengthField(
        gettext_lazy("Length between centres"),
        help_text=gettext_lazy("Of the whole piece: for setting the tailstock over."),
    )

    kinds: ClassVar[dict[str, Kind]] = {
        "triangle": Kind(gettext_lazy("Two parts of a right triangle"), triangle, ("a", "b", "c", "alpha", "beta")),
        "taper": Kind(
            gettext_lazy("A taper: two diameters and its length"),
            taper_by_sizes,
            ("large", "small", "length", *_CENTRES),
            needed=("large", "small", "length"),
        ),
        "angle": Kind(
            gettext_lazy("A taper: its included angle"), taper_by_angle, ("included", *_CENTRES), needed=("included",)
        ),
        "foot": Kind(
            gettext_lazy("A taper: so much to the foot"), taper_by_foot, ("per_foot", *_CENTRES), needed=("per_foot",)
        ),
        "ratio": Kind(gettext_lazy("A taper: 1 in n"), taper_by_ratio, ("one_in", *_CENTRES), needed=("one_in",)),
    }
