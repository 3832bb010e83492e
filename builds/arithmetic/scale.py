"""Full size and model: a length, an area, a volume or a mass through the scale, and the stock that lies nearest."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import partial
from typing import Any, ClassVar

from django.utils.translation import gettext_lazy

from builds.arithmetic.answers import Answer, Fact, Table
from builds.arithmetic.fields import CountField, LengthField, MeasureField, PickField, ScaleField
from builds.arithmetic.forms import Kind, SumForm
from builds.arithmetic.stock import mass_words
from calcs.messages import _
from calcs.shop.scaling import swept_volume, to_full_size, to_model
from calcs.shop.stock import nearest_stock
from calcs.typed.scales import format_scale
from calcs.units.kinds import AREA, FOOT, MASS, VOLUME
from calcs.units.quantity_text import format_both, format_four, format_quantity, format_quantity_four
from calcs.working.result import Working

TO_MODEL, TO_FULL = "full size to model", "model to full size"
_POWERS = {"length": 1, "area": 2, "volume": 3, "mass": 3}


def scaled(form: SumForm, sort: str) -> Answer:
    """A size through the scale, one way or the other."""
    return answer_of(form, sort, form.cleaned_data[sort])


def answer_of(form: SumForm, sort: str, size: Any, *before: Working) -> Answer:
    """The answer for a size of that sort; `before`: workings that led to the size."""
    ratio: Fraction = form.cleaned_data["scale"]
    given, back = format_quantity_four(size), form.cleaned_data.get("way") == TO_FULL
    result = to_full_size(size, ratio) if back else to_model(size, ratio)
    formats = {"length": format_both, "mass": mass_words}
    return Answer(
        _("At full size") if back else _("On the model"),
        formats.get(sort, format_quantity_four)(result.value),
        _("{size} on the model", size=given) if back else _("{size} at full size", size=given),
        facts=scale_facts(ratio, _POWERS[sort]),
        tables=stock_tables(result.value) if sort == "length" and not back else (),
        remarks=(_("The mass holds for the same material in both."),) if sort == "mass" else (),
        workings=(*before, result.working),
    )


def scale_facts(ratio: Fraction, power: int) -> tuple[Fact, ...]:
    """The scale as it is spoken of."""
    foot = f"{format_four(float(ratio * 12))} in"
    facts = [
        Fact(_("Scale"), format_scale(ratio)),
        Fact(_("To the foot"), foot, f"{format_four(float(ratio * FOOT))} mm"),
        Fact(_("Per cent"), f"{format_four(float(ratio * 100))} %"),
    ]
    if power > 1:
        share = float(ratio**power)
        times = f"1/{format_four(1 / share)}" if share < 1 else _("{number} times", number=format_four(share))
        facts.append(Fact(_("Areas") if power == 2 else _("Volumes and masses"), times, _("of full size")))
    return tuple(facts)


def stock_tables(size: Any) -> tuple[Table, ...]:
    """The nearest sizes of bar, in both systems, and the difference they make; none where no bar comes near."""
    rows = [*stock_rows(size, "mm", _("metric bar")), *stock_rows(size, "in", _("inch bar"))]
    heads = (_("Stock"), _("Which"), _("Size"), _("Difference"), _("Section"))
    title = _("Stock that lies nearest (common sizes of bar)")
    return (Table(title, heads, tuple(rows), (2, 3, 4)),) if rows else ()


def stock_rows(size: Any, unit: str, words: str) -> Iterator[tuple[str, ...]]:
    """The nearest size, and those on either side, as far as they are bar for that size at all."""
    found = nearest_stock(size, unit)
    beside = ((_("next above"), found.above), (_("next below"), found.below))
    others = [
        (name, stock)
        for name, stock in beside
        if stock is not None and abs(float((stock - found.nearest).magnitude)) >= 1e-9
    ]
    for name, stock in ((_("nearest"), found.nearest), *others):
        times = float((stock / size).to("dimensionless").magnitude)
        if not 0.5 <= times <= 2:
            continue
        share = round((times**2 - 1) * 100, 1)
        section = f"{share:+.1f} %".replace("-", "−") if share else _("the same")
        own = stock.to("millimeter" if unit == "mm" else "inch")
        yield words, name, format_both(own), difference(stock - size), section


def difference(length: Any) -> str:
    """A difference with its sign."""
    # What is left of a subtraction in floats is no difference.
    if abs(float(length.to("millimeter").magnitude)) < 1e-6:
        return _("none")
    text = format_quantity(length)
    return text if text.startswith(("−", "0 ")) else f"+{text}"


def swept(form: SumForm) -> Answer:
    """Swept volume of the cylinders, and the same at the other size."""
    cleaned = form.cleaned_data
    volume = swept_volume(cleaned["bore"], cleaned["stroke"], cleaned.get("cylinders") or 1)
    return answer_of(form, "volume", volume.value, volume.working)


_SCALE = ("scale", "way")


def _sort(label: Any, sort: str) -> Kind:
    return Kind(label, partial(scaled, sort=sort), (*_SCALE, sort), needed=("scale", sort))


class ScaleForm(SumForm):
    """What is taken through the scale decides the field that is asked."""

    asks = gettext_lazy("What is scaled")

    scale = ScaleField(
        gettext_lazy("Scale"), "1:6", help_text=gettext_lazy("Like 1:6, 1/4, 1-1/2 in to the foot, or 1' = 1-1/2\".")
    )
    way = PickField(
        gettext_lazy("Way"),
        [(TO_MODEL, gettext_lazy("full size to model")), (TO_FULL, gettext_lazy("model to full size"))],
    )
    length = LengthField(gettext_lazy("Length"), ("300 mm", "12 in"))
    area = MeasureField(gettext_lazy("Area"), AREA, ("mm^2", "in^2"), ("5000 mm²", "8 in²"))
    volume = MeasureField(gettext_lazy("Volume"), VOLUME, ("cm^3", "in^3"), ("500 cm³", "30 in³"))
    mass = MeasureField(gettext_lazy("Mass"), MASS, ("kg", "lb"), ("20 kg", "45 lb"))
    bore = LengthField(gettext_lazy("Bore"), ("80 mm", "3 in"))
    stroke = LengthField(gettext_lazy("Stroke"), ("100 mm", "4 in"))
    cylinders = CountField(gettext_lazy("Cylinders"), "1", most=100)

    kinds: ClassVar[dict[str, Kind]] = {
        "length": _sort(gettext_lazy("A length"), "length"),
        "area": _sort(gettext_lazy("An area"), "area"),
        "volume": _sort(gettext_lazy("A volume"), "volume"),
        "mass": _sort(gettext_lazy("A mass"), "mass"),
        "swept": Kind(
            gettext_lazy("Swept volume of cylinders"),
            swept,
            (*_SCALE, "bore", "stroke", "cylinders"),
            needed=("scale", "bore", "stroke"),
        ),
    }
