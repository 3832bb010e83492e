"""How many blanks to start: enough for so many good ones at a confidence, or the fewest expected hours."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from builds.models import Part
from builds.queries.forecast.build_forecast import BuildForecast, forecast_of
from builds.queries.repeats.next_piece import NextPiece, next_piece
from builds.queries.snapshot import BuildSnapshot, OperationRow, PartRow, PartsSnapshot
from calcs.parts.yields import ShopYield, YieldBelief, rolled_yield, shop_belief, yield_counts

# About so many lines of the table show at most; the choices that matter always do.
MOST_ROWS = 60


@dataclass(frozen=True)
class Question:
    """So many good pieces and spares in the end, at this confidence (0 to 1).

    What is there already is counted, unless it is left out: the pieces in work where they stand, the finished ones
    as had.
    """

    good: int
    spares: int
    confidence: float
    count_in_work: bool = True
    count_finished: bool = True


@dataclass(frozen=True)
class Belief:
    """What is held of the yield of one operation, and the pieces that stand before it."""

    line: OperationRow
    mean: float
    low: float
    high: float
    standing: int


@dataclass(frozen=True)
class Choice:
    """One number of blanks. `hours` are the expected bench hours, a second go included; None without planned times."""

    blanks: int
    chance: float
    expected_good: float
    hours: float | None


@dataclass(frozen=True)
class BlanksAnswer:
    """The answer to a question, with the table it was read from.

    `needed` good pieces are still to come out; `sure` is the smallest choice at the confidence, `cheapest` the one of
    the fewest expected hours, None where no operation has a time. `refusal` says in a sentence why there is none.
    """

    needed: int
    beliefs: tuple[Belief, ...]
    survive: float
    sure: Choice | None
    cheapest: Choice | None
    table: tuple[Choice, ...]
    tried: Choice | None = None
    refusal: str = ""

    @property
    def in_work(self) -> int:
        return sum(belief.standing for belief in self.beliefs)

    @property
    def shown(self) -> tuple[Choice, ...]:
        """The table; of a very long one evenly spaced lines, and the choices."""
        step = -(-len(self.table) // MOST_ROWS)
        chosen = (self.sure, self.cheapest, self.tried)
        return tuple(choice for place, choice in enumerate(self.table) if place % step == 0 or choice in chosen)


@dataclass(frozen=True)
class BlanksPage:
    snapshot: BuildSnapshot
    line: PartRow
    next_piece: NextPiece
    question: Question
    answer: BlanksAnswer

    @property
    def had(self) -> int:
        """Good pieces that are finished already and counted."""
        return self.line.count.finished_good if self.question.count_finished else 0


def usual_question(part: Part) -> Question:
    """What is asked while nobody asked otherwise: what the build wants, 9 chances in 10."""
    return Question(part.quantity, part.spares, 0.9)


def blanks_page(part: Part, question: Question, today: date, tried: int | None = None) -> BlanksPage:
    """The answer for one part. Ten queries. tried: a number of blanks to be told of as well."""
    build_forecast = forecast_of(part.build, today)
    line = build_forecast.snapshot.by_part[part.pk]
    piece = next_piece(build_forecast, line)
    return BlanksPage(
        build_forecast.snapshot, line, piece, question, answer_to(build_forecast, line, piece, question, tried)
    )


@dataclass(frozen=True)
class Start:
    """What the number of blanks follows from: so many good pieces are needed, at this confidence, through a route of
    which this is held, and on which so many pieces stand already."""

    needed: int
    confidence: float
    beliefs: tuple[YieldBelief, ...]
    standing: tuple[int, ...]

    @property
    def blanks(self) -> int:
        """The smallest number at the confidence. ValueError, with a sentence, where no number would do."""
        from calcs.parts.blanks import blanks_needed

        return blanks_needed(self.needed, self.confidence, self.beliefs, self.standing)


def start_of(snapshot: PartsSnapshot, line: PartRow, question: Question, shop: ShopYield | None = None) -> Start:
    had = line.count.finished_good if question.count_finished else 0
    beliefs = beliefs_of(snapshot, line, shop)
    standing = line.count.standing if question.count_in_work else (0,) * len(beliefs)
    return Start(max(0, question.good + question.spares - had), question.confidence, beliefs, standing)


def answer_to(
    build_forecast: BuildForecast, line: PartRow, piece: NextPiece, question: Question, tried: int | None = None
) -> BlanksAnswer:
    """See `BlanksAnswer`. Nothing is asked of the arithmetic where no piece is needed or there is no route."""
    start = start_of(build_forecast.snapshot, line, question)
    needed, beliefs, standing = start.needed, start.beliefs, start.standing
    by_operation = tuple(
        Belief(one, belief.mean, *belief.interval(), waiting)
        for one, belief, waiting in zip(line.operations, beliefs, standing, strict=True)
    )
    survive = expected_yield(beliefs)
    if not needed or not beliefs:
        return BlanksAnswer(needed, by_operation, survive, None, None, ())
    try:
        table, sure, cheapest = _table(start, piece, tried or 0)
    except ValueError as error:
        return BlanksAnswer(needed, by_operation, survive, None, None, (), refusal=str(error))
    by_blanks = {choice.blanks: choice for choice in table}
    return BlanksAnswer(
        needed,
        by_operation,
        survive,
        sure=by_blanks[sure],
        cheapest=None if cheapest is None else by_blanks[cheapest],
        table=tuple(choice for choice in table if choice.blanks <= max(sure, cheapest or 0) + 3),
        tried=None if tried is None else by_blanks.get(tried) or _too_few(tried, beliefs, standing),
    )


def beliefs_of(snapshot: PartsSnapshot, line: PartRow, shop: ShopYield | None = None) -> tuple[YieldBelief, ...]:
    """What is held of each operation's yield: what was counted there, upon the shop's yield for its kind.

    shop: `shop_yield` of the snapshot, where many parts are asked for.
    """
    shop = shop or shop_yield(snapshot)
    return tuple(shop.of_operation(one.plan) for one in line.operations)


def shop_yield(snapshot: PartsSnapshot) -> ShopYield:
    """What the shop's own counts say of its yield, kind by kind."""
    return shop_belief(yield_counts(other.plan for other in snapshot.parts))


def expected_yield(beliefs: Sequence[YieldBelief]) -> float:
    """The share expected of the next blank: what is held of each operation of the route, those not counted yet too."""
    return rolled_yield(belief.mean for belief in beliefs)


def _table(start: Start, piece: NextPiece, tried: int) -> tuple[tuple[Choice, ...], int, int | None]:
    """The table from the fewest blanks that could do to a little beyond the choices, the sure one and the cheapest."""
    from calcs.parts.blanks import chances_by_blanks, cheapest_start

    needed, beliefs, standing = start.needed, start.beliefs, start.standing
    sure = start.blanks
    hours: dict[int, float] = {}
    cheapest: int | None = None
    if piece.expected is not None:
        found = cheapest_start(
            needed, beliefs, piece.expected, piece.setup, in_work=standing, first_setup_minutes=piece.setup
        )
        cheapest = found.blanks
        hours = {blanks: minutes / 60 for blanks, minutes in found.table}
    first = max(0, needed - sum(standing))
    last = max(sure, cheapest or 0, first, tried) + 3
    chances = chances_by_blanks(needed, beliefs, last, standing)
    of_work, of_blank = _expected_good(beliefs, standing)
    table = tuple(
        Choice(blanks, chances[blanks], of_work + blanks * of_blank, hours.get(blanks))
        for blanks in range(first, last + 1)
    )
    return table, sure, cheapest


def _too_few(blanks: int, beliefs: Sequence[YieldBelief], standing: Sequence[int]) -> Choice:
    """A number of blanks that could not be enough even if nothing were lost."""
    of_work, of_blank = _expected_good(beliefs, standing)
    return Choice(blanks, 0.0, of_work + blanks * of_blank, None)


def _expected_good(beliefs: Sequence[YieldBelief], standing: Sequence[int]) -> tuple[float, float]:
    """Good pieces expected of the work in hand, and of each blank."""
    left, of_work = 1.0, 0.0
    for belief, waiting in zip(reversed(beliefs), reversed(standing), strict=True):
        left *= belief.mean
        of_work += waiting * left
    return of_work, left
