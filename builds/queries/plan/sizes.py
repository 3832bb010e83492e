"""A part's sizes, each three times: as drawn full size, as scaled, as made; their limits, and the nearest stock."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal

from builds.models import Build, Part, Size
from calcs.messages import _
from calcs.shop.general_tolerances import read_general_tolerance
from calcs.shop.limit_texts import LimitReading, limits_in_words, read_limits
from calcs.shop.scaling import to_model
from calcs.typed.reading import Reading
from calcs.typed.scales import read_scale
from calcs.units.registry import LengthUnit, millimetres

LimitSource = Literal["own", "general", "asked", "none"]


@dataclass(frozen=True)
class SizeLimits:
    """What a size is worked to, in mm, each the float nearest to the exact figure, as readings of lengths are.

    source: "own", its own limits; "general", those of the build's general tolerance; "asked", the drawing has limits
    at full size and nobody has said yet what the model's are; "none". One of the two limits may be None alone.
    words: the limits in the build's unit, "" where there are none.
    """

    nominal: float | None
    lower: float | None
    upper: float | None
    source: LimitSource
    words: str = ""


@dataclass(frozen=True)
class SizeRow:
    """One size. The texts are ready to be shown; an empty one is not known. `message` tells why nothing was scaled."""

    size: Size
    scaled: str
    departs: str
    stock: str
    message: str
    limits: SizeLimits


def sizes_of(part: Part) -> tuple[SizeRow, ...]:
    """The sizes of a part. One query."""
    return tuple(_line(size, part.build) for size in part.sizes.all())


def limits_of(size: Size) -> SizeLimits:
    """The limits that a size is worked to, and where they come from. No query where `size.part.build` is at hand."""
    return _Typed(size, size.part.build).limits


class _Typed:
    """The texts of a size and of its build, read."""

    def __init__(self, size: Size, build: Build) -> None:
        self.unit: LengthUnit = build.length_unit
        self.drawn, self.made = read_limits(size.full_size, self.unit), read_limits(size.made, self.unit)
        self.scale = read_scale(build.scale)
        self.general = read_general_tolerance(build.general_tolerance, self.unit)

    @property
    def scaled(self) -> Fraction | None:
        """The model's size in exact mm."""
        if self.drawn.nominal is None or self.scale.value is None:
            return None
        return Fraction(self.drawn.nominal * self.scale.value)

    @property
    def limits(self) -> SizeLimits:
        worked_to = self.drawn if self.made.status == "unknown" else self.made
        nominal = self.scaled if worked_to is self.drawn else self.made.nominal
        if worked_to.has_limits and (worked_to is self.made or self.scale.value == 1):
            return self._between(nominal, worked_to.lower, worked_to.upper, "own")
        if self.drawn.has_limits and worked_to.status != "refused":
            return self._between(nominal, None, None, "asked")
        width = None if nominal is None else self.general.around(nominal, worked_to.of)
        if nominal is None or width is None or not worked_to.takes_general or width > nominal:
            return self._between(nominal, None, None, "none")
        return self._between(nominal, nominal - width, nominal + width, "general")

    def _between(
        self, nominal: Fraction | None, lower: Fraction | None, upper: Fraction | None, source: LimitSource
    ) -> SizeLimits:
        size, low, high = (None if end is None else float(end) for end in (nominal, lower, upper))
        return SizeLimits(size, low, high, source, limits_in_words(lower, upper, self.unit))


def _line(size: Size, build: Build) -> SizeRow:
    read = _Typed(size, build)
    message = _why_not(read.drawn, read.made, read.scale, size)
    if read.drawn.nominal is None or read.scale.value is None:
        return SizeRow(size, "", "", "", message, read.limits)
    scaled = to_model(millimetres(read.drawn.nominal), read.scale.value).value
    departs = "" if read.made.nominal is None else _departs(millimetres(read.made.nominal) - scaled, read.unit)
    return SizeRow(size, _short(scaled, read.unit), departs, _stock(scaled, read.unit), message, read.limits)


def _departs(difference: Any, unit: str) -> str:
    """How the made size departs from the scaled one, with its sign."""
    millimetres = difference.to("millimeter").magnitude
    if abs(millimetres) < 1e-9:
        return _("as scaled")
    return ("+" if millimetres > 0 else "−") + _short(abs(difference), unit)


def _why_not(drawn: LimitReading, made: LimitReading, scale: Reading, size: Size) -> str:
    """A sentence for what could not be read; empty where all is well or simply not given."""
    for reading, text in ((drawn, size.full_size), (made, size.made)):
        if text and (reading.status == "refused" or (reading.nominal is None and not reading.has_limits)):
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
