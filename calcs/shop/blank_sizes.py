"""A blank as it is written on the rack: "1-1/4 dia x 2", "8 mm A/F hex x 40", "7-1/4 x 4-1/4 x 1/2 plate".

What cannot be read is told in a sentence; a blank is often no bar at all ("casting from the pattern").
"""

from __future__ import annotations

import re
from collections.abc import Callable
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
# What a length was typed in.
_METRIC = re.compile(r"\d\s*(?:mm|cm|m)\b", re.IGNORECASE)
_IMPERIAL = re.compile(r"""\d\s*(?:in\b|inch|ft\b|feet|foot|thou|["″'′])""", re.IGNORECASE)
UNDERSTOOD = gettext_noop(
    "A blank is read when it is written like 1-1/4 dia x 2, 1/2 sq x 3, 8 mm A/F hex x 40 or 3 x 1 x 1/4."
)
TUBE_UNDERSTOOD = gettext_noop("A tube is read when it is written like 3/16 tube x 22 swg x 5: outside, wall, length.")
SECTION_UNDERSTOOD = gettext_noop(
    "A section is read when it is written like 1-1/4 dia, 1/2 sq, 8 mm A/F hex, 1 x 1/4 flat, 3/16 tube x 22 swg or "
    "1/2 plate."
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
    plain, parts, unit = _taken_apart(text, default_unit)
    if not plain:
        raise ValueError(_("No blank is given for this part."))
    for word, shape, sizes, understood in _BARS:
        if word.search(plain):
            if len(parts) != sizes + 1:
                raise ValueError(_(understood))
            *across, long = (_size(_ROUND.sub(" ", word.sub(" ", part)), unit) for part in parts)
            return Blank(shape(*across), long)
    if len(parts) != 3:
        raise ValueError(_(UNDERSTOOD))
    thick, wide, long = _by_size(parts, unit)
    return Blank(flat_bar(wide, thick), long)


def read_section(text: str, default_unit: LengthUnit | None) -> Section:
    """Return the section that a text describes, without a length. ValueError, with a sentence, where it describes none.

    >>> section = read_section("8 mm A/F hex", "in")
    >>> section.shape, section.across.magnitude
    ('hexagon', 8.0)
    """
    plain, parts, unit = _taken_apart(text, default_unit)
    for word, shape, sizes, _understood in _BARS:
        if word.search(plain) and len(parts) == sizes:
            return shape(*(_size(_ROUND.sub(" ", word.sub(" ", part)), unit) for part in parts))
    if len(parts) != 2 or any(word.search(plain) for word, *_more in _BARS):
        raise ValueError(_(SECTION_UNDERSTOOD))
    thick, wide = _by_size(parts, unit)
    return flat_bar(wide, thick)


def read_length_of(text: str, default_unit: LengthUnit | None) -> Quantity:
    """Return the length that a text says beside words of the material. ValueError, with a sentence, where it is none.

    >>> read_length_of("1/2 plate", "in").magnitude
    0.5
    """
    unit: LengthUnit | None = "mm" if _METRIC.search(text) else "in" if _IMPERIAL.search(text) else default_unit
    reading = read_length(_ASIDE.sub(" ", text).strip(), unit)
    if reading.value is None:
        raise ValueError(
            _("Give a length, such as 36 in or 1000 mm.") if reading.status == "unknown" else reading.message
        )
    if reading.value.magnitude <= 0:
        raise ValueError(_("A length is more than nothing."))
    size: Quantity = reading.value.to("inch" if unit == "in" else "millimeter")
    return size


def read_face(text: str, default_unit: LengthUnit | None) -> tuple[Quantity, Quantity]:
    """Return the two sides of a plate's face, the shorter first. ValueError, with a sentence, where they are not two.

    >>> [side.magnitude for side in read_face("300 x 200 mm", "in")]
    [200.0, 300.0]
    """
    _plain, parts, unit = _taken_apart(text, default_unit)
    if len(parts) != 2:
        raise ValueError(_("A plate is read when its face is written like 12 x 8 or 300 x 200 mm."))
    wide, long = _by_size(parts, unit)
    if wide.magnitude <= 0:
        raise ValueError(_("A length is more than nothing."))
    return wide, long


def _taken_apart(text: str, default_unit: LengthUnit | None) -> tuple[str, list[str], LengthUnit | None]:
    """Return what stands before a comma, its sizes as texts, and the unit of those that have none."""
    plain = " ".join(text.split())[:LONGEST].split(",")[0]
    return plain, [one for one in _BETWEEN.split(plain) if one], _unit_in(plain) or default_unit


def _by_size(parts: list[str], unit: LengthUnit | None) -> list[Quantity]:
    return sorted((_size(part, unit) for part in parts), key=lambda size: float(size.to("millimeter").magnitude))


def _tube_of(outer: Quantity, wall: Quantity) -> Section:
    return tube(outer, wall=wall)


# What says the shape, what makes the section of it, of how many sizes; and what is said where those are not there.
_BARS: tuple[tuple[re.Pattern[str], Callable[..., Section], int, str], ...] = (
    (_TUBE, _tube_of, 2, TUBE_UNDERSTOOD),
    (_HEXAGON, hexagon_bar, 1, UNDERSTOOD),
    (_SQUARE, square_bar, 1, UNDERSTOOD),
    (_ROUND, round_bar, 1, UNDERSTOOD),
)


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
