"""Full size and model: a length, an area, a volume or a mass through the scale, and the stock that lies nearest."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from functools import partial
from typing import Any, ClassVar

from builds.arithmetic.answers import Answer, Fact, Table, both, figure_of, in_four, said
from builds.arithmetic.fields import CountField, LengthField, MeasureField, PickField, ScaleField
from builds.arithmetic.forms import Kind, SumForm
from builds.arithmetic.stock import mass_words
from calcs.shop.scaling import scaled_area, scaled_length, scaled_volume
from calcs.shop.stock import nearest_stock
from calcs.typed import measures
from calcs.typed.lengths_grammar import MILLIMETRES
from calcs.typed.scales import format_scale
from calcs.typed.text import in_figures
from calcs.units.argument_checks import amount, count
from calcs.units.kinds import AREA, LENGTH, MASS, VOLUME
from calcs.working.builder import WorkingBuilder

TO_MODEL, TO_FULL = "full size to model", "model to full size"
_POWERS = {"length": (scaled_length, 1, LENGTH), "area": (scaled_area, 2, AREA)}
_POWERS |= {"volume": (scaled_volume, 3, VOLUME), "mass": (scaled_volume, 3, MASS)}


def scaled(form: SumForm, sort: str) -> Answer:
    """A size through the scale, one way or the other."""
    return answer_of(form, sort, form.cleaned_data[sort])


def answer_of(form: SumForm, sort: str, size: Any, before: Any = ()) -> Answer:
    """The answer for a size of that sort; `before`: workings that led to the size."""
    change, power, kind = _POWERS[sort]
    back = form.cleaned_data.get("way") == TO_FULL
    given: Fraction = form.cleaned_data["scale"]
    ratio = 1 / given if back else given
    start = amount(size, kind, sort)
    result = change(size, ratio)
    sums = WorkingBuilder(form.cleaned_data.get("way") or TO_MODEL, size)
    sums.given("size", "model" if back else "full size", start, sort)
    sign = {1: "", 2: "²", 3: "³"}[power]
    exact = str(ratio) if ratio.denominator <= 1000 else in_figures(ratio).removeprefix("about ")
    numbers = f"{sums.show(start, sort)} × {f'({exact})' if power > 1 else exact}{sign}"
    sums.line("full size" if back else "model", f"size × ratio{sign}", numbers, start * float(ratio) ** power, sort)
    words = mass_words(result) if sort == "mass" else both(result) if sort == "length" else in_four(result)
    return Answer(
        "At full size" if back else "On the model",
        words,
        f"{in_four(size)} {'on the model' if back else 'at full size'}",
        facts=scale_facts(given, power),
        tables=stock_tables(result) if sort == "length" and not back else (),
        remarks=("The mass holds for the same material in both.",) if sort == "mass" else (),
        workings=(*before, sums.working()),
    )


def scale_facts(ratio: Fraction, power: int) -> tuple[Fact, ...]:
    """The scale as it is spoken of."""
    foot = f"{figure_of(float(ratio * 12))} in"
    facts = [
        Fact("Scale", format_scale(ratio)),
        Fact("To the foot", foot, f"{figure_of(float(ratio * MILLIMETRES['ft']))} mm"),
        Fact("Per cent", f"{figure_of(float(ratio * 100))} %"),
    ]
    if power > 1:
        share = float(ratio**power)
        named = "Areas" if power == 2 else "Volumes and masses"
        words = f"1/{figure_of(1 / share)}" if share < 1 else f"{figure_of(share)} times"
        facts.append(Fact(named, words, "of full size"))
    return tuple(facts)


def stock_tables(size: Any) -> tuple[Table, ...]:
    """The nearest sizes of bar, in both systems, and the difference they make; none where no bar comes near."""
    rows = [*stock_rows(size, "mm", "metric bar"), *stock_rows(size, "in", "inch bar")]
    heads = ("Stock", "Which", "Size", "Difference", "Section")
    title = "Stock that lies nearest (common sizes of bar, from memory)"
    return (Table(title, heads, tuple(rows), (2, 3, 4)),) if rows else ()


def stock_rows(size: Any, unit: str, words: str) -> Iterator[tuple[str, ...]]:
    """The nearest size, and those on either side, as far as they are bar for that size at all."""
    found = nearest_stock(size, unit)
    for name, stock in (("nearest", found.nearest), ("next above", found.above), ("next below", found.below)):
        if stock is None or (name != "nearest" and abs(float((stock - found.nearest).magnitude)) < 1e-9):
            continue
        times = float((stock / size).to("dimensionless").magnitude)
        if not 0.5 <= times <= 2:
            continue
        share = round((times**2 - 1) * 100, 1)
        section = f"{share:+.1f} %".replace("-", "−") if share else "the same"
        own = stock.to("millimeter" if unit == "mm" else "inch")
        yield words, name, both(own), difference(stock - size), section


def difference(length: Any) -> str:
    """A difference with its sign."""
    # What is left of a subtraction in floats is no difference.
    if abs(float(length.to("millimeter").magnitude)) < 1e-6:
        return "none"
    text = said(length)
    return text if text.startswith(("−", "0 ")) else f"+{text}"


def swept(form: SumForm) -> Answer:
    """Swept volume of the cylinders, and the same at the other size."""
    bore, stroke = form.cleaned_data["bore"], form.cleaned_data["stroke"]
    number = count(form.cleaned_data.get("cylinders") or 1, "number of cylinders", 100)
    across, long = amount(bore, LENGTH, "bore"), amount(stroke, LENGTH, "stroke")
    sums = WorkingBuilder("Swept volume", bore)
    per = "" if sums.inch else " ÷ 1000"
    numbers = f"π ÷ 4 × {sums.show(across, 'length')}² × {sums.show(long, 'length')} × {number}{per}"
    value = sums.line(
        "V", f"(π ÷ 4)·bore²·stroke·cylinders{per}", numbers, math.pi / 4 * across**2 * long * number, "volume"
    )
    return answer_of(form, "volume", value, (sums.working(),))


_SCALE = ("scale", "way")


def _sort(label: str, sort: str) -> Kind:
    return Kind(label, partial(scaled, sort=sort), (*_SCALE, sort), needed=("scale", sort))


class ScaleForm(SumForm):
    """What is taken through the scale decides the field that is asked."""

    asks = "What is scaled"

    scale = ScaleField("Scale", "1:6", help_text="Like 1:6, 1/4, 1-1/2 in to the foot, or 1' = 1-1/2\".")
    way = PickField("Way", [(TO_MODEL, TO_MODEL), (TO_FULL, TO_FULL)])
    length = LengthField("Length", ("300 mm", "12 in"))
    area = MeasureField("Area", measures.AREA, ("mm^2", "in^2"), ("5000 mm²", "8 in²"))
    volume = MeasureField("Volume", measures.VOLUME, ("cm^3", "in^3"), ("500 cm³", "30 in³"))
    mass = MeasureField("Mass", measures.MASS, ("kg", "lb"), ("20 kg", "45 lb"))
    bore = LengthField("Bore", ("80 mm", "3 in"))
    stroke = LengthField("Stroke", ("100 mm", "4 in"))
    cylinders = CountField("Cylinders", "1", most=100)

    kinds: ClassVar[dict[str, Kind]] = {
        "length": _sort("A length", "length"),
        "area": _sort("An area", "area"),
        "volume": _sort("A volume", "volume"),
        "mass": _sort("A mass", "mass"),
        "swept": Kind(
            "Swept volume of cylinders",
            swept,
            (*_SCALE, "bore", "stroke", "cylinders"),
            needed=("scale", "bore", "stroke"),
        ),
    }
