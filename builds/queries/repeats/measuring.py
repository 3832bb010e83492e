"""The page on which pieces are measured: which size of which pieces, what is known of them, and which are out."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from builds.models import Batch, Build, Measurement, Operation, Part
from builds.models.choices import Kind
from builds.queries.repeats.measured import (
    Measured,
    MeasuredPiece,
    MeasuredSize,
    limit_in_words,
    measured,
)
from calcs.messages import _
from calcs.parts.conformity import Verdict

# On one page; whoever has more leafs on.
PIECES_AT_ONCE = 30
LARGEST_PIECE = 100_000

FIGURE, DIFFERENCE, GAUGE = "figure", "difference", "gauge"
WAYS = (FIGURE, DIFFERENCE, GAUGE)


@dataclass(frozen=True)
class PieceRow:
    """One piece across the sizes of its part; a size that was not measured at it is None."""

    piece: int
    cells: tuple[tuple[MeasuredSize, MeasuredPiece | None], ...]

    @property
    def bad(self) -> list[tuple[MeasuredSize, MeasuredPiece]]:
        """The sizes that it is out of."""
        return [(size, one) for size, one in self.cells if one is not None and one.verdict.is_bad]


@dataclass(frozen=True)
class OutPiece:
    """A piece that is out of one size or several, with the reason in words, such as "bore 12.03 mm over 12.018 mm"."""

    piece: int
    reason: str


@dataclass(frozen=True)
class MeasuringPage:
    """batch: whose pieces they are, None where they are in none; way: one of `WAYS`; first: the first piece shown."""

    part: Part
    measured: Measured
    batches: tuple[Batch, ...]
    route: tuple[Operation, ...]
    batch: Batch | None
    size: MeasuredSize | None
    operation: Operation | None
    way: str
    first: int

    @property
    def build(self) -> Build:
        return self.part.build

    @property
    def all(self) -> int:
        """So many pieces there are: of the batch, or of the part with its spares; more where more were measured."""
        there = self.part.quantity_with_spares if self.batch is None else self.batch.blanks
        return max([1, there, *(piece for batch, piece in self.measured.keys if batch == self.batch_number)])

    @property
    def batch_number(self) -> int | None:
        return None if self.batch is None else self.batch.number

    @property
    def pieces(self) -> range:
        """The numbers of the pieces on this page."""
        return range(self.first, min(self.all, self.first + PIECES_AT_ONCE - 1) + 1)

    @property
    def earlier(self) -> int | None:
        return max(1, self.first - PIECES_AT_ONCE) if self.first > 1 else None

    @property
    def later(self) -> int | None:
        following = self.first + PIECES_AT_ONCE
        return following if following <= self.all else None

    def known(self, piece: int) -> MeasuredPiece | None:
        """The newest figure of the chosen size of a piece of the chosen batch."""
        return None if self.size is None else self.size.by_key.get((self.batch_number, piece))

    @property
    def next_size(self) -> MeasuredSize | None:
        """The size after the chosen one, in the order in which the part has them."""
        keys = [size.size.pk for size in self.measured.sizes]
        if self.size is None or self.size.size.pk == keys[-1]:
            return None
        return self.measured.sizes[keys.index(self.size.size.pk) + 1]

    @cached_property
    def rows(self) -> list[PieceRow]:
        """Every piece of the chosen batch of which anything was measured."""
        sizes = self.measured.sizes
        keys = [key for key in self.measured.keys if key[0] == self.batch_number]
        return [PieceRow(key[1], tuple((size, size.by_key.get(key)) for size in sizes)) for key in keys]

    @property
    def out(self) -> list[OutPiece]:
        """The pieces of the chosen batch that are out of any size."""
        reasons = ((row.piece, [_reason(*cell) for cell in row.bad]) for row in self.rows)
        return [OutPiece(piece, "; ".join(why)) for piece, why in reasons if why]

    @property
    def counted_at(self) -> Operation | None:
        """Where a piece that is out is counted: where it was measured, else at inspecting, else at the route's end."""
        inspecting = [operation for operation in self.route if operation.kind == Kind.INSPECTING]
        return self.operation or next(iter([*inspecting, *reversed(self.route)]), None)


def measuring_page(part: Part, asked: Mapping[str, str]) -> MeasuringPage:
    """The page as its address, or what was sent from it, asks for it. Four queries; what is not known is left out."""
    found = measured(part)
    batches, route = tuple(part.batches.order_by("number")), tuple(part.operations.order_by("number"))
    by_key = {str(size.size.pk): size for size in found.sizes}
    newest = batches[-1] if batches and "batch" not in asked else None
    first = asked.get("first", "")
    page = MeasuringPage(
        part=part,
        measured=found,
        batches=batches,
        route=route,
        batch={str(batch.pk): batch for batch in batches}.get(asked.get("batch", ""), newest),
        size=by_key.get(asked.get("size", ""), next(iter(found.sizes), None)),
        operation={str(one.pk): one for one in route}.get(asked.get("operation", "")),
        way=way if (way := asked.get("way", "")) in WAYS else FIGURE,
        first=min(int(first), LARGEST_PIECE) if first.isdecimal() and 0 < len(first) < 7 and int(first) else 1,
    )
    return page if page.first <= page.all else replace(page, first=1)


def instrument_lately(build: Build) -> int | None:
    """The key of what was measured with last; None where nobody said. One query."""
    last = Measurement.objects.filter(size__part__build=build).order_by("-pk")
    return last.values_list("instrument", flat=True).first()


def newest_figure(page: MeasuringPage) -> int:
    """The key of the newest figure that a page shows, by which what comes later is known; 0 where there is none."""
    return max((piece.pk for size in page.measured.sizes for piece in size.pieces), default=0)


def measured_meanwhile(page: MeasuringPage, pieces: list[int], seen: int, token: str) -> list[Measurement]:
    """Figures of these pieces that somebody else kept after the page was shown. One query."""
    if page.size is None:
        return []
    since = Measurement.objects.filter(size=page.size.size, batch=page.batch, piece__in=pieces, pk__gt=seen)
    others = since.exclude(token__startswith=f"{token[:40]}-")
    return list(others.select_related("by").order_by("piece", "pk"))


def _reason(size: MeasuredSize, one: MeasuredPiece) -> str:
    if one.verdict is not Verdict.OUT:
        return _("{size} out by the gauge", size=size.size.name)
    words = {"size": size.size.name, "figure": one.figure, "limit": limit_in_words(one.found, one.unit)}
    over, under = _("{size} {figure} over {limit}", **words), _("{size} {figure} under {limit}", **words)
    return over if one.found.beyond > 0 else under
