"""More of the third sheet: what becomes chips, how large the finished piece is, and the size across corners.

The corners of a hexagon lie 2/√3 of its size across flats apart, those of a square √2 of its side: the question says
1.155 and 1.414, and the answer is worked out from what it says.
"""

from builds.queries.plan.worksheet.areas import area_hint, solid, volume_of_blank
from builds.queries.plan.worksheet.facts import Facts, as_asked
from builds.queries.plan.worksheet.lines import Answer, Sum
from builds.queries.plan.worksheet.own_unit import (
    density_hint,
    in_own_unit,
    large_mass,
    mass_hint,
    own_density,
    own_volume,
)
from calcs.messages import _

CORNERS = {"hexagon": 1.155, "square": 1.414}


def becomes_chips(facts: Facts) -> Sum | None:
    """What share of the blank is cut away."""
    stock, part = solid(facts), facts.part
    if stock is None or not facts.one_for_one or part.material is None or not part.material.density:
        return None
    (density, said), (grams, mass) = as_asked(part.material.density), as_asked(part.finished_mass_grams or 0.0)
    answer = Answer()
    volume, text = own_volume(answer, facts, *volume_of_blank(answer, facts, stock))
    dense, each, unit = own_density(answer, facts, density, said)
    blank = volume * dense
    weighs = answer.line(_("We find what the blank weighs."), "B", "V × ρ", f"{text} × {each}", blank, unit)
    piece, figure = grams, mass
    if facts.inch:
        piece, figure, _unit = large_mass(answer, facts, grams, mass)
    if piece > blank:
        return None
    away = answer.line(_("The rest is cut away."), "C", "B − m", f"{weighs} − {figure}", blank - piece, unit)
    share = (blank - piece) / blank * 100
    answer.line(
        _("We compare it with the whole blank."), _("share"), "C ÷ B × 100", f"{away} ÷ {weighs} × 100", share, "%"
    )
    hints = _hints(facts, part.material.name, said)
    weight = _("The finished piece weighs m = {mass} g.", mass=mass)
    asked = _("“Per cent” means “in 100”. How many per cent of the blank become chips?")
    pound = mass_hint(facts) if facts.inch else ""
    return answer.sum(_("What becomes chips"), stock.said, stock.hint, area_hint(stock), *hints, weight, pound, asked)


def _hints(facts: Facts, material: str, density: str) -> tuple[str, str]:
    metal = _("“{material}” has the density ρ = {density} kg/m³.", material=material, density=density)
    return metal, density_hint(facts)


def size_of_piece(facts: Facts) -> Sum | None:
    """The volume of the finished piece, from its mass."""
    part = facts.part
    if part.material is None or not part.material.density or not part.finished_mass_grams:
        return None
    (density, said), (grams, mass) = as_asked(part.material.density), as_asked(part.finished_mass_grams)
    answer = Answer()
    value, figure, unit = grams, mass, "cm³"
    if facts.inch:
        value, figure, _unit = large_mass(answer, facts, grams, mass)
        unit = "in³"
    dense, each, _unit = own_density(answer, facts, density, said)
    answer.line(_("We turn the formula round."), "V", "m ÷ ρ", f"{figure} ÷ {each}", value / dense, unit)
    weight = _("The finished piece weighs {mass} g. We call it m.", mass=mass)
    pound = mass_hint(facts) if facts.inch else ""
    formula = _("The formula is m = V × ρ.")
    asked = _("How large is it? Find its volume V.")
    return answer.sum(_("Volume of the piece"), weight, pound, *_hints(facts, part.material.name, said), formula, asked)


def across_corners(facts: Facts) -> Sum | None:
    """How wide a square or a hexagon is from corner to corner."""
    stock = facts.stock
    factor = None if stock is None else CORNERS.get(stock.shape)
    if stock is None or factor is None:
        return None
    answer = Answer()
    wide, text = in_own_unit(answer, facts, stock.across, "s")
    because = _("We put the figures into the formula.")
    answer.line(because, "e", f"{factor} × s", f"{factor} × {text}", factor * wide, facts.unit)
    formula = _("From corner to corner it is e = {factor} × s. Here s is the width.", factor=factor)
    asked = _("How wide must a hole be, so that the bar goes through?")
    return answer.sum(_("From corner to corner"), stock.said, stock.hint, formula, asked)
