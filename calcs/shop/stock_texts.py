"""Stock as it is written down: what two pieces must agree in to be cut alike, and how much each of them is.

A bar is a section and a length, "1-1/4 dia" and "12 in". A plate is a thickness and a face, "1/2 plate" and "12 x 8".
Figures are millimetres; texts are in the unit that was typed.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

from calcs.messages import _, gettext_noop
from calcs.shop.blank_sizes import read_blank, read_face, read_length_of, read_section
from calcs.shop.stock import Section
from calcs.units.argument_checks import Quantity
from calcs.units.registry import LengthUnit, format_in_fractions, millimetres

PLATE, FLAT = "plate", "flat"
# What lengths may differ by in binary.
SLACK_MM = 1e-6
_SAYS_PLATE = re.compile(r"\b(?:plate|sheet|board)\b", re.IGNORECASE)
_SAYS_BAR = re.compile(r"\b(?:flat|strip|bar)\b", re.IGNORECASE)
# What a section is called, by its shape: its sizes go in by number.
_WORDS = {
    "round": gettext_noop("{0} dia"),
    "square": gettext_noop("{0} sq"),
    "hexagon": gettext_noop("{0} A/F hex"),
    FLAT: gettext_noop("{0} × {1} flat"),
    "tube": gettext_noop("{0} tube × {1}"),
    PLATE: gettext_noop("{0} plate"),
}


@dataclass(frozen=True)
class StockSection:
    """What stock is cut from: its shape with its sizes in mm; `unit` says what they were typed in.

    The sizes are the diameter, the side, the size across flats, width and thickness, outside and wall; of a plate its
    thickness alone. `area_mm2` is that of a bar's section, 0 of a plate.
    """

    shape: str
    sizes_mm: tuple[float, ...]
    area_mm2: float
    unit: LengthUnit

    @property
    def key(self) -> tuple[str, tuple[float, ...]]:
        """The same, to 0.001 mm, for what is the same stock, whichever unit it was typed in."""
        return self.shape, tuple(round(size, 3) for size in self.sizes_mm)

    @property
    def in_words(self) -> str:
        """Such as "1-1/4 in dia"."""
        return _(_WORDS[self.shape]).format(*(length_in_words(size, self.unit) for size in self.sizes_mm))


@dataclass(frozen=True)
class SizedStock:
    """One piece of stock, in the rack or as the blank of a part: so long a bar, or a face of so many mm² of plate.

    `sides_mm` are those of a face, the longer first. `either` says that a flat blank names neither plate nor bar.
    """

    section: StockSection
    length_mm: float
    face_mm2: float = 0.0
    sides_mm: tuple[float, float] = (0.0, 0.0)
    unit: LengthUnit = "mm"
    either: bool = False

    @property
    def volume_mm3(self) -> float:
        if self.section.shape == PLATE:
            return self.face_mm2 * self.section.sizes_mm[0]
        return self.section.area_mm2 * self.length_mm

    @property
    def size_in_words(self) -> str:
        """The length of a bar, the two sides of a plate's face."""
        sides = self.sides_mm if self.section.shape == PLATE else (self.length_mm,)
        return " × ".join(length_in_words(side, self.unit) for side in sides)

    def ways_to_cut(self) -> tuple[SizedStock, ...]:
        """What a blank can come out of: a flat one that does not say which, out of flat bar or out of plate."""
        return (self, self.as_plate()) if self.either else (self,)

    def gives(self, blank: SizedStock, kerf_mm: float) -> bool:
        """Whether a blank of this section can be cut from it. What has its length already takes no cut."""
        if blank.face_mm2:
            return all(side + SLACK_MM >= least for side, least in zip(self.sides_mm, blank.sides_mm, strict=True))
        spare = self.length_mm - blank.length_mm
        return abs(spare) <= SLACK_MM or spare + SLACK_MM >= kerf_mm

    def as_plate(self) -> SizedStock:
        """A flat blank out of plate of its thickness."""
        wide, thick = self.section.sizes_mm
        section = StockSection(PLATE, (thick,), 0.0, self.section.unit)
        return replace(
            self, section=section, face_mm2=wide * self.length_mm, sides_mm=(self.length_mm, wide), either=False
        )


def length_in_words(length_mm: float, unit: LengthUnit) -> str:
    """A length of stock in the unit it was typed in, with all its digits: nothing is rounded.

    >>> length_in_words(9.525, "in"), length_in_words(9.525, "mm")
    ('3/8 in', '9.525 mm')
    """
    return format_in_fractions(millimetres(round(length_mm, 6)), unit)


def at_most_in_words(length_mm: float, unit: LengthUnit) -> str:
    """What is left of a bar, to a hundredth of an inch or a tenth of a millimetre: never more than what is there.

    >>> at_most_in_words(19.05, "in"), at_most_in_words(19.0, "in"), at_most_in_words(19.06, "mm")
    ('3/4 in', '0.74 in', '19 mm')
    """
    return _to_steps(length_mm, unit, {"in": 100, "mm": 10}, math.floor)


def at_least_in_words(length_mm: float, unit: LengthUnit) -> str:
    """What is asked of a merchant, to a tenth of an inch or a millimetre: never less than what is wanted.

    >>> at_least_in_words(266.7, "in"), at_least_in_words(267.0, "in"), at_least_in_words(266.7, "mm")
    ('10-1/2 in', '10.6 in', '267 mm')
    """
    return _to_steps(length_mm, unit, {"in": 10, "mm": 1}, math.ceil)


def _to_steps(length_mm: float, unit: LengthUnit, steps: dict[LengthUnit, int], whole: Callable[[float], int]) -> str:
    """To so many steps of the unit; what is a usual fraction of an inch stays as it is."""
    words = length_in_words(length_mm, unit)
    if unit == "in" and "." not in words:
        return words
    slack = SLACK_MM if whole is math.floor else -SLACK_MM
    count = whole(length_mm / (25.4 if unit == "in" else 1) * steps[unit] + slack)
    return f"{count / steps[unit]:.10g} {unit}"


@lru_cache(maxsize=4096)
def blank_of_text(text: str, default_unit: LengthUnit) -> SizedStock | None:
    """Return the stock that one blank takes; None where the text describes none that can be read.

    >>> blank_of_text("1-1/4 dia x 2 pot", "in").section.in_words, blank_of_text("casting", "in")
    ('1-1/4 in dia', None)
    """
    try:
        blank = read_blank(text, default_unit)
    except ValueError:
        return None
    unit = _unit_of(blank.length)
    sized = SizedStock(_sectioned(blank.section), _mm(blank.length), unit=unit)
    if sized.section.shape in ("round", "square") and _SAYS_PLATE.search(text):
        return _out_of_sheet(sized)
    if sized.section.shape != FLAT:
        return sized
    # A bar is longer than it is wide, and what says that it is plate is cut from plate.
    return sized.as_plate() if _SAYS_PLATE.search(text) else replace(sized, either=not _SAYS_BAR.search(text))


def _out_of_sheet(disc: SizedStock) -> SizedStock:
    """A disc or a square out of sheet: what is given as its length is the sheet's thickness."""
    [across] = disc.section.sizes_mm
    section = StockSection(PLATE, (round(disc.length_mm, 6),), 0.0, disc.section.unit)
    return SizedStock(section, 0.0, across**2, (across, across), disc.unit)


@lru_cache(maxsize=4096)
def section_of_text(text: str, default_unit: LengthUnit) -> StockSection:
    """Return the section that a text describes, a plate by its thickness. ValueError, with a sentence, otherwise.

    >>> section_of_text("1/2 plate", "in").key, section_of_text("8 mm A/F hex", "in").key
    (('plate', (12.7,)), ('hexagon', (8.0,)))
    """
    if _SAYS_PLATE.search(text) and "x" not in text.lower() and "×" not in text:
        thick = read_length_of(text, default_unit)
        return StockSection(PLATE, (_mm(thick),), 0.0, _unit_of(thick))
    return _sectioned(read_section(text, default_unit))


@lru_cache(maxsize=4096)
def stock_of_texts(section: str, size: str, default_unit: LengthUnit) -> SizedStock:
    """Return the stock that a section and its length describe; of a plate the two sides of its face. ValueError.

    >>> stock_of_texts("1-1/4 dia", "2 ft", "in").length_mm, stock_of_texts("6 mm plate", "300 x 200", "mm").face_mm2
    (609.6, 60000.0)
    """
    of = section_of_text(section, default_unit)
    if of.shape != PLATE:
        long = read_length_of(size, default_unit)
        return SizedStock(of, _mm(long), unit=_unit_of(long))
    wide, long = read_face(size, default_unit)
    return SizedStock(of, 0.0, _mm(long) * _mm(wide), (_mm(long), _mm(wide)), _unit_of(long))


def _sectioned(section: Section) -> StockSection:
    across, area = _mm(section.across), float(section.area.to("millimeter ** 2").magnitude)
    sizes = [across]
    if section.shape == FLAT:
        sizes.append(area / across)
    elif section.shape == "tube":
        sizes.append((across - max(0.0, across**2 - area / (math.pi / 4)) ** 0.5) / 2)
    return StockSection(section.shape, tuple(round(size, 6) for size in sizes), area, _unit_of(section.across))


def _mm(length: Quantity) -> float:
    return float(length.to("millimeter").magnitude)


def _unit_of(length: Quantity) -> LengthUnit:
    return "in" if str(length.units) == "inch" else "mm"
