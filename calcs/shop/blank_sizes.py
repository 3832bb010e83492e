"""A blank as it is written on the rack: "1-1/4 dia x 2", "8 mm A/F hex x 40", "7-1/4 x 4-1/4 x 1/2 plate".

What cannot be read is told in a sentence; a blank is often no bar at all ("casting from the pattern").
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from calcs.messages import _, gettext_noop
from calcs.shop.stock import Section, flat_bar, hexagon_bar, round_bar, square_bar, tube, volume
from calcs.typed.lengths import read_length
from calcs.units.argument_checks import Quantity
from calcs.units.registry import LengthUnit
from calcs.working.builder import Result

LONGEST = 200
# Not the x of "hex".
_BETWEEN = re.compile(r"\s*(?:(?<![a-z])[x×*](?![a-z])|\bby\b)\s*", re.IGNORECASE)
_ROUND = re.compile(r"\b(?:dia(?:meter)?|round|rd|bar)\b\.?|[Øø⌀]", re.IGNORECASE)
_HEXAGON = re.compile(r"\b(?:a\s*/\s*f\s+hex(?:agon)?|hex(?:agon)?(?:\s+a\s*/\s*f)?|a\s*/\s*f)\b\.?", re.IGNORECASE)
_SQUARE = re.compile(r"\b(?:sq(?:uare)?)\b\.?", re.IGNORECASE)
_TUBE = re.compile(r"\btube\b", re.IGNORECASE)
# Words that say something of the material or the surface, and nothing of the size.
_ASIDE = re.compile(
    r"\b(?:plate|sheet|board|block|bright|drawn|ground|flat|strip|long|thick|wall|pot|od|hard|rolled)\b", re.IGNORECASE
)
UNDERSTOOD = gettext_noop(
    "A blank is read when it is written like 1-1/4 dia x 2, 1/2 sq x 3, 8 mm A/F hex x 40 or 3 x 1 x 1/4."
)


@dataclass(frozen=True)
class Blank:
    """A blank that could be read: its section and its length."""

    section: Section
    length: Quantity

    @property
    def shape(self) -> str:
        """round, square, hexagon, flat or tube."""
        return self.section.shape

    @property
    def from_bar(self) -> bool:
        """Whether it is cut off a bar; a flat one may as well come out of a plate."""
        return self.shape != "flat"

    def volume(self) -> Result:
        """Return the volume with its working."""
        return volume(self.section, self.length)


def read_blank(text: str, default_unit: LengthUnit | None) -> Blank:
    """Return the blank that a text describes. ValueError, with a sentence, where it describes none.

    A unit written once holds for the sizes without one: "8 mm A/F hex x 40" is 40 mm long.

    >>> blank = read_blank("1-1/4 dia x 2 pot", "in")
    >>> blank.section.shape, round(blank.volume().value.to("inch ** 3").magnitude, 3)
    ('round', 2.454)
    """
    plain = " ".join(text.split())[:LONGEST].split(",")[0]
    if not plain:
        raise ValueError(_("No blank is given for this part."))
    parts = [one for one in _BETWEEN.split(plain) if one]
    unit = _unit_in(plain) or default_unit
    if _TUBE.search(plain):
        return _tube(parts, unit)
    for pattern, shape in ((_HEXAGON, hexagon_bar), (_SQUARE, square_bar), (_ROUND, round_bar)):
        if pattern.search(plain):
            if len(parts) != 2:
                raise ValueError(_(UNDERSTOOD))
            across, long = (_size(pattern.sub(" ", part), unit) for part in parts)
            return Blank(shape(across), long)
    if len(parts) != 3:
        raise ValueError(_(UNDERSTOOD))
    sizes = sorted((_size(part, unit) for part in parts), key=lambda size: float(size.to("millimeter").magnitude))
    return Blank(flat_bar(sizes[1], sizes[0]), sizes[2])


def _tube(parts: list[str], unit: LengthUnit | None) -> Blank:
    if len(parts) != 3:
        raise ValueError(_("A tube is read when it is written like 3/16 tube x 22 swg x 5: outside, wall, length."))
    outer, wall, long = (_size(_ROUND.sub(" ", _TUBE.sub(" ", part)), unit) for part in parts)
    return Blank(tube(outer, wall=wall), long)


def _unit_in(text: str) -> LengthUnit | None:
    if re.search(r"\d\s*mm\b", text):
        return "mm"
    return "in" if re.search(r"""\d\s*(?:in\b|["″])""", text) else None


def _size(text: str, unit: LengthUnit | None) -> Quantity:
    """Return one size. ValueError with the reader's own sentence where it is none."""
    reading = read_length(_ASIDE.sub(" ", text).strip(), unit)
    if reading.value is None:
        raise ValueError(_(UNDERSTOOD) if reading.status == "unknown" else reading.message)
    size: Quantity = reading.value
    if reading.text and unit == "in":
        size = size.to("inch")
    return size
