"""The material that so many blanks take: length of bar and mass, as far as the part says enough."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from builds.models import Part
from calcs.messages import _
from calcs.units.registry import LengthUnit
from calcs.working.result import Working

if TYPE_CHECKING:
    from calcs.shop.blank_sizes import Blank

# For parting off and facing each blank: a parting tool and a light cut (common practice).
CUT_MM = 3.0
# A blank so many times as heavy as the finished piece may be a bar for several.
HEAVY = 10


@dataclass(frozen=True)
class MaterialNeeded:
    """What so many blanks take. Texts are ready to be read; an empty one is not known. `workings` lead to them."""

    blanks: int
    as_typed: str
    material: str
    bar: str = ""
    mass: str = ""
    remark: str = ""
    workings: tuple[Working, ...] = ()


def blank_of(part: Part, unit: LengthUnit) -> "Blank | None":
    """The blank of a part as sizes; None where the text describes none that can be read."""
    from calcs.shop.blank_sizes import read_blank

    try:
        return read_blank(part.blank, unit)
    except ValueError:
        return None


def material_for(part: Part, units: LengthUnit, blanks: int) -> MaterialNeeded:
    """The material for so many blanks of a part. Where the blank is not understood, only what was typed is said."""
    known = MaterialNeeded(blanks, part.blank, str(part.material or ""))
    size = blank_of(part, units) if blanks else None
    if size is None:
        return known
    from calcs.shop.stock import bar_length, mass
    from calcs.units.registry import registry

    unit = registry().Quantity
    bar, weight, remark = "", "", ""
    workings: list[Working] = []
    if size.from_bar:
        found = bar_length(blanks, size.length, parting=unit(CUT_MM, "millimeter"))
        bar = _length(float(found.value.to("millimeter").magnitude), units)
        workings.append(found.working)
    density = part.material.density if part.material else None
    if density:
        one = mass(size.section, size.length, unit(density, "kilogram / meter ** 3"))
        grams = float(one.value.to("gram").magnitude)
        weight = mass_in_words(grams * blanks)
        workings.append(one.working)
        if part.finished_mass_grams and grams > HEAVY * part.finished_mass_grams:
            remark = _(
                "One such blank weighs {blank}, the finished piece {piece}: if it is a bar for several, this is "
                "too much.",
                blank=mass_in_words(grams),
                piece=mass_in_words(part.finished_mass_grams),
            )
    return MaterialNeeded(blanks, part.blank, known.material, bar, weight, remark, tuple(workings))


def _length(millimetres: float, units: str) -> str:
    if units == "in":
        inches = millimetres / 25.4
        return f"{inches:.0f} in" if inches >= 10 else f"{inches:.1f} in"
    return f"{millimetres / 1000:.2f} m" if millimetres >= 1000 else f"{millimetres:.0f} mm"


def mass_in_words(grams: float) -> str:
    """A mass in the digits it deserves."""
    if grams >= 1000:
        return f"{grams / 1000:.1f} kg"
    return f"{grams:.0f} g" if grams >= 10 else f"{grams:.1g} g"
