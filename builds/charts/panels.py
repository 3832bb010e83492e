"""The panels of a board: what each shows of the facts, with its drawing and the key to its marks."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from builds.charts import board, board_pieces
from builds.queries.plan.piece_row import PieceRow
from builds.queries.visitors.facts import Facts
from calcs.messages import _, gettext_noop

# So many assemblies are read in ten seconds, and have room on a small screen.
MOST_ASSEMBLIES = 12

# The marks in the order of a row, with what each stands for.
MARKS = {
    "good": gettext_noop("good"),
    "reworked": gettext_noop("good after rework"),
    "work": gettext_noop("in work"),
    "make": gettext_noop("to make"),
    "spare": gettext_noop("spare"),
    "scrap": gettext_noop("scrapped"),
}


@dataclass(frozen=True)
class Panel:
    """`name` is once on a board. `key` says of each mark that stands in the panel what it is."""

    key: str
    name: str
    heading: str
    drawn: Any
    marks: tuple[tuple[str, str], ...]

    @property
    def template(self) -> str:
        return f"board/panels/{self.key}.html"


def panels_of(facts: Facts) -> list[Panel]:
    """The panels that have something to say; assemblies that are many stand on several."""
    panels = []
    for key in facts.panels:
        drawn, marks = _DRAWN[key](facts) if key in _DRAWN else (None, ())
        parts = drawn if key == "counts" else [drawn]
        panels += [
            Panel(key, key if n == 1 else f"{key} {n}", facts.headings[key], part, marks)
            for n, part in enumerate(parts, start=1)
        ]
    return panels


def _marks(states: Iterable[str], **other_words: str) -> tuple[tuple[str, str], ...]:
    words, there = MARKS | other_words, set(states)
    return tuple((state, _(words[state])) for state in MARKS if state in there)


def _states(*rows: PieceRow) -> list[str]:
    return [group.state for row in rows for group in row.groups]


def _size(facts: Facts) -> tuple[Any, Any]:
    told = zip((facts.sizes.real, facts.sizes.model), (False, True), strict=True)
    drawn = [board.to_scale(extent, hand=hand) for extent, hand in told]
    return [(one, words) for one, words in zip(drawn, (_("The real one"), _("The model")), strict=True) if one], ()


def _hours(facts: Facts) -> tuple[Any, Any]:
    if facts.hours is None:
        return None, ()
    years = ", ".join(_("{year}: {hours}", year=year.year, hours=year.words) for year in facts.hours.years)
    return board.months(facts.hours.months, years), ()


def _counts(facts: Facts) -> tuple[Any, Any]:
    told = facts.counts.assemblies if facts.counts else ()
    marks = _marks(_states(*(one.row for one in told)), good=gettext_noop("made"))
    pages = -(-len(told) // MOST_ASSEMBLIES) or 1
    each = -(-len(told) // pages)
    drawn = [(one, board_pieces.boxes(one.row)) for one in told]
    return [drawn[n * each : (n + 1) * each] for n in range(pages)], marks


def _bench(facts: Facts) -> tuple[Any, Any]:
    if facts.bench is None:
        return None, ()
    rows = [step.row for step in facts.bench.steps] or [facts.bench.row]
    return [(step, board_pieces.boxes(step.row)) for step in facts.bench.steps], _marks(_states(*rows))


def _chips(facts: Facts) -> tuple[Any, Any]:
    return (board.chips(facts.block.chips_percent, facts.block.in_a_hundred) if facts.block else None), ()


def _hardest(facts: Facts) -> tuple[Any, Any]:
    lost, over = (facts.hardest.lost, facts.hardest.over) if facts.hardest else (None, None)
    if lost is not None:
        return board_pieces.pieces(lost.row), _marks(_states(lost.row))
    return (board_pieces.over_plan(over) if over else None), ()


def _masses(facts: Facts) -> tuple[Any, Any]:
    masses = facts.masses
    return (board.masses([one.grams for one in masses.shares], masses.heaviest) if masses else None), ()


def _way(facts: Facts) -> tuple[Any, Any]:
    if facts.way is None:
        return None, ()
    states = ["good" if step.reached else "make" for step in facts.way.steps]
    return board.stretches(facts.way), _marks(states, good=gettext_noop("reached"), make=gettext_noop("ahead"))


_DRAWN: dict[str, Callable[[Facts], tuple[Any, Any]]] = {
    "size": _size,
    "hours": _hours,
    "finished": _hours,
    "counts": _counts,
    "bench": _bench,
    "chips": _chips,
    "hardest": _hardest,
    "masses": _masses,
    "way": _way,
}
