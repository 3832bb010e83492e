"""Everything in the sheet's own system of units: what the record has in the other is changed on a line of its own.

1 in = 25.4 mm, 1 ft = 0.3048 m and 1 lb = 453.59237 g are exact; the question says them as a pupil would use them (1 m
is 3.281 ft, 1 lb is 453.6 g), and the answer is worked out from what the question says.
"""

from builds.queries.plan.worksheet.facts import Facts, Length, decimal
from builds.queries.plan.worksheet.lines import Answer
from calcs.messages import _

MM_IN = 25.4
CM_IN = 2.54
FEET_IN_METRE = 3.281
GRAMS_IN_POUND = 453.6
# kg/m³ in one lb/in³, which is 0.45359237 ÷ 0.0254³.
DENSITY_IN = 27_680


def in_own_unit(answer: Answer, facts: Facts, length: Length, symbol: str) -> tuple[float, str]:
    """A length in the sheet's unit and as a decimal, after a line for each thing that had to be done for that."""
    value, figure = float(length.value), length.figure
    if length.is_fraction and length.value.denominator > 1:
        figure = decimal(length.value)
        numbers = " + ".join(length.figure.split())
        answer.line(_("We write the fraction as a decimal."), symbol, "", numbers, figure, length.unit)
    if not length.foreign:
        return value, figure
    if facts.inch:
        because, value, numbers = _("We change mm to inches."), value / MM_IN, f"{figure} ÷ {MM_IN}"
    else:
        because, value, numbers = _("We change inches to mm."), value * MM_IN, f"{figure} × {MM_IN}"
    return value, answer.line(because, symbol, "", numbers, value, facts.unit)


def mass_hint(facts: Facts) -> str:
    """What has to be known to change grams into kilograms or pounds."""
    return _("1 lb is {grams} g.", grams=GRAMS_IN_POUND) if facts.inch else _("1 kg is 1000 g.")


def large_mass(answer: Answer, facts: Facts, grams: float, said: str) -> tuple[float, str, str]:
    """Grams in pounds or kilograms, as figure, as text, and the unit."""
    if facts.inch:
        value, because, unit = grams / GRAMS_IN_POUND, _("We change grams to pounds."), "lb"
        return value, answer.line(because, "m", "", f"{said} ÷ {GRAMS_IN_POUND}", value, unit), unit
    value, because, unit = grams / 1000, _("We change grams to kilograms."), "kg"
    return value, answer.line(because, "m", "", f"{said} ÷ 1000", value, unit), unit


def density_hint(facts: Facts) -> str:
    """What has to be known to change kg/m³ into what the sheet weighs with."""
    if facts.inch:
        return _("1 lb/in³ is {density} kg/m³.", density=f"{DENSITY_IN:,}")
    return _("1 g/cm³ is 1000 kg/m³. 1 cm³ is 1000 mm³.")


def own_density(answer: Answer, facts: Facts, density: float, said: str) -> tuple[float, str, str]:
    """kg/m³ in lb/in³ or g/cm³, as figure and as text, and the unit of the mass that comes of it."""
    if facts.inch:
        value, because = density / DENSITY_IN, _("We change it, so that it is for one cubic inch.")
        return value, answer.line(because, "ρ", "", f"{said} ÷ {DENSITY_IN:,}", value, "lb/in³"), "lb"
    value, because = density / 1000, _("We change it, so that it is for one cubic centimetre.")
    return value, answer.line(because, "ρ", "", f"{said} ÷ 1000", value, "g/cm³"), "g"


def own_volume(answer: Answer, facts: Facts, volume: float, text: str) -> tuple[float, str]:
    """A volume in in³ or mm³ as the density wants it: in³, or cm³ after a line."""
    if facts.inch:
        return volume, text
    because = _("We change it to cubic centimetres.")
    return volume / 1000, answer.line(because, "V", "", f"{text} ÷ 1000", volume / 1000, "cm³")


def speed_hint(facts: Facts) -> str:
    """What has to be known to change m/min into feet a minute; empty where nothing is to be changed."""
    return _("1 m is {feet} ft.", feet=FEET_IN_METRE) if facts.inch else ""


def own_speed(answer: Answer, facts: Facts, speed: float, said: str) -> tuple[float, str, str]:
    """m/min in ft/min or as they are: figure, text and unit."""
    if not facts.inch:
        return speed, said, "m/min"
    value = speed * FEET_IN_METRE
    return (
        value,
        answer.line(_("We change metres to feet."), "V", "", f"{said} × {FEET_IN_METRE}", value, "ft/min"),
        "ft/min",
    )
