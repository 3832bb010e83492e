"""A part's sizes, each three times: as drawn full size, as scaled, as made; and the stock that comes nearest."""

from dataclasses import dataclass
from typing import Any

from builds.models import Build, Part, Size
from calcs.messages import _
from calcs.shop.scaling import to_model
from calcs.typed.lengths import read_length
from calcs.typed.reading import Reading
from calcs.typed.scales import read_scale


@dataclass(frozen=True)
class SizeRow:
    """One size. The texts are ready to be shown; an empty one is not known. `message` tells why nothing was scaled."""

    size: Size
    scaled: str
    departs: str
    stock: str
    message: str


def sizes_of(part: Part) -> tuple[SizeRow, ...]:
    """The sizes of a part. One query."""
    return tuple(size_row(size, part.build) for size in part.sizes.all())


def size_row(size: Size, build: Build) -> SizeRow:
    """One size of a part of this build."""
    unit = build.length_unit
    drawn, made = read_length(size.full_size, unit), read_length(size.made, unit)
    scale = read_scale(build.scale)
    message = _why_not(drawn, made, scale, size)
    if drawn.value is None or scale.value is None:
        return SizeRow(size, "", "", "", message)
    scaled = to_model(drawn.value, scale.value).value
    departs = "" if made.value is None else _departs(made.value - scaled, unit)
    return SizeRow(size, _short(scaled, unit), departs, _stock(scaled, unit), message)


def _departs(difference: Any, unit: str) -> str:
    """How the made size departs from the scaled one, with its sign."""
    millimetres = difference.to("millimeter").magnitude
    if abs(millimetres) < 1e-9:
        return _("as scaled")
    return ("+" if millimetres > 0 else "−") + _short(abs(difference), unit)


def _why_not(drawn: Reading, made: Reading, scale: Reading, size: Size) -> str:
    """A sentence for what could not be read; empty where all is well or simply not given."""
    for reading, text in ((drawn, size.full_size), (made, size.made)):
        if text and reading.value is None:
            return reading.message
    if size.full_size and scale.value is None:
        return _("The build's title block gives no scale that can be read, so nothing is scaled.")
    return ""


def _stock(length: Any, unit: str) -> str:
    from calcs.shop.stock import nearest_stock

    try:
        found = nearest_stock(length, unit)
    except ValueError:
        return ""
    return "" if found.nearest is None else _short(found.nearest, unit)


def _short(length: Any, unit: str) -> str:
    """A length to a tenth of a thou or a thousandth of a millimetre, which is more than any shop holds."""
    places = 4 if unit == "in" else 3
    magnitude = length.to("inch" if unit == "in" else "millimeter").magnitude
    return f"{magnitude:.{places}f}".rstrip("0").rstrip(".") + f" {unit}"
