"""A part's sizes, each three times: as drawn full size, as scaled, as made; their limits, and the nearest stock."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal

from builds.models import Build, Part, Size
from calcs.messages import _
from calcs.shop.general_tolerances import read_general_tolerance
from calcs.shop.limit_texts import as_typed, limits_in_words, read_limits
from calcs.shop.scaling import to_model
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
class LimitOffer:
    """Limits that the model's size might have: as one would type them, and how they come about."""

    typed: str
    words: str


@dataclass(frozen=True)
class SizeRow:
    """One size. The texts are ready to be shown; an empty one is not known. `message` tells why nothing was scaled.

    limits_from: the general tolerance that the limits come from. offers: what they might be, where they are asked.
    """

    size: Size
    scaled: str
    departs: str
    stock: str
    message: str
    limits: SizeLimits
    limits_from: str
    offers: tuple[LimitOffer, ...]

    @property
    def worked_to(self) -> str:
        """What is worked to, as typed, and its limits."""
        return ", ".join(text for text in (self.size.made, self.limits.words) if text)


def sizes_of(part: Part) -> tuple[SizeRow, ...]:
    """The sizes of a part. One query."""
    return tuple(size_row(size, part.build) for size in part.sizes.all())


def limits_of(size: Size) -> SizeLimits:
    """The limits that a size is worked to, and where they come from. No query where `size.part.build` is at hand."""
    return _Typed(size, size.part.build).limits


def size_in_words(build: Build, full_size: str = "", made: str = "") -> str:
    """How one size of a build is read as it is typed, with the limits that the build gives it where it has none."""
    read = _Typed(Size(full_size=full_size, made=made), build)
    limits, message = read.limits, (read.made if made else read.drawn).message
    if limits.source != "general":
        return message
    return _("{reading}; {tolerance}: {limits}", reading=message, tolerance=read.general.name, limits=limits.words)


class _Typed:
    """The texts of a size and of its build, read."""

    def __init__(self, size: Size, build: Build) -> None:
        self.unit: LengthUnit = build.length_unit
        self.drawn, self.made = read_limits(size.full_size, self.unit), read_limits(size.made, self.unit)
        self.scale = read_scale(build.scale)
        self.general = read_general_tolerance(build.general_tolerance, self.unit)
        self.worked_to = self.drawn if self.made.status == "unknown" else self.made

    @property
    def nominal(self) -> Fraction | None:
        """What the workshop works to, in exact mm."""
        if self.worked_to is self.made:
            return self.made.nominal
        return self._scaled(self.drawn.nominal)

    @property
    def limits(self) -> SizeLimits:
        by, nominal = self.worked_to, self.nominal
        if by.has_limits and (by is self.made or self.scale.value == 1):
            return self._between(by.lower, by.upper, "own")
        if self.drawn.has_limits and by.status != "refused":
            return self._between(None, None, "asked")
        if (ends := self._general(nominal)) and by.takes_general:
            return self._between(*ends, "general")
        return self._between(None, None, "none")

    @property
    def offers(self) -> Iterator[LimitOffer]:
        """What the limits of the model's size might be, where the drawing gives those at full size."""
        lower, upper = (self._at_the_model(end) for end in (self.drawn.lower, self.drawn.upper))
        nominal = self.nominal if self.nominal is not None else upper
        if nominal is None:
            return
        yield LimitOffer(as_typed(nominal, lower, upper, self.unit), _("as the drawing's, scaled"))
        if fit := self.drawn.fit:
            yield LimitOffer(f"{as_typed(nominal, None, None, self.unit)} {fit}", _("the drawing's class"))
        if ends := self._general(nominal):
            yield LimitOffer(as_typed(nominal, *ends, self.unit), self.general.name)

    def _scaled(self, size: Fraction | None) -> Fraction | None:
        return None if size is None or self.scale.value is None else Fraction(size * self.scale.value)

    def _at_the_model(self, limit: Fraction | None) -> Fraction | None:
        """A limit of the drawing, as far from the size worked to as scaling brings it from the scaled one."""
        moved = self._scaled(limit)
        here, there = self.nominal, self._scaled(self.drawn.nominal)
        return moved if moved is None or here is None or there is None else moved + here - there

    def _general(self, nominal: Fraction | None) -> tuple[Fraction, Fraction] | None:
        width = None if nominal is None else self.general.around(nominal, self.worked_to.of)
        return None if nominal is None or width is None or width > nominal else (nominal - width, nominal + width)

    def _between(self, lower: Fraction | None, upper: Fraction | None, source: LimitSource) -> SizeLimits:
        size, low, high = (None if end is None else float(end) for end in (self.nominal, lower, upper))
        return SizeLimits(size, low, high, source, limits_in_words(lower, upper, self.unit))


def size_row(size: Size, build: Build) -> SizeRow:
    """One size of a part of this build."""
    read = _Typed(size, build)
    limits = read.limits
    scaled = departs = stock = ""
    if read.drawn.nominal is not None and read.scale.value is not None:
        length = to_model(millimetres(read.drawn.nominal), read.scale.value).value
        scaled, stock = _short(length, read.unit), _stock(length, read.unit)
        departs = "" if read.made.nominal is None else _departs(millimetres(read.made.nominal) - length, read.unit)
    origin = read.general.name if limits.source == "general" else ""
    offers = read.offers if limits.source == "asked" else ()
    takeable = tuple(one for one in offers if read_limits(one.typed, read.unit).has_limits)
    return SizeRow(size, scaled, departs, stock, _why_not(read, size), limits, origin, takeable)


def _departs(difference: Any, unit: str) -> str:
    """How the made size departs from the scaled one, with its sign."""
    millimetres = difference.to("millimeter").magnitude
    if abs(millimetres) < 1e-9:
        return _("as scaled")
    return ("+" if millimetres > 0 else "−") + _short(abs(difference), unit)


def _why_not(read: _Typed, size: Size) -> str:
    """A sentence for what could not be read; empty where all is well or simply not given."""
    for reading, text in ((read.drawn, size.full_size), (read.made, size.made)):
        if text and (reading.status == "refused" or (reading.nominal is None and not reading.has_limits)):
            return reading.message
    if size.full_size and read.scale.value is None:
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
