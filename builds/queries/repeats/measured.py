"""What was measured at the pieces of a part: the newest figure of each size of each piece, and what it proves."""

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property, lru_cache

from django.db.models import QuerySet

from builds.models import Build, Instrument, Measurement, Part, Size
from builds.models.choices import Gauged
from builds.queries.plan.sizes import SizeLimits, limits_of
from calcs.messages import _
from calcs.parts.conformity import Conformity, Verdict, conformity
from calcs.typed.figures import read_uncertainty
from calcs.units.registry import LengthUnit

INCH = 25.4
# A piece by its batch, None where it is in none, and its number there.
PieceKey = tuple[int | None, int]


@dataclass(frozen=True)
class MeasuredPiece:
    """The newest figure of one size of one piece. `batch` is the number of its batch, None where it is in none.

    millimetres: None where it was gauged. instrument: its name, "" where none was said; uncertainty: mm each way, 0
    where it is not known.
    """

    pk: int
    batch: int | None
    piece: int
    typed: str
    millimetres: float | None
    found: Conformity
    instrument: str
    uncertainty: float
    measured_on: date
    by: str
    unit: LengthUnit

    @property
    def key(self) -> PieceKey:
        return self.batch, self.piece

    @property
    def verdict(self) -> Verdict:
        return self.found.verdict

    @property
    def figure(self) -> str:
        """The figure in the build's unit; "" where it was gauged."""
        return "" if self.millimetres is None else figure_in_words(self.millimetres, self.unit)

    @property
    def told(self) -> str:
        """The figure, or what the gauge said in its place."""
        return self.figure or self.words

    @property
    def words(self) -> str:
        """The verdict, and by how much it is out."""
        return verdict_in_words(self.found, self.unit)


@dataclass(frozen=True)
class MeasuredSize:
    """One size with its limits, and the pieces that were measured, in the order of their batches and numbers."""

    size: Size
    limits: SizeLimits
    pieces: tuple[MeasuredPiece, ...]

    @cached_property
    def by_key(self) -> dict[PieceKey, MeasuredPiece]:
        return {piece.key: piece for piece in self.pieces}


@dataclass(frozen=True)
class Measured:
    """All sizes of a part; one that nobody measured has no pieces."""

    part: Part
    sizes: tuple[MeasuredSize, ...]

    @property
    def keys(self) -> list[PieceKey]:
        """The pieces of which anything was measured, in order; those in no batch come first."""
        return sorted({piece.key for size in self.sizes for piece in size.pieces}, key=_in_order)


def measured(part: Part) -> Measured:
    """What was measured at a part. Two queries, where its build is at hand."""
    sizes = list(part.sizes.all())
    for size in sizes:
        size.part = part
    return Measured(part, measured_sizes(sizes))


def measured_sizes(sizes: Sequence[Size]) -> tuple[MeasuredSize, ...]:
    """The same of some sizes, whose parts and builds are at hand. One query."""
    found = Measurement.objects.filter(size__in=sizes).select_related("batch", "instrument", "by")
    by_size: defaultdict[int, list[Measurement]] = defaultdict(list)
    for one in found.order_by("measured_on", "pk"):
        by_size[one.size_id].append(one)
    return tuple(_measured_size(size, by_size[size.pk]) for size in sizes)


def _measured_size(size: Size, measurements: Iterable[Measurement]) -> MeasuredSize:
    """measurements: the newest last."""
    limits, unit = limits_of(size), size.part.build.length_unit
    pieces = (_piece(one, limits, unit) for one in measurements)
    newest = {piece.key: piece for piece in pieces}
    return MeasuredSize(size, limits, tuple(newest[key] for key in sorted(newest, key=_in_order)))


def _piece(one: Measurement, limits: SizeLimits, unit: LengthUnit) -> MeasuredPiece:
    doubt = uncertainty_of(one.instrument)
    return MeasuredPiece(
        pk=one.pk,
        batch=None if one.batch is None else one.batch.number,
        piece=one.piece,
        typed=one.typed,
        millimetres=one.millimetres,
        found=found_at(one.millimetres, one.gauged, limits, doubt),
        instrument="" if one.instrument is None else one.instrument.name,
        uncertainty=doubt,
        measured_on=one.measured_on,
        by="" if one.by is None else one.by.name,
        unit=unit,
    )


def every_measurement(build: Build) -> QuerySet[Measurement]:
    """All figures of a build, by part, size and the order in which they were taken. One query."""
    found = Measurement.objects.filter(size__part__build=build)
    named = found.select_related("size__part__build", "batch", "operation", "instrument", "by")
    return named.order_by("size__part__position", "size", "measured_on", "pk")


def found_at(millimetres: float | None, gauged: str, limits: SizeLimits, uncertainty: float) -> Conformity:
    """What a figure, or a gauge where there is none, says of a piece."""
    if millimetres is None:
        return Conformity(Verdict.GO if gauged == Gauged.GO else Verdict.NO_GO)
    return conformity(millimetres, limits.lower, limits.upper, uncertainty)


def uncertainty_of(instrument: Instrument | None) -> float:
    """In mm each way; 0 where it is not known."""
    return 0.0 if instrument is None else _uncertainty(instrument.uncertainty)


@lru_cache(maxsize=200)
def _uncertainty(text: str) -> float:
    reading = read_uncertainty(text)
    return 0.0 if reading.value is None else float(reading.value.magnitude)


def figure_in_words(millimetres: float, unit: LengthUnit) -> str:
    """A figure in a build's unit, to a tenth of a micrometre or a hundredth of a thou: more than is read off."""
    return _in_unit(millimetres, unit, round)


def limit_in_words(found: Conformity, unit: LengthUnit) -> str:
    """The limit beyond which a piece was found, rounded inwards as limits are; "" where it is within."""
    if found.beyond > 0 and found.upper is not None:
        return _in_unit(found.upper, unit, math.floor)
    return _in_unit(found.lower, unit, math.ceil) if found.beyond < 0 and found.lower is not None else ""


def _in_unit(millimetres: float, unit: LengthUnit, to_whole: Callable[[float], int]) -> str:
    figure, places = (millimetres / INCH, 5) if unit == "in" else (millimetres, 4)
    # First what floats leave behind, so that a limit of whole steps stays where it is.
    steps = to_whole(round(figure * 10**places, 4))
    return f"{steps / 10**places:.{places}f}".rstrip("0").rstrip(".") + f" {unit}"


def verdict_in_words(found: Conformity, unit: LengthUnit) -> str:
    """What is known of a piece, such as "out, 0.012 mm over"."""
    if found.verdict is Verdict.OUT:
        away = figure_in_words(abs(found.beyond), unit)
        return _("out, {away} over", away=away) if found.beyond > 0 else _("out, {away} under", away=away)
    return {
        Verdict.IN: _("within"),
        Verdict.NOT_DECIDED: _("not decided"),
        Verdict.NO_LIMITS: _("no limits"),
        Verdict.GO: _("goes"),
        Verdict.NO_GO: _("out by the gauge"),
    }[found.verdict]


def _in_order(key: PieceKey) -> tuple[int, int]:
    batch, piece = key
    return (-1 if batch is None else batch), piece
