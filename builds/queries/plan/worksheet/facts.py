"""What a part says of itself, as figures that a sum can ask about: as the record has them, none of them invented."""

import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any, TypeVar

from builds.models import Operation, Part
from builds.models.own_rate import first_planned
from builds.queries.plan.worksheet.lines import mixed
from builds.queries.repeats.material import HEAVY, blank_of
from builds.queries.snapshot import OperationRow, PartRow
from calcs.messages import _
from calcs.units.figures import format_significant
from calcs.units.registry import LengthUnit

One = TypeVar("One")
# Parts of an inch that a drawing has, and the fractions of a minute that a beginner adds up.
_ON_A_DRAWING = frozenset(2**power for power in range(7))
MOST_PARTS = 8


@dataclass(frozen=True)
class Length:
    """A length as the record has it, `value` in the unit that it was typed in. `foreign`: not the sheet's own unit."""

    value: Fraction
    unit: LengthUnit
    foreign: bool

    @property
    def said(self) -> str:
        return f"{self.figure} {self.unit}"

    @property
    def figure(self) -> str:
        return mixed(self.value) if self.is_fraction else decimal(self.value)

    @property
    def is_fraction(self) -> bool:
        """Whether it stands on a drawing as a whole number, or in halves to sixty-fourths of an inch."""
        return self.value.denominator in (_ON_A_DRAWING if self.unit == "in" else (1,))

    @property
    def to_be_changed(self) -> bool:
        """Whether it is no decimal of the sheet's own unit yet."""
        return self.foreign or (self.is_fraction and self.value.denominator > 1)

    @property
    def hint(self) -> str:
        """What has to be known to bring it into the sheet's unit; empty where it is in that."""
        return _("1 in is 25.4 mm.") if self.foreign else ""


@dataclass(frozen=True)
class Stock:
    """The blank: its shape, its size across (or its two sides) and its length."""

    shape: str
    across: Length
    other: Length | None
    length: Length

    @property
    def sizes(self) -> tuple[Length, ...]:
        return tuple(one for one in (self.across, self.other, self.length) if one is not None)

    @property
    def foreign(self) -> bool:
        return self.across.foreign

    @property
    def hint(self) -> str:
        return self.across.hint

    @property
    def said(self) -> str:
        """What the blank is, in a sentence."""
        said = {"across": self.across.said, "length": self.length.said}
        if self.shape == "round":
            return _("The blank is a round bar. It is {across} across and {length} long.", **said)
        if self.shape == "tube":
            return _("The blank is a tube. It is {across} across and {length} long.", **said)
        if self.shape == "square":
            return _("The blank is a square bar. Each side is {across}. It is {length} long.", **said)
        if self.shape == "hexagon":
            return _("The blank is a bar with six sides. It is {across} across and {length} long.", **said)
        other = "" if self.other is None else self.other.said
        return _("The blank is {length} long, {across} wide and {other} thick.", **said, other=other)


class Facts:
    """A part for a sheet of sums. What is chosen is chosen by the part, so that it stays and differs from part to part.

    level: which of the three sheets is made; it has a say in what is chosen.
    """

    def __init__(self, row: PartRow, level: int) -> None:
        self.row = row
        self.part: Part = row.part
        self.level = level
        self.unit: LengthUnit = self.part.build.length_unit
        self.inch = self.unit == "in"

    def turn(self, what: str, of: int) -> int:
        """Whose turn it is among so many, by the part's number: parts that stand beside each other take turns.

        Nothing but the number and what is asked has a say, so that a sheet stays. No two parts of a build have one
        number, and where their figures are all the same, their numbers still make them ask about different ones.
        """
        number = self.part.number
        place = int(number) if number.isdecimal() else int.from_bytes(number.encode(), "big")
        return (zlib.crc32(f"{what} {self.level}".encode()) + place) % of

    def pick(self, what: str, among: Sequence[One]) -> One | None:
        """One of several, by the part; None where there is none."""
        return among[self.turn(what, len(among))] if among else None

    @cached_property
    def steps(self) -> tuple[OperationRow, ...]:
        """The operations that plan something, in the order of the route."""
        return tuple(one for one in self.row.operations if not one.operation.kept_for_its_log)

    @cached_property
    def timed(self) -> tuple[Operation, ...]:
        """Those with a time, which is more than none."""
        return tuple(one.operation for one in self.steps if one.operation.minutes_per_unit)

    @cached_property
    def plain_timed(self) -> tuple[Operation, ...]:
        """Those whose figures are whole or in halves to eighths."""
        return tuple(
            one
            for one in self.timed
            if all(fraction_of(value) is not None for value in (one.minutes_per_unit, one.setup_minutes, one.amount))
        )

    @cached_property
    def compared(self) -> tuple[OperationRow, ...]:
        """Those whose log can be held against the plan as it stands: counted, with times, at their first figure."""
        return tuple(
            one
            for one in self.steps
            if not self.part.is_work
            and one.tally.piece_minutes
            and one.tally.counted_minutes
            and not one.tally.times_unknown
            and one.operation.minutes_per_unit
            and first_planned(one.operation).ratio == 1
        )

    @cached_property
    def lossy(self) -> tuple[OperationRow, ...]:
        """Those at which pieces came out good and others were lost."""
        return tuple(one for one in self.steps if one.tally.scrap and one.tally.good and not one.operation.never_scraps)

    @cached_property
    def stock(self) -> Stock | None:
        """The blank in figures; None where none can be read, or no rack has such a size."""
        blank = blank_of(self.part, self.unit)
        if blank is None:
            return None
        across, length = (self._length(one) for one in (blank.section.across, blank.length))
        other = None
        if blank.shape == "flat":
            other = self._length((blank.section.area / blank.section.across).to(blank.section.across.units))
        if across is None or length is None or (blank.shape == "flat" and other is None):
            return None
        return Stock(blank.shape, across, other, length)

    @cached_property
    def plain_stock(self) -> Stock | None:
        """The blank where its sizes are whole numbers and fractions of the sheet's own unit."""
        stock = self.stock
        plain = stock is not None and not stock.foreign and all(one.is_fraction for one in stock.sizes)
        return stock if plain else None

    def _length(self, quantity: Any) -> Length | None:
        unit: LengthUnit = "in" if str(quantity.units) == "inch" else "mm"
        value = plain_fraction(float(quantity.magnitude))
        return None if value is None or value <= 0 else Length(value, unit, unit != self.unit)

    @cached_property
    def one_for_one(self) -> bool:
        """Whether the blank is surely for one piece: it is not many times as heavy as what comes of it."""
        part, blank = self.part, blank_of(self.part, self.unit)
        density, mass = part.material.density if part.material else None, part.finished_mass_grams
        if blank is None or not density or not mass:
            return False
        grams = float(blank.volume().value.to("millimeter ** 3").magnitude) * density / 1e6
        return mass <= grams <= (HEAVY * mass if part.quantity_with_spares > 1 else grams)


def fraction_of(value: float | None) -> Fraction | None:
    """A figure as a fraction for beginners, in eighths at the finest; None for any other."""
    if value is None:
        return None
    found = Fraction(value).limit_denominator(MOST_PARTS)
    return found if abs(float(found) - value) < 1e-9 and found.denominator in _ON_A_DRAWING else None


def plain_fraction(value: float) -> Fraction | None:
    """A size as it was typed: in sixty-fourths, or in four decimals; None for what was worked out."""
    for found in (Fraction(round(value * 64), 64), Fraction(round(value * 10_000), 10_000)):
        if abs(float(found) - value) < 1e-7:
            return found
    return None


def as_asked(figure: float) -> tuple[float, str]:
    """A figure as the question says it, and as text: the answer is worked out from what is asked, not from more."""
    text = format_significant(figure)
    return float(text.replace(",", "")), text


def named(operation: Operation) -> str:
    """What an operation is called, as it was written."""
    return operation.title or str(operation.get_kind_display())


def decimal(value: Fraction) -> str:
    """A fraction as a decimal in up to six places.

    >>> decimal(Fraction(5, 4)), decimal(Fraction(6))
    ('1.25', '6')
    """
    return f"{float(value):.6f}".rstrip("0").rstrip(".")
