"""What the measured pieces of one size say of the next ones: together, and batch by batch."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from django.db.models import Exists, OuterRef, QuerySet

from builds.models import Measurement, Size
from builds.queries.plan.sizes import SizeLimits
from builds.queries.repeats.measured import INCH, MeasuredPiece, MeasuredSize, figure_in_words, measured_sizes
from calcs.messages import _, ngettext
from calcs.parts.capability_sums import share_in_words
from calcs.units.registry import LengthUnit
from calcs.working.exactly_enough import in_digits

if TYPE_CHECKING:
    from calcs.parts.capability import Capability
    from calcs.working.result import Working

Range = tuple[float, float]
SMALL_DIGITS = 2
FAR_AHEAD = 1_000
"""Whatever reaches a limit after more pieces than these is no matter of this workshop."""


@dataclass(frozen=True)
class Ranged:
    """A figure in words, "–" where there is none, and the range that holds the true one; "" where that is nothing."""

    value: str
    span: str = ""


@dataclass(frozen=True)
class Run:
    """Pieces with figures in the order they were made; all of a size, or those of one batch.

    enough: so many pieces like these would tell, where these are too few.
    """

    title: str
    pieces: tuple[MeasuredPiece, ...]
    limits: SizeLimits
    unit: LengthUnit
    found: Capability
    enough: int | None
    working: Working

    @property
    def mean(self) -> str:
        return figure_in_words(self.found.mean, self.unit)

    @property
    def spread(self) -> str:
        return "–" if self.found.spread is None else small_in_words(self.found.spread, self.unit)

    @property
    def outside(self) -> Ranged:
        """The share expected outside of the limits."""
        share, span = self.found.outside, self.found.outside_range
        if share is None or span is None:
            return Ranged("–")
        return Ranged(share_in_words(share), _span(share_in_words(span[0]), share_in_words(span[1])))

    @property
    def next_outside(self) -> str:
        return "" if self.found.next_outside is None else share_in_words(self.found.next_outside)

    @property
    def cp(self) -> Ranged:
        return _ratio(self.found.cp, self.found.cp_range)

    @property
    def cpk(self) -> Ranged:
        return _ratio(self.found.cpk, self.found.cpk_range)

    @property
    def drift(self) -> Ranged:
        """How far the size moves from piece to piece."""
        drift = self.found.drift
        if drift is None:
            return Ranged("–")
        low, high = drift.slope_range
        slope, least, most = _signed((drift.slope, low, high), self.unit)
        return Ranged(f"{slope} {self.unit}", _span(least, most))

    @property
    def verdict(self) -> str:
        """Whether the work holds its limits, in a sentence."""
        found, n = self.found, self.found.n
        if found.spread is None:
            return _("Too few to tell: one piece shows no spread.")
        if found.all_alike:
            return _("All pieces measure the same: the instrument is too coarse to show how they differ.")
        if found.cpk_range is None:
            return _("Without limits there is nothing to hold the pieces against.")
        if found.too_few_to_tell:
            return self._too_few(n)
        return _capable(found.cpk_range)

    def _too_few(self, n: int) -> str:
        words = ngettext("Too few to tell: of {n} piece the range is wide.",
                         "Too few to tell: of {n} pieces the range is wide.", n)  # fmt: skip
        if self.enough is None:
            return words
        return " ".join((words, _("From about {n} pieces like these on it would tell.", n=self.enough)))

    @property
    def drift_in_words(self) -> str:
        """Whether the size moves, as it does while a tool wears, and for how long that can go on."""
        from calcs.parts.capability import FEWEST_FOR_DRIFT

        drift = self.found.drift
        if drift is None or self.found.n < FEWEST_FOR_DRIFT:
            return _("Too few to tell a drift: it takes {n} pieces.", n=FEWEST_FOR_DRIFT)
        if not drift.is_clear:
            return _("No drift that could be told from luck.")
        away = small_in_words(abs(drift.slope), self.unit)
        if drift.slope > 0:
            words = _("Each piece is about {away} larger than the one before, as where a tool wears.", away=away)
        else:
            words = _("Each piece is about {away} smaller than the one before, as where a tool wears.", away=away)
        doubt = _("While it goes on, mean, spread and capability say little of the next pieces.")
        return " ".join(filter(None, (words, self._until_the_limit, doubt)))

    @property
    def _until_the_limit(self) -> str:
        """After how many more pieces the line reaches a limit; "" where it does not."""
        drift = self.found.drift
        limit = None if drift is None else self.limits.upper if drift.slope > 0 else self.limits.lower
        if drift is None or limit is None:
            return ""
        now = self.found.mean + drift.slope * (self.found.n - 1) / 2
        more = int((limit - now) / drift.slope)
        if more > FAR_AHEAD:
            return ""
        if more < 1:
            return _("Going on so, the next piece has more than an even chance to be past the limit.")
        return ngettext(
            "Going on so, about {n} more piece fits before half of them are past the limit.",
            "Going on so, about {n} more pieces fit before half of them are past the limit.",
            more,
        )


@dataclass(frozen=True)
class SpreadPage:
    """together: None where no piece has a figure. batches: those with figures, where there are several."""

    measured: MeasuredSize
    together: Run | None
    batches: tuple[Run, ...]
    trouble: str = ""

    @property
    def size(self) -> Size:
        return self.measured.size

    @property
    def gauged(self) -> int:
        """Pieces of which only a limit gauge was said; they have no figure to go by."""
        return sum(piece.millimetres is None for piece in self.measured.pieces)

    @cached_property
    def runs(self) -> tuple[Run, ...]:
        return ((self.together,) if self.together else ()) + self.batches


def sizes_with_figures(**of: object) -> QuerySet[Size]:
    """The sizes of a part (`part`) or a build (`part__build`) at which any piece has a figure, with their parts."""
    figures = Measurement.objects.filter(size=OuterRef("pk"), millimetres__isnull=False)
    return Size.objects.filter(Exists(figures), **of).select_related("part").order_by("part__position", "pk")


def spread_page(size: Size) -> SpreadPage:
    """What was measured of one size says, whose part and build are at hand. One query."""
    [found] = measured_sizes([size])
    pieces = tuple(piece for piece in found.pieces if piece.millimetres is not None)
    if not pieces:
        return SpreadPage(found, None, ())
    keys = list(dict.fromkeys(piece.batch for piece in pieces))
    try:
        together = _run(_("together"), pieces, found)
        apart = [[piece for piece in pieces if piece.batch == key] for key in keys] if len(keys) > 1 else []
        batches = tuple(_run(batch_in_words(those[0].batch), those, found) for those in apart)
    except ValueError as trouble:
        return SpreadPage(found, None, (), str(trouble))
    return SpreadPage(found, together, batches)


def _run(title: str, pieces: Sequence[MeasuredPiece], of: MeasuredSize) -> Run:
    from calcs.parts.capability import capability, pieces_to_tell, without_limits
    from calcs.parts.capability_sums import capability_working

    limits, unit = of.limits, of.size.part.build.length_unit
    low, high = limits.lower, limits.upper
    sizes = [piece.millimetres for piece in pieces if piece.millimetres is not None]
    found = without_limits(sizes) if low is None and high is None else capability(sizes, low, high)
    working = capability_working(sizes, found, low, high, unit)
    return Run(title, tuple(pieces), limits, unit, found, pieces_to_tell(found, low, high), working)


def batch_in_words(number: int | None) -> str:
    return _("in no batch") if number is None else _("batch {number}", number=number)


def piece_in_words(piece: MeasuredPiece) -> str:
    """A piece by its batch and its number there, such as "batch 2, 7"; the number alone where it is in no batch."""
    if piece.batch is None:
        return str(piece.piece)
    return _("batch {batch}, {piece}", batch=piece.batch, piece=piece.piece)


def small_in_words(millimetres: float, unit: LengthUnit) -> str:
    """A small length in the digits that tell something: 0.0042 mm, 0.00017 in."""
    value = millimetres / INCH if unit == "in" else millimetres
    return f"{in_digits(value, SMALL_DIGITS) if value else 0} {unit}"


def _capable(cpk_range: Range) -> str:
    low, high = cpk_range
    if low >= 1:
        return _(
            "This work holds its limits: even at the low end of the range there are three spreads to the nearer limit."
        )
    if high < 1:
        return _("This work does not hold its limits: pieces outside of them are to be expected.")
    return _("It cannot be told yet whether this work holds its limits: the range of Cpk lies on both sides of 1.")


def _ratio(value: float | None, span: Range | None) -> Ranged:
    if value is None or span is None:
        return Ranged("–")
    shown, low, high = (f"{one:.2f}".replace("-", "−") for one in (value, *span))
    return Ranged(shown, _span(low, high))


def _signed(lengths: Sequence[float], unit: LengthUnit) -> list[str]:
    """Lengths in mm as figures in a unit with their signs, all to the place in which the largest has two digits."""
    figures = [length / INCH if unit == "in" else length for length in lengths]
    largest = max(abs(figure) for figure in figures)
    places = max(0, SMALL_DIGITS - 1 - math.floor(math.log10(largest))) if largest else 0
    shown = [f"{figure:+.{places}f}".replace("-", "−") for figure in figures]
    return [text if text.strip("+−0.") else "0" for text in shown]


def _span(low: str, high: str) -> str:
    return low if low == high else _("{low} to {high}", low=low, high=high)
