"""A repeated part drawn as its pieces, and the same in one sentence."""

from collections.abc import Callable
from dataclasses import dataclass

from calcs.messages import _, listed, ngettext
from calcs.parts.count import PieceCount

# Above this many pieces they are drawn by tens.
SINGLY_UP_TO = 60

# Pieces of each state in words.
IN_WORDS: dict[str, Callable[[int], str]] = {
    "good": lambda n: ngettext("{n} good", "{n} good", n),
    "reworked": lambda n: ngettext("{n} good after rework", "{n} good after rework", n),
    "work": lambda n: ngettext("{n} in work", "{n} in work", n),
    "make": lambda n: ngettext("{n} still to make", "{n} still to make", n),
    "begin": lambda n: ngettext("{n} not begun", "{n} not begun", n),
    "spare": lambda n: ngettext("{n} spare", "{n} spares", n),
    "scrap": lambda n: ngettext("{n} scrapped", "{n} scrapped", n),
}


@dataclass(frozen=True)
class PieceGroup:
    """Pieces of one state, drawn one mark each in `marks`, or as `tens` and `rest`."""

    state: str
    count: int
    by_tens: bool

    @property
    def marks(self) -> range:
        return range(0 if self.by_tens else self.count)

    @property
    def tens(self) -> range:
        return range(self.count // 10 if self.by_tens else 0)

    @property
    def rest(self) -> range:
        return range(self.count % 10 if self.by_tens else 0)


@dataclass(frozen=True)
class PieceRow:
    """A row of pieces; `sentence` is the same in words, `words` the sentence where the part is named above it."""

    groups: tuple[PieceGroup, ...]
    sentence: str
    words: str = ""

    @property
    def by_tens(self) -> bool:
        return any(group.by_tens for group in self.groups)


NO_PIECES = PieceRow((), "")
"""Of work on an assembly."""


def groups_of(numbers: dict[str, int]) -> tuple[PieceGroup, ...]:
    """The pieces of each state in order, those of which there are any; drawn by tens where they are many."""
    by_tens = sum(numbers.values()) > SINGLY_UP_TO
    return tuple(PieceGroup(state, number, by_tens) for state, number in numbers.items() if number)


def piece_row(count: PieceCount, *, unit_name: str) -> PieceRow:
    """The row of a part's pieces: good, good after rework, in work, to make, then spares and scrap apart.

    unit_name: the part's name, for the sentence.
    """
    reworked = min(count.reworked, count.had)
    groups = groups_of(
        {
            "good": count.had - reworked + count.uncounted,
            "reworked": reworked,
            "work": count.in_work,
            "make": count.to_make,
            "spare": count.spares_had + count.over,
            "scrap": count.scrap,
        }
    )
    words = [IN_WORDS[group.state](group.count) for group in groups]
    if count.spares_to_make:
        words.append(ngettext("{n} spare to make", "{n} spares to make", count.spares_to_make))
    needed = _("{quantity} needed", quantity=count.quantity)
    if count.spares:
        needed = ngettext(
            "{quantity} needed and {n} spare", "{quantity} needed and {n} spares", count.spares, quantity=count.quantity
        )
    if not words:
        return PieceRow(groups, _("{part}: {needed}.", part=unit_name, needed=needed), f"{needed}.")
    told = {"needed": needed, "pieces": listed(words)}
    return PieceRow(groups, _("{part}, {needed}: {pieces}.", part=unit_name, **told), _("{needed}: {pieces}.", **told))
