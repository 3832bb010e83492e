"""More of the second sheet: the area of the blank's end, its volume and its mass, and the way round a bar.

A hexagon's area is √3/2 of the square across its flats, its corners lie 2/√3 of that apart: the question says 0.866 and
1.155, and the answer is worked out from what it says.
"""

import math

from builds.queries.plan.worksheet.facts import Facts, Stock, as_asked
from builds.queries.plan.worksheet.lines import Answer, Sum
from builds.queries.plan.worksheet.own_unit import density_hint, in_own_unit, own_density, own_volume
from calcs.messages import _

HEXAGON = 0.866


def area_hint(stock: Stock) -> str:
    """What has to be known for the area of the blank's end."""
    if stock.shape == "round":
        return _("The area of a circle is π × r × r. Here r is the width ÷ 2. π is 3.1416.")
    if stock.shape == "hexagon":
        return _("The area of its end is {share} × width × width.", share=HEXAGON)
    return ""


def area_of_end(answer: Answer, facts: Facts, stock: Stock) -> tuple[float, str]:
    """The lines to the area of the end of the blank, in the sheet's unit."""
    wide, text = in_own_unit(answer, facts, stock.across, _("width"))
    unit = f"{facts.unit}²"
    if stock.shape == "flat" and stock.other is not None:
        thick, thin = in_own_unit(answer, facts, stock.other, _("thickness"))
        because = _("The end is a rectangle: width times thickness.")
        return wide * thick, answer.line(because, "A", "", f"{text} × {thin}", wide * thick, unit)
    if stock.shape == "square":
        because = _("The end is a square: side times side.")
        return wide * wide, answer.line(because, "A", "", f"{text} × {text}", wide * wide, unit)
    if stock.shape == "hexagon":
        area, because = HEXAGON * wide * wide, _("We use the rule for six sides.")
        return area, answer.line(because, "A", "", f"{HEXAGON} × {text} × {text}", area, unit)
    half = answer.line(_("We take half of the width."), "r", "", f"{text} ÷ 2", wide / 2, facts.unit)
    area, because = math.pi / 4 * wide * wide, _("We use the rule for a circle.")
    return area, answer.line(because, "A", "π × r × r", f"π × {half} × {half}", area, unit)


def volume_of_blank(answer: Answer, facts: Facts, stock: Stock) -> tuple[float, str]:
    """The lines to the volume of the blank, in in³ or mm³."""
    area, text = area_of_end(answer, facts, stock)
    long, figure = in_own_unit(answer, facts, stock.length, _("length"))
    because = _("The volume is the area of the end times the length.")
    return area * long, answer.line(because, "V", "A × L", f"{text} × {figure}", area * long, f"{facts.unit}³")


def solid(facts: Facts) -> Stock | None:
    """The blank where its section is one of the four that have a rule here."""
    stock = facts.stock
    return stock if stock is not None and stock.shape != "tube" else None


def area(facts: Facts) -> Sum | None:
    """The area of the end of the blank."""
    stock = solid(facts)
    if stock is None:
        return None
    answer = Answer()
    area_of_end(answer, facts, stock)
    asked = _("What is the area of its end?")
    return answer.sum(_("Area of the end"), stock.said, stock.hint, area_hint(stock), asked)


def volume(facts: Facts) -> Sum | None:
    """The volume of the blank."""
    stock = solid(facts)
    if stock is None:
        return None
    answer = Answer()
    volume_of_blank(answer, facts, stock)
    asked = _("What is the volume of the blank?")
    return answer.sum(_("Volume of the blank"), stock.said, stock.hint, area_hint(stock), asked)


def mass(facts: Facts) -> Sum | None:
    """What the blank weighs."""
    stock, material = solid(facts), facts.part.material
    if stock is None or material is None or not material.density:
        return None
    answer, (density, said) = Answer(), as_asked(material.density)
    volume, text = volume_of_blank(answer, facts, stock)
    volume, text = own_volume(answer, facts, volume, text)
    dense, each, unit = own_density(answer, facts, density, said)
    because = _("We multiply the volume by what one of it weighs.")
    answer.line(because, "m", "V × ρ", f"{text} × {each}", volume * dense, unit)
    metal = _("“{material}” has a density of {density} kg/m³. We call it ρ.", material=material.name, density=said)
    hints = (stock.hint, area_hint(stock), metal, density_hint(facts))
    return answer.sum(_("Mass of the blank"), stock.said, *hints, _("What does the blank weigh?"))


def round_the_bar(facts: Facts) -> Sum | None:
    """The way round a round bar."""
    stock = facts.stock
    if stock is None or stock.shape not in ("round", "tube"):
        return None
    answer = Answer()
    wide, text = in_own_unit(answer, facts, stock.across, _("width"))
    because = _("The way round is π times the width.")
    answer.line(because, _("way round"), "π × d", f"π × {text}", math.pi * wide, facts.unit)
    strip = _("A strip of paper goes once round the bar. The way round is π × d. Here d is the width. π is 3.1416.")
    return answer.sum(_("Once round the bar"), stock.said, stock.hint, strip, _("How long is the strip?"))


def face(facts: Facts) -> Sum | None:
    """The large face of a flat blank."""
    stock = solid(facts)
    if stock is None or stock.shape != "flat":
        return None
    answer = Answer()
    long, figure = in_own_unit(answer, facts, stock.length, _("length"))
    wide, text = in_own_unit(answer, facts, stock.across, _("width"))
    because = _("The face is a rectangle: length times width.")
    answer.line(because, "A", "", f"{figure} × {text}", long * wide, f"{facts.unit}²")
    return answer.sum(_("Area of the face"), stock.said, stock.hint, _("What is the area of its large face?"))
