"""Which measured piece goes with which: the pairs, who is left over, and what is still to be made."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from django.db.models import Q

from builds.models import Build, Size
from builds.queries.plan.sizes import SizeLimits
from builds.queries.repeats.measured import (
    MeasuredPiece,
    MeasuredSize,
    PieceKey,
    figure_in_words,
    measured_sizes,
    verdict_in_words,
)
from builds.queries.repeats.spread import piece_in_words
from calcs.messages import _, ngettext
from calcs.parts.conformity import Verdict, conformity


@dataclass(frozen=True)
class Question:
    """The two sizes, with parts at hand, and the clearances in mm: an outer size less an inner one."""

    outer: Size
    inner: Size
    least: float
    most: float
    wanted: float


@dataclass(frozen=True)
class LeftOut:
    """A measured piece that is not paired, and why."""

    piece: MeasuredPiece
    reason: str

    @property
    def name(self) -> str:
        return piece_in_words(self.piece)


@dataclass(frozen=True)
class Side:
    """The pieces of one of the two sizes: those that can be paired, and those that are left out."""

    size: Size
    limits: SizeLimits
    pieces: tuple[MeasuredPiece, ...]
    left_out: tuple[LeftOut, ...]

    @property
    def sizes(self) -> list[float]:
        return [piece.millimetres for piece in self.pieces if piece.millimetres is not None]


@dataclass(frozen=True)
class Pair:
    """stamp: the number that both pieces get. sure: whether the instruments leave no doubt about the clearance."""

    stamp: int
    outer: MeasuredPiece
    inner: MeasuredPiece
    clearance: str
    sure: bool

    @property
    def outer_name(self) -> str:
        return piece_in_words(self.outer)

    @property
    def inner_name(self) -> str:
        return piece_in_words(self.inner)


@dataclass(frozen=True)
class Unpaired:
    """A piece that found no mate, and what its mate would have to measure.

    beyond: whether no such mate keeps the limits of its own size.
    """

    piece: MeasuredPiece
    low: str
    high: str
    best: str
    beyond: bool

    @property
    def name(self) -> str:
        return piece_in_words(self.piece)


@dataclass(frozen=True)
class Paired:
    """The answer. The clearances are in words, in the unit of the build."""

    question: Question
    outer: Side
    inner: Side
    pairs: tuple[Pair, ...]
    outer_left: tuple[Unpaired, ...]
    inner_left: tuple[Unpaired, ...]
    least: str
    most: str
    wanted: str

    @property
    def unsure(self) -> int:
        return sum(not pair.sure for pair in self.pairs)

    @cached_property
    def left(self) -> tuple[tuple[Side, Side, tuple[Unpaired, ...], str], ...]:
        """By side, where pieces are left: that side, the other, the pieces, and how many more it would take."""
        both = ((self.outer, self.inner, self.outer_left), (self.inner, self.outer, self.inner_left))
        return tuple((side, other, left, _more(left, other)) for side, other, left in both if left)

    @property
    def left_out(self) -> tuple[tuple[Side, tuple[LeftOut, ...]], ...]:
        return tuple((side, side.left_out) for side in (self.outer, self.inner) if side.left_out)


def paired(question: Question, build: Build) -> Paired:
    """The pairs. Two queries. ValueError with a sentence where a side has no piece, or too many."""
    from calcs.parts.pairing import pair

    outer, inner = _sides(question, build)
    unit = build.length_unit
    for side in (outer, inner):
        if not side.pieces:
            what = _("{part}: {size}", part=side.size.part, size=side.size.name)
            raise ValueError(_("No piece of {what} has a figure with which it could be paired.", what=what))
    least, most, wanted = question.least, question.most, question.wanted
    found = pair(outer.sizes, inner.sizes, least, most, wanted)
    chosen = [
        (outer.pieces[place], inner.pieces[other], clearance)
        for (place, other), clearance in zip(found.pairs, found.clearances, strict=True)
    ]
    into = [outer.pieces[place] for place in found.outer_left]
    round_it = [inner.pieces[place] for place in found.inner_left]
    words = (figure_in_words(clearance, unit).replace("-", "−") for clearance in (least, most, wanted))
    return Paired(
        question,
        outer,
        inner,
        tuple(_pair(stamp, one, other, away, question) for stamp, (one, other, away) in enumerate(chosen, 1)),
        tuple(_unpaired(one, -most, -least, -wanted, inner.limits) for one in into),
        tuple(_unpaired(one, least, most, wanted, outer.limits) for one in round_it),
        *words,
    )


def _sides(question: Question, build: Build) -> tuple[Side, Side]:
    """Both sides, with all sizes of the two parts: what is out of any size is no piece to be paired."""
    chosen = (question.outer, question.inner)
    sizes = list(Size.objects.filter(Q(part=chosen[0].part_id) | Q(part=chosen[1].part_id)).select_related("part"))
    for size in sizes:
        size.part.build = build
    measured = measured_sizes(sizes)
    outer, inner = (_side(size, [one for one in measured if one.size.part_id == size.part_id]) for size in chosen)
    return outer, inner


def _side(size: Size, of_part: Sequence[MeasuredSize]) -> Side:
    [own] = [one for one in of_part if one.size.pk == size.pk]
    reasons = _reasons(of_part, own)
    fit = tuple(piece for piece in own.pieces if piece.key not in reasons)
    out = tuple(LeftOut(piece, reasons[piece.key]) for piece in own.pieces if piece.key in reasons)
    return Side(own.size, own.limits, fit, out)


def _reasons(of_part: Iterable[MeasuredSize], own: MeasuredSize) -> dict[PieceKey, str]:
    """Why pieces of a part cannot be paired, by piece."""
    reasons: dict[PieceKey, list[str]] = {}
    for one in of_part:
        for piece in one.pieces:
            if piece.verdict.is_bad:
                words = _("{size}: {verdict}", size=one.size.name, verdict=verdict_in_words(piece.found, piece.unit))
                reasons.setdefault(piece.key, []).append(words)
            elif one is own and piece.millimetres is None:
                reasons.setdefault(piece.key, []).append(_("only gauged, without a figure"))
    return {key: "; ".join(words) for key, words in reasons.items()}


def _pair(stamp: int, outer: MeasuredPiece, inner: MeasuredPiece, clearance: float, question: Question) -> Pair:
    doubt = outer.uncertainty + inner.uncertainty
    sure = conformity(clearance, question.least, question.most, doubt).verdict is Verdict.IN
    return Pair(stamp, outer, inner, figure_in_words(clearance, outer.unit).replace("-", "−"), sure)


def _unpaired(piece: MeasuredPiece, low: float, high: float, best: float, limits: SizeLimits) -> Unpaired:
    """low, high, best: what is added to the piece's size to come to that of its mate."""
    size = piece.millimetres or 0.0
    beyond = (limits.upper is not None and size + low > limits.upper) or (
        limits.lower is not None and size + high < limits.lower
    )
    least, most, wanted = (figure_in_words(size + away, piece.unit) for away in (low, high, best))
    return Unpaired(piece, least, most, wanted, beyond)


def _more(left: Sequence[Unpaired], other: Side) -> str:
    what = _("{part}: {size}", part=other.size.part, size=other.size.name)
    return ngettext(
        "To pair all of them it takes {n} more of {what}.", "To pair all of them it takes {n} more of {what}.",
        len(left), what=what,
    )  # fmt: skip
